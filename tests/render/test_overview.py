"""The tables shown before any plan is made."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stationplan.plan.preview import ItemRow
from stationplan.render.lettering import columns
from stationplan.render.overview import overview, table

from .invented_overview import OVERVIEW


@pytest.mark.parametrize("width", [60, 80, 120, 200])
@pytest.mark.parametrize("unicode", [True, False])
def test_no_line_is_wider_than_asked_for(width: int, unicode: bool) -> None:
    text = overview(OVERVIEW, width=width, unicode=unicode)
    assert all(columns(line) <= width for line in text.splitlines())
    assert unicode or text.isascii()


@given(st.lists(st.tuples(st.text(max_size=60), st.text(max_size=12)), max_size=5), st.integers(60, 120))
def test_any_item_name_fits(names: list[tuple[str, str]], width: int) -> None:
    items = tuple(ItemRow(name, amount, amount, "1") for name, amount in names)
    text = overview(replace(OVERVIEW, items=items), width=width)
    assert all(columns(line) <= width for line in text.splitlines())


def test_the_tightest_resource_comes_first() -> None:
    lines = overview(OVERVIEW, width=100).splitlines()
    rows = [line.split("  ")[0] for line in lines[lines.index("how busy, the tightest first") + 3 :] if line][:4]
    assert rows == ["Ines, Marc or Zoé", "deck oven", "planetary mixer", "blast freezer"]


def test_the_times_of_the_input_come_first() -> None:
    lines = overview(OVERVIEW, width=200).splitlines()
    assert lines[2] == "shift: 05:00 to 17:30, 12 h 30 min"
    assert lines[3] == "orders: 120 pear entremet due 14:30; 6 trays of sablé Breton"
    assert lines[4].startswith("people: Ines; Marc 05:00-13:00, break 09:00-09:30; Zoé")


def test_many_orders_are_counted_after_the_first_twenty() -> None:
    orders = tuple(f"{number} bun" for number in range(1, 26))
    text = overview(replace(OVERVIEW, orders=orders), width=400)
    assert "; 20 bun; and 5 more\n" in text


def test_work_is_counted_in_hours_and_too_much_of_it_is_more_than_all_the_time() -> None:
    line = next(line for line in overview(OVERVIEW, width=100).splitlines() if line.startswith("Ines"))
    assert line.split()[-4:] == ["h", "102", "%", "10:45"]
    assert " 35 h " in line


def test_a_resource_without_work_has_no_share() -> None:
    line = next(line for line in overview(OVERVIEW, width=100).splitlines() if line.startswith("blast freezer"))
    assert line.split()[-2:] == ["-", "05:00"]


def test_a_bound_after_closing_is_a_caution() -> None:
    text = overview(replace(OVERVIEW, bound=800), width=100)
    assert "no plan can finish before 18:20, 13 h 20 min after opening" in text
    assert "! that is 50 min after closing at 17:30" in text
    assert "after closing" not in overview(OVERVIEW, width=100)


def test_tables_without_rows_are_left_out() -> None:
    text = overview(replace(OVERVIEW, loads=(), busy=()), width=100)
    assert "what goes where" not in text
    assert "how busy" not in text


def test_numbers_keep_to_the_right_and_names_to_the_left() -> None:
    assert table(("item", "made"), [("sponge", "8"), ("mousse", "120")], "lr", 60, unicode=False) == [
        "item    made",
        "------------",
        "sponge     8",
        "mousse   120",
    ]
