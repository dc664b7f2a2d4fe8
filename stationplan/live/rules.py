"""What can be recorded: an event must not contradict what is recorded already."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from stationplan.live.events import (
    Accepted,
    Away,
    Back,
    Event,
    Failed,
    Finished,
    GoodsIn,
    GoodsLate,
    In,
    OrderCancelled,
    OrderChanged,
    Out,
    Overrunning,
    Recorded,
    Started,
    Undo,
)
from stationplan.live.state import Outage, ShiftState, apply, standing
from stationplan.live.wording import told, unit_name
from stationplan.scenario.units import format_clock


@dataclass(frozen=True, slots=True)
class Contradiction:
    """An event that what comes before it contradicts, and why."""

    entry: Recorded
    why: str


def complaint(state: ShiftState, event: Event, now: int) -> str | None:
    """Why an event cannot be recorded.

    Args:
        state: what is recorded so far.
        event: the event; an undo is judged by :func:`complaint_about_undo`.
        now: minutes since midnight of the first day.

    Returns:
        A sentence without its full stop; None when the event can be.
    """
    if event.at > now:
        return f"{format_clock(event.at)} is still to come: it is {format_clock(now)}"
    return _contradiction(state, event)


def complaint_about_undo(start: ShiftState, events: Sequence[Recorded], number: int) -> str | None:
    """Why an event cannot be undone: it is not there, or others build on it.

    Args:
        start: the state before the first event.
        events: everything recorded.
        number: the event to be undone.

    Returns:
        A sentence without its full stop; None when it can be.
    """
    entry = next((entry for entry in events if entry.number == number), None)
    if entry is None:
        return f"there is no event {number}"
    if isinstance(entry.event, Undo):
        return f"event {number} is itself an undo; record again what it has undone"
    if isinstance(entry.event, Accepted):
        return f"event {number} has put a plan in force; to go by another one, plan the rest anew"
    left = standing(events)
    if entry not in left:
        return f"event {number} has been undone already"
    wrong_before = {found.entry.number for found in contradictions(start, left)}
    for found in contradictions(start, [other for other in left if other.number != number]):
        if found.entry.number not in wrong_before:
            return f"event {found.entry.number}, {told(found.entry.event)}, builds on it; undo that first"
    return None


def contradictions(start: ShiftState, events: Sequence[Recorded]) -> Iterator[Contradiction]:
    """Every event that what comes before it contradicts.

    Args:
        start: the state before the first.
        events: in order, none of them undone.
    """
    state = start
    for entry in events:
        if not isinstance(entry.event, Undo):
            why = _contradiction(state, entry.event)
            if why is not None:
                yield Contradiction(entry, why)
        state = apply(state, entry)


def _contradiction(state: ShiftState, event: Event) -> str | None:
    match event:
        case Started():
            return _start(state, event)
        case Finished() | Overrunning() | Failed():
            return _going_on(state, event)
        case Out():
            return _out(state, event)
        case Back():
            return _back(state, event)
        case Away():
            away = state.away(event.person, event.at, event.until)
            if away is not None and event.until in (None, away.until):
                return f"{event.person} is recorded as away since {format_clock(away.start)}"
            return _later(event.until, event.at)
        case In():
            away = state.away(event.person, event.at)
            if away is None:
                return f"{event.person} is not recorded as away at {format_clock(event.at)}"
            return _not_before(event.at, away.start, f"{event.person} is away since")
        case OrderChanged() | OrderCancelled():
            line = next((line for line in state.orders if line.number == event.order), None)
            if line is None:
                return f"there is no order {event.order}; there are {len(state.orders)}"
            return f"order {event.order} has been cancelled" if line.cancelled else None
        case GoodsLate():
            return _later(event.until, event.at)
        case GoodsIn():
            late = next(
                (late for late in state.goods if late.ingredient.casefold() == event.ingredient.casefold()), None
            )
            coming = late is not None and late.until > event.at
            return None if coming else f"{event.ingredient} is not recorded as late at {format_clock(event.at)}"
        case _:
            return None


def _start(state: ShiftState, event: Started) -> str | None:
    run = state.runs.get(event.label)
    if run is not None:
        return f"{event.label} has been started already, at {format_clock(run.start)}"
    for station in event.stations:
        outage = next(state.outages_of(station), None)
        if outage is not None:
            since = format_clock(outage.start)
            return f"{station} is recorded as out of use since {since}; record that it is back first"
    for person in event.people:
        away = state.away(person, event.at)
        if away is not None and away.start <= event.at:
            return f"{person} is recorded as away since {format_clock(away.start)}; say who does it, such as: by NAME"
    return None


def _going_on(state: ShiftState, event: Finished | Overrunning | Failed) -> str | None:
    label = event.label
    run = state.runs.get(label)
    if run is None:
        return f"{label} has not been started; record that first, such as: started {label} at {format_clock(event.at)}"
    if run.outcome == "lost":
        return f"{label} is recorded as failed since {format_clock(run.end or run.start)}"
    if run.outcome == "done" and not isinstance(event, Failed):
        return f"{label} has been finished already, at {format_clock(run.end or run.start)}"
    if isinstance(event, Overrunning):
        wrong = _later(event.until, event.at)
        if wrong is not None:
            return wrong
    return _not_before(event.at, run.start, f"{label} was started at")


def _out(state: ShiftState, event: Out) -> str | None:
    same = event.unit, event.chamber
    for unit, chamber in dict.fromkeys((same, (event.unit, None), (None, None))):
        outage = state.out(event.equipment, unit, chamber)
        if outage is not None and ((unit, chamber) != same or not _moves(event.until, outage)):
            name = unit_name(event.equipment, unit, chamber)
            return f"{name} is recorded as out of use since {format_clock(outage.start)}"
    return _later(event.until, event.at)


def _moves(until: int | None, outage: Outage) -> bool:
    """Whether an outage gets another end by this."""
    return until not in (None, outage.until) and until > outage.start


def _back(state: ShiftState, event: Back) -> str | None:
    name = unit_name(event.equipment, event.unit, event.chamber)
    outages = [o for o in state.outages if o.equipment == event.equipment and o.ended is None]
    own = [o for o in outages if event.unit in (None, o.unit) and event.chamber in (None, o.chamber)]
    if not own:
        around = (o for o in outages if o.unit in (None, event.unit) and o.chamber in (None, event.chamber))
        outage = next(around, None)
        whole = "" if outage is None else f"; all of it is: back {unit_name(outage.equipment, outage.unit)}"
        return f"{name} is not recorded as out of use{whole}"
    return _not_before(event.at, max(o.start for o in own), f"{name} is out of use since")


def _later(until: int | None, at: int) -> str | None:
    if until is not None and until <= at:
        return f"until {format_clock(until)} is not after {format_clock(at)}"
    return None


def _not_before(at: int, earliest: int, since: str) -> str | None:
    return f"{format_clock(at)} is too early: {since} {format_clock(earliest)}" if at < earliest else None
