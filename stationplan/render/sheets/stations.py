"""The sheet of a station: what goes in and out when, at what temperature, and how long it may stay."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from stationplan.plan.document import Batch, Change, Seat, Station, Stay
from stationplan.render.phrases import changing, clock_span, from_and_to, room, setting, size, working
from stationplan.render.sheets.model import Note, Row, Sheet
from stationplan.render.sheets.source import Source
from stationplan.scenario.units import format_clock, format_quantity

# One place or batch at a time, and a bowl of which nobody has written how full it gets.
_SAYS_NOTHING = ("1 place", "1 batch", "1 ml")
HEADINGS = ("in - out", "what", "how much", "at", "not before", "at the latest")


def station_sheet(source: Source, station: Station) -> Sheet:
    """All that a station holds, and when it gets ready for something else.

    Args:
        source: the plan.
        station: whose sheet it is.
    """
    plan = source.plan
    rows = [
        _work(source, batch, seat) for batch in source.standing for seat in batch.seats if seat.station == station.name
    ]
    rows += [_change(change) for change in plan.changes if change.station == station.name]
    lots: dict[tuple[object, ...], list[Stay]] = defaultdict(list)
    for stay in plan.stays:
        # What is taken up at once never stands; what is served at once may stand until then.
        if source.failed(stay.before):
            continue
        if stay.station == station.name and (stay.end > stay.start or stay.after is None):
            lots[stay.before, stay.name, stay.position, stay.start, stay.least, stay.most].append(stay)
    rows += [_stay(source, lot) for lot in lots.values()]
    rows.sort(key=lambda row: (row.start, row.end))
    holds = "one batch" if station.unit == "batch" else format_quantity(station.capacity, station.unit)
    about = f"{plan.name}: room for {holds}"
    return Sheet("station", station.name, about, HEADINGS, tuple(rows)).without_empty_columns()


def _work(source: Source, batch: Batch, seat: Seat) -> Row:
    amounts = [size(batch)]
    taken = room(source.plan, seat.station, seat.amount)
    if taken not in amounts and taken not in _SAYS_NOTHING:
        amounts.append(taken)
    hands = "; ".join(working(hand) for hand in batch.hands) or "nobody works"
    notes = (Note("who", hands), *source.at_the_start(batch), *source.at_the_end(batch))
    return Row(
        seat.start,
        seat.end,
        clock_span(seat.start, seat.end),
        batch.label,
        source.step(batch),
        (", ".join(amounts), setting(seat), "", ""),
        notes,
        batch.label in source.critical,
    )


def _change(change: Change) -> Row:
    what = f"{changing(change)} {from_and_to(change)}".rstrip()
    return Row(change.start, change.end, clock_span(change.start, change.end), "", what, ("", "", "", ""))


def _stay(source: Source, lot: Sequence[Stay]) -> Row:
    """One row for all that one batch leaves in a place, and a note of when each part is taken out."""
    first = lot[0]
    end = max(stay.end for stay in lot)
    station = first.station or ""
    return Row(
        first.start,
        end,
        clock_span(first.start, end) if end > first.start else f"{format_clock(first.start)}-",
        first.before,
        first.name or first.item,
        (
            room(source.plan, station, sum(stay.amount for stay in lot)),
            "",
            format_clock(first.start + first.least) if first.least else "",
            "" if first.most is None else format_clock(first.start + first.most),
        ),
        (Note("out", f"out {_taken_out(source, lot)}"),),
    )


def _taken_out(source: Source, lot: Sequence[Stay]) -> str:
    """Who takes a part of it when, or where it is moved."""
    if lot[0].after is None:
        return f"from {format_clock(lot[0].end)} on, when it is served"
    takers: list[str] = []
    moves: dict[str, None] = {}
    for stay in sorted(lot, key=lambda stay: stay.end):
        place = _next_place(source, stay)
        if place is None:
            takers.append(stay.after or "")
        else:
            moves[f"{format_clock(stay.end)} to {place}"] = None
    return ", ".join([*moves, *([f"for {source.named(takers)}"] if takers else [])])


def _next_place(source: Source, stay: Stay) -> str | None:
    """Where a lot is moved to when it goes from one wait to the next."""
    stays = next(passing.stays for passing in source.out_of[stay.before] if stay in passing.stays)
    following = stays[stays.index(stay) + 1 :]
    return following[0].station if following else None
