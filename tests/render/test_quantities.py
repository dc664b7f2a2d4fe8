"""What to weigh, as text: nothing is wider than asked for, and nothing is lost where it is narrow."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stationplan.plan.eggs import Eggs
from stationplan.plan.ingredients import Contents
from stationplan.render.lettering import columns
from stationplan.render.quantities import weighing_page

from .invented_weighing import BEFORE, PLANNED, batch, portion

NAMES = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=80)


@given(st.lists(NAMES, min_size=1, max_size=4), st.integers(60, 200), st.booleans())
def test_no_line_is_wider_than_asked_for(names: list[str], width: int, unicode: bool) -> None:
    parts = [portion(name, "123456 cups", grams="123456") for name in names]
    batches = (batch("Aa1", "sponge", "mix", "1 tray", "1", *parts),)
    known = replace(PLANNED, batches=batches, store=Contents(batches).totals())
    for line in weighing_page(known, width=width, unicode=unicode).splitlines():
        assert columns(line) <= width


@pytest.mark.parametrize("width", [60, 80, 120, 200])
def test_a_narrow_page_says_what_a_wide_one_does(width: int) -> None:
    def words(page: str) -> list[str]:
        return sorted(page.split())

    assert words(weighing_page(PLANNED, width=width)) == words(weighing_page(PLANNED, width=400))


@pytest.mark.parametrize(
    ("eggs", "told"),
    [
        (Eggs(0, 26, 14), "26; 26 for 26 whites and 14 yolks, 12 yolks left over"),
        (Eggs(3, 0, 5), "8; 3 whole, 5 for 5 yolks, 5 whites left over"),
        (Eggs(0, 1, 1), "1; 1 for 1 white and 1 yolk"),
    ],
)
def test_eggs_are_told_by_what_they_are_for(eggs: Eggs, told: str) -> None:
    page = weighing_page(replace(BEFORE, eggs=eggs), width=200, only="store")
    assert f"eggs to crack, if all of it comes out of shells: {told}\n" in page


def test_a_wash_that_is_not_planned_is_told() -> None:
    unwashed = replace(PLANNED, handovers=(replace(PLANNED.handovers[0], washed=None),))
    assert "no wash is planned in between" in weighing_page(unwashed, width=400)


def test_nothing_is_called_free_from_anything() -> None:
    assert "free" not in weighing_page(PLANNED, width=120)
