"""What must hold of any chart: its width, its labels, its signs; and where its bars stand."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stationplan.plan.document import Change, Seat
from stationplan.render.errors import RenderError
from stationplan.render.lettering import columns
from stationplan.render.rows import rows_of
from stationplan.render.text import chart, page

from .invented_plans import make
from .random_plans import plans

if TYPE_CHECKING:
    from stationplan.plan.document import Plan

ROWS = st.sampled_from(("equipment", "people", "products"))
CODES = re.compile(r"\x1b\[[0-9;]*m")
LABEL = r"[A-Z]+[a-z]+\d+(?:\.\d+)?"

some = settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])


def labels_in(text: str) -> set[str]:
    """All labels of a chart, those drawn together (Ac1-3, Ac1,3) told apart again."""
    found = set(re.findall(LABEL, text))
    for stem, first, last in re.findall(r"([A-Z]+[a-z]+)(\d+)-(\d+)", text):
        found |= {f"{stem}{number}" for number in range(int(first), int(last) + 1)}
    for stem, numbers in re.findall(r"([A-Z]+[a-z]+)(\d+(?:,\d+)+)", text):
        found |= {f"{stem}{number}" for number in numbers.split(",")}
    return found


@some
@given(plan=plans(), width=st.integers(60, 220), rows=ROWS, unicode=st.booleans())
def test_no_line_is_wider_than_asked_for(
    plan: Plan, width: int, rows: Literal["equipment", "people", "products"], unicode: bool
) -> None:
    for line in page(plan, width=width, rows=rows, unicode=unicode).splitlines():
        assert columns(line) <= width


@some
@given(plan=plans(), width=st.integers(60, 220), rows=ROWS)
def test_ascii_is_plain_ascii(plan: Plan, width: int, rows: Literal["equipment", "people", "products"]) -> None:
    text = page(plan, width=width, rows=rows, unicode=False)
    assert text.isascii()
    assert all(sign.isprintable() or sign == "\n" for sign in text)


@some
@given(plan=plans(), width=st.integers(60, 220), rows=ROWS, unicode=st.booleans())
def test_without_its_colours_a_chart_is_the_plain_chart(
    plan: Plan, width: int, rows: Literal["equipment", "people", "products"], unicode: bool
) -> None:
    coloured = chart(plan, width=width, rows=rows, unicode=unicode, color=True)
    assert CODES.sub("", coloured) == chart(plan, width=width, rows=rows, unicode=unicode)


@some
@given(plan=plans(), width=st.integers(60, 220), rows=st.sampled_from(("equipment", "products")))
def test_every_batch_is_in_the_chart(plan: Plan, width: int, rows: Literal["equipment", "products"]) -> None:
    found = labels_in(chart(plan, width=width, rows=rows))
    assert {batch.label for batch in plan.batches} <= found


@some
@given(plan=plans(), width=st.integers(60, 220), begin=st.integers(0, 2000), length=st.integers(15, 600))
def test_every_batch_of_a_span_is_in_its_chart(plan: Plan, width: int, begin: int, length: int) -> None:
    end = begin + length
    found = labels_in(chart(plan, width=width, rows="products", span=(begin, end)))
    inside = {b.label for b in plan.batches if b.start < end and b.end > begin}
    assert inside <= found


@some
@given(plan=plans(), width=st.integers(60, 220))
def test_everyone_s_work_is_in_the_chart_of_people(plan: Plan, width: int) -> None:
    found = labels_in(chart(plan, width=width, rows="people"))
    assert {batch.label for batch in plan.batches if batch.hands} <= found


@pytest.mark.parametrize("rows", ["equipment", "products"])
@pytest.mark.parametrize("width", [80, 120, 200])
def test_three_hundred_batches_are_all_in_the_chart(width: int, rows: Literal["equipment", "products"]) -> None:
    plan = make(12)
    assert len(plan.batches) > 300
    assert {batch.label for batch in plan.batches} <= labels_in(chart(plan, width=width, rows=rows))


def test_the_same_plan_gives_the_same_text() -> None:
    assert page(make(2, 2), width=120) == page(make(2, 2), width=120)


@dataclass(frozen=True)
class Read:
    """A bar read back from a chart: the row it stands on, its label, its first minute and the first after it."""

    row: str
    label: str
    start: int
    end: int


def read_back(text: str, work: str, starts: str, row_names: tuple[str, ...]) -> tuple[list[Read], int]:
    """The bars of work that lie within one band on the given rows, and the minutes per column."""
    bar = re.compile(
        rf"[{starts}](?P<inside>{LABEL})(?: [a-z ]*[a-z])?[{work}]*(?![{work}\u203a>])"
        rf"|(?<![{work}\u2039<])(?P<short>[{work}]+)(?P<right>{LABEL})"
    )
    found, name, minutes, opens, gutter = [], "", 0, 0, 0
    lines = text.splitlines()
    for line, following in zip(lines, [*lines[1:], ""], strict=True):
        clocks = list(re.finditer(r"(\d\d):(\d\d)", line))
        if clocks and re.search(r"├[─┴┼]|\|[-'|]{9}", following):
            at = [(match.start(), int(match[1]) * 60 + int(match[2])) for match in clocks]
            minutes, opens, gutter = (at[1][1] - at[0][1]) // (at[1][0] - at[0][0]), at[0][1], at[0][0]
            name = ""
            continue
        name = line[:gutter].strip() or name
        if name in row_names:
            for match in bar.finditer(line, gutter):
                end = match.end() if match["inside"] else match.end("short")
                label = match["inside"] or match["right"]
                at_start, at_end = (opens + (column - gutter) * minutes for column in (match.start(), end))
                found.append(Read(name, label, at_start, at_end))
    return found, minutes


@pytest.mark.parametrize("unicode", [True, False])
def test_bars_begin_and_end_in_the_right_column(unicode: bool) -> None:
    plan = make(2, 2)
    names = ("deck oven 1", "deck oven 2", "planetary mixer 1", "planetary mixer 2", "hob", "bench")
    text = chart(plan, width=210, unicode=unicode)
    found, minutes = read_back(text, "▄█" if unicode else "=#", "▌◆" if unicode else "|*", names)
    assert minutes == 2
    seats = {(seat.station.split(" ")[0], batch.label): seat for batch in plan.batches for seat in batch.seats}
    assert len({bar.label for bar in found}) > 40
    for bar in found:
        seat = seats[bar.row.split(" ")[0], bar.label]
        assert seat.station.startswith(bar.row)
        # Half a column is the most that a bar may be off, and two minutes make a column.
        assert (bar.start, bar.end) == ((seat.start + 1) // 2 * 2, max((seat.end + 1) // 2 * 2, bar.start + 2))


def test_a_day_at_eighty_columns_folds_into_bands_that_start_at_full_hours() -> None:
    text = chart(make(2, 2), width=80)
    begins = re.findall(r"^ +(\d\d:\d\d) .*\n +├", text, re.MULTILINE)
    assert len(begins) >= 3
    assert all(clock.endswith(":00") for clock in begins)


def test_hours_before_the_first_work_are_said_to_be_left_out() -> None:
    plan = make().model_copy(update={"opens": 180})
    assert chart(plan, width=100).startswith("(03:00 to 05:00: nothing to do, whatever waits goes on waiting)\n\n")
    assert "nothing to do" not in chart(plan, width=100, span=(300, 400))


@pytest.mark.parametrize("width", [60, 100, 120, 200])
def test_a_scale_that_leaves_most_of_the_width_empty_is_not_chosen(width: int) -> None:
    text = chart(make(2, 2), width=width, rows="products", unicode=False)
    rulers = [line.strip() for line in text.splitlines() if re.fullmatch(r" +[|'-]{5,}", line)]
    assert max(map(len, rulers)) >= (width - 25) // 3


def test_a_quiet_night_is_left_out() -> None:
    text = chart(make(10), width=120)
    assert "nothing to do" in text
    assert "day 2" in text
    assert "22:00" not in text


def test_idle_stations_and_absent_people_are_named_in_one_line() -> None:
    text = chart(make(), width=120)
    assert re.search(r"^idle or empty: .*hob.*Zoé", text, re.MULTILINE)
    assert re.search(r"^off: Zoé$", chart(make(), width=120, span=(300, 400)), re.MULTILINE)


def test_heating_washing_and_breaks_are_visible() -> None:
    text = chart(make(), width=120, unicode=False)
    assert re.search(r"/+180-+", text)
    assert re.search(r"\\+160 fan", text)
    assert "~~" in text
    assert "breakx" in text


@pytest.mark.parametrize("width", [60, 66, 72, 80, 100, 140])
def test_an_oven_has_one_row_of_temperatures_in_every_band(width: int) -> None:
    """Two of them could be read the wrong way round: which one is it at 11:00?"""
    lines = chart(make(2, 2), width=width).splitlines()
    degrees = [number for number, line in enumerate(lines) if line.startswith("  °C")]
    assert degrees
    assert not any(number + 1 in degrees for number in degrees)


def test_a_temperature_without_room_before_the_next_has_no_label() -> None:
    plan = make()
    seats = [(300, 310, 200.0), (318, 324, 180.0), (332, 600, 160.0)]
    batches = tuple(
        plan.batches[0].model_copy(
            update={
                "label": f"Ac{number}", "start": start, "end": end, "hands": (),
                "seats": (Seat(station="deck oven 1", start=start, end=end, amount=1, celsius=celsius),),
            }
        )
        for number, (start, end, celsius) in enumerate(seats, 1)
    )  # fmt: skip
    changes = tuple(
        Change(station="deck oven 1", start=end, end=start, kind="cool", before="", after=f"{after:g} C")
        for (_, end, _), (start, _, after) in pairwise(seats)
    )
    found = plan.model_copy(update={"batches": batches, "changes": changes, "stays": (), "orders": ()})
    (row,) = [line for line in chart(found, width=60, unicode=False).splitlines() if line.startswith("  C")]
    assert "160---" in row
    assert "180" not in row


def test_an_oven_was_at_what_its_loads_were_at_where_the_plan_has_changes_from_later_on_only() -> None:
    """As a plan that is made anew while a shift runs; its batches are not in the order of time."""
    plan = make()
    loads = [(500, 600, 150.0), (400, 450, 180.0), (300, 350, 210.0), (360, 390, 210.0)]
    batches = tuple(
        plan.batches[0].model_copy(
            update={
                "label": f"Ac{number}", "start": start, "end": end, "hands": (),
                "seats": (Seat(station="deck oven 1", start=start, end=end, amount=1, celsius=celsius),),
            }
        )
        for number, (start, end, celsius) in enumerate(loads, 1)
    )  # fmt: skip
    changes = (Change(station="deck oven 1", start=480, end=500, kind="cool", before="180 C", after="150 C"),)
    found = plan.model_copy(update={"batches": batches, "changes": changes, "stays": (), "orders": ()})
    (row,) = [row for row in rows_of(found, "equipment", True) if row.name == "deck oven 1"]
    assert [(bar.start, bar.end, bar.texts) for bar in row.below] == [
        (300, 400, ("210",)),
        (400, 480, ("180",)),
        (480, 600, ("150",)),
    ]


def test_an_item_keeps_its_colour_on_every_row() -> None:
    text = chart(make(), width=200, color=True)
    inks = set(re.findall(r"\x1b\[((?:1;)?\d+)m[^\x1b]*Ec1", text))
    assert len({ink.removeprefix("1;") for ink in inks}) == 1


def test_the_key_shows_a_label_inside_and_beside_a_bar_and_that_lines_mean_nothing() -> None:
    text = page(make(), width=400)
    assert "▌Aa1▄▄ ▄▄Aa1 work;" in text
    assert "the lines of a row mean nothing, they make room" in text


def test_rows_of_items_begin_with_their_letter() -> None:
    assert "\nA hazelnut sponge " in chart(make(), width=120, rows="products")


def test_the_critical_chain_is_marked_without_colour() -> None:
    plan = make()
    for unicode, mark in ((True, "◆"), (False, "*")):
        text = chart(plan, width=200, unicode=unicode)
        marked = set(re.findall(rf"{re.escape(mark)}({LABEL})", text))
        assert {link.label for link in plan.chain} <= marked


def test_what_went_in_one_batch_is_one_stay_with_a_mark_for_each_part_taken_out() -> None:
    plan = make()
    stay = next(stay for stay in plan.stays if stay.station == "blast freezer")
    parts = [
        stay.model_copy(update={"start": 400, "end": end, "before": "Bb1", "after": "Da1"}) for end in (460, 490, 520)
    ]
    text = chart(plan.model_copy(update={"stays": tuple(parts)}), width=200, unicode=False)
    row = next(line for line in text.splitlines() if line.startswith("blast freezer"))
    assert row.count("^") == 2
    assert row.count("Bb1") == 1


def test_stays_that_go_through_a_whole_band_share_a_line() -> None:
    plan = make()
    stay = next(stay for stay in plan.stays if stay.station == "blast freezer")
    through = tuple(
        stay.model_copy(update={"before": f"Bb{at}", "start": 300 + at, "end": 640, "after": "Da1"}) for at in (1, 2, 3)
    )
    text = chart(plan.model_copy(update={"stays": through}), width=80, unicode=False, span=(360, 600))
    assert re.search(r"^blast freezer <Bb1, Bb2, Bb3\.+>", text, re.MULTILINE)


def test_orders_due_at_the_same_minute_have_one_mark() -> None:
    plan = make()
    due = tuple(order.model_copy(update={"due": 600}) for order in plan.orders)
    text = chart(plan.model_copy(update={"orders": due}), width=200)
    assert text.count("○") == 1
    assert re.search(r"○(120 D, 6 E|6 E, 120 D) due", text)


def test_a_batch_at_the_very_end_of_a_short_chart_keeps_its_label() -> None:
    plan = make()
    last = plan.batches[-1].model_copy(update={"label": "Ec12.2", "start": 900, "end": 900, "seats": (), "hands": ()})
    text = chart(plan.model_copy(update={"batches": (last,), "stays": (), "orders": ()}), width=60)
    assert "Ec12.2" in text


def test_a_batch_that_needs_neither_station_nor_person_has_a_row() -> None:
    plan = make()
    alone = tuple(batch.model_copy(update={"seats": (), "hands": ()}) for batch in plan.batches[:2])
    text = chart(plan.model_copy(update={"batches": alone, "stays": ()}), width=100)
    assert re.search(r"^by itself .*Aa1", text, re.MULTILINE)


def test_a_width_below_sixty_is_refused() -> None:
    with pytest.raises(RenderError, match="at least 60 columns; there are 59"):
        chart(make(), width=59)


def test_an_empty_span_is_refused() -> None:
    with pytest.raises(RenderError, match="from 08:00 to 08:00"):
        chart(make(), width=80, span=(480, 480))


def test_a_span_in_which_nothing_happens_says_so() -> None:
    assert chart(make(), width=80, span=(5000, 5100)) == "nothing happens in this time"


def test_the_text_view_needs_no_solver() -> None:
    code = (
        "import sys, stationplan.render.text, stationplan.render.overview;"
        "print([m for m in ('ortools', 'networkx', 'ruamel', 'numpy') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
