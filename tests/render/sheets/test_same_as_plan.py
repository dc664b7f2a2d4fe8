"""Text and HTML, read back, hold the same batches, times, places and people as the plan."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from stationplan.plan.document import Plan
from stationplan.render.phrases import NO_ONE
from stationplan.render.sheets import sheets_of
from stationplan.render.sheets.html import as_document
from stationplan.render.sheets.text import as_text
from stationplan.scenario.units import format_clock, parse_clock, parse_clock_span

from ..real_plans import planned
from .reading import Entry, read_html, read_text

FOLDERS = (
    "scenarios/first-shift",
    "docs/examples/oven-prover-together",
    "docs/examples/people-two",
    "docs/examples/places",
    "docs/examples/repeat",
    "docs/examples/shift-overnight",
    "docs/examples/wait-chain",
    "docs/examples/wait-in-place",
)
Sheets = dict[str, list[Entry]]


def from_text(plan: Plan) -> Sheets:
    return read_text(as_text(sheets_of(plan), width=1000))


def from_html(plan: Plan) -> Sheets:
    return read_html(as_document(sheets_of(plan), title=plan.name))


every_plan = pytest.mark.parametrize("folder", FOLDERS)
either_way = pytest.mark.parametrize("read", [from_text, from_html])


def minutes(entry: Entry) -> tuple[int, int]:
    """From when to when, and the same minute twice for what lasts until it is served."""
    if entry.time.endswith("-"):
        return (int(parse_clock(entry.time[:-1])),) * 2
    if "-" not in entry.time:
        return (int(parse_clock(entry.time)),) * 2
    span = parse_clock_span(entry.time)
    return span.start, span.end


@every_plan
@either_way
def test_a_person_has_every_minute_of_work_and_no_other(folder: str, read: Callable[[Plan], Sheets]) -> None:
    plan, sheets = planned(folder), read(planned(folder))
    for person in plan.people:
        shown = {
            (entry.labels, minute)
            for entry in sheets.get(person, ())
            if entry.labels
            for minute in range(*minutes(entry))
        }
        worked = {
            (batch.label, minute)
            for batch in plan.batches
            for hand in batch.hands
            if hand.person == person
            for minute in range(hand.start, hand.end)
        }
        assert shown == worked


@every_plan
@either_way
def test_what_needs_nobody_has_a_sheet_too(folder: str, read: Callable[[Plan], Sheets]) -> None:
    plan, sheets = planned(folder), read(planned(folder))
    shown = {(entry.labels, *minutes(entry)) for entry in sheets.get(NO_ONE, ())}
    assert shown == {(batch.label, batch.start, batch.end) for batch in plan.batches if not batch.hands}


@every_plan
@either_way
def test_a_person_reads_the_step_and_the_place(folder: str, read: Callable[[Plan], Sheets]) -> None:
    plan, sheets = planned(folder), read(planned(folder))
    for batch in plan.batches:
        for hand in batch.hands:
            rows = [entry for entry in sheets[hand.person] if entry.labels == batch.label]
            assert all(batch.step in row.rest for row in rows)
            assert all(seat.station in row.rest for row in rows for seat in batch.seats)


@every_plan
@either_way
def test_a_station_has_every_batch_wait_and_change_at_its_time(folder: str, read: Callable[[Plan], Sheets]) -> None:
    plan, sheets = planned(folder), read(planned(folder))
    for station in plan.stations:
        shown = {(entry.labels, *minutes(entry)) for entry in sheets.get(station.name, ())}
        expected = {(b.label, s.start, s.end) for b in plan.batches for s in b.seats if s.station == station.name}
        expected |= {("", c.start, c.end) for c in plan.changes if c.station == station.name}
        lots: dict[tuple[str, str, int, int], int] = {}
        for stay in plan.stays:
            if stay.station == station.name and (stay.end > stay.start or stay.after is None):
                key = (stay.before, stay.name, stay.position, stay.start)
                lots[key] = max(lots.get(key, 0), stay.end)
        expected |= {(key[0], key[3], end) for key, end in lots.items()}
        assert shown == expected


@every_plan
@either_way
def test_all_that_leaves_a_place_is_told_there_with_who_takes_it_when(
    folder: str, read: Callable[[Plan], Sheets]
) -> None:
    plan, sheets = planned(folder), read(planned(folder))
    last = {(stay.before, stay.after): stay for stay in sorted(plan.stays, key=lambda stay: stay.position)}
    for stay in last.values():
        if stay.station is None or stay.after is None or stay.end == stay.start:
            continue
        rows = [entry for entry in sheets[stay.station] if entry.labels == stay.before]
        told = " ".join(note for row in rows for note in row.notes)
        assert f"{stay.after} {format_clock(stay.end)}" in told
        for hand in next(batch for batch in plan.batches if batch.label == stay.after).hands[:1]:
            assert hand.person in told


@every_plan
@either_way
def test_the_rows_that_the_finish_hangs_on_are_marked(folder: str, read: Callable[[Plan], Sheets]) -> None:
    plan, sheets = planned(folder), read(planned(folder))
    critical = {link.label for link in plan.chain}
    for person in plan.people:
        for entry in sheets.get(person, ()):
            assert entry.critical == (entry.labels in critical)


@every_plan
def test_text_and_html_say_the_same(folder: str) -> None:
    def bare(sheets: Sheets) -> object:
        return {
            name: [
                (
                    entry.time,
                    entry.labels,
                    entry.rest.split(),
                    entry.critical,
                    [note.removeprefix("! ").split() for note in entry.notes],
                )
                for entry in entries
            ]
            for name, entries in sheets.items()
        }

    assert bare(from_text(planned(folder))) == bare(from_html(planned(folder)))
