"""What happens in a plan as the events of a calendar: for the whole kitchen, or for one person."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.plan.wording import listed, ordered
from stationplan.render.phrases import changing, from_and_to, room, setting, size, working
from stationplan.render.presence import times_away
from stationplan.render.sheets.people import DOING
from stationplan.scenario.units import format_clock

if TYPE_CHECKING:
    from stationplan.plan.document import Batch, Change, Delivered, Hand, Plan, Seat
    from stationplan.plan.passing import Passing
    from stationplan.render.sheets.source import Source

TIGHT = 30
"""What may wait at most so many minutes longer than planned is worth an alarm."""
NOTICE = 5
"""How many minutes before it is too late this alarm comes at the latest."""


@dataclass(frozen=True)
class Alarm:
    """Something to be reminded of at a moment, minutes since midnight of the first day."""

    minute: int
    text: str


@dataclass(frozen=True)
class Event:
    """Something that happens from ``start`` to ``end``, minutes since midnight of the first day.

    ``key`` tells it from all other events of the plan, and stays the same where the plan is made anew at other times.
    """

    key: tuple[str, ...]
    start: int
    end: int
    summary: str
    details: tuple[str, ...] = ()
    place: str = ""
    alarms: tuple[Alarm, ...] = ()


def events_of_person(source: Source, person: str) -> tuple[Event, ...]:
    """What one person does, and that person's breaks.

    Args:
        source: the plan.
        person: a name of the plan.

    Returns:
        The events by start. There is an alarm where a batch that is under way needs this person's hands, where one
        that this person was the last to work at ends by itself, and where what this person takes up must not wait much
        longer than planned.
    """
    found = []
    for batch in source.plan.batches:
        first = min((hand.start for hand in batch.hands), default=batch.start)
        last = max((hand.end for hand in batch.hands), default=batch.end)
        for number, hand in enumerate(batch.hands, 1):
            if hand.person == person:
                again = [Alarm(hand.start, _title(batch, hand))] if hand.start > batch.start else []
                begins, ends = hand.start == first, hand.end == last
                found.append(
                    Event(
                        ("hand", batch.label, str(number)),
                        hand.start,
                        hand.end,
                        _summary(batch, hand),
                        _details(source, batch, begins=begins, ends=ends),
                        _places(batch),
                        (*again, *(_end(batch) if ends else ()), *(_tight(source, batch) if begins else ())),
                    )
                )
    plan = source.plan
    breaks = [absence for absence in times_away(plan).get(person, ()) if absence.rests and absence.start < plan.finish]
    for number, rest in enumerate(breaks, 1):
        found.append(Event(("break", person, str(number)), rest.start, rest.end, "break"))
    return tuple(sorted(found, key=lambda event: event.start))


def events_of_kitchen(source: Source) -> tuple[Event, ...]:
    """What the kitchen does: its batches, what its stations need to be ready, and its orders.

    Args:
        source: the plan.

    Returns:
        The events by start. There is an alarm where a batch that is under way needs hands, where one ends with nobody
        at it, where a station is to be got ready, and where something must not wait much longer than planned.
    """
    plan = source.plan
    found = [_batch(source, batch) for batch in plan.batches]
    found += [_change(change, number) for number, change in enumerate(plan.changes, 1)]
    found += [_order(plan, order, number) for number, order in enumerate(plan.orders, 1)]
    return tuple(sorted(found, key=lambda event: event.start))


def _batch(source: Source, batch: Batch) -> Event:
    again = [
        Alarm(hand.start, f"{hand.person}: {_title(batch, hand)}") for hand in batch.hands if hand.start > batch.start
    ]
    return Event(
        ("batch", batch.label),
        batch.start,
        batch.end,
        _summary(batch),
        _details(source, batch, begins=True, ends=True),
        _places(batch),
        (*again, *_end(batch), *_tight(source, batch)),
    )


def _details(source: Source, batch: Batch, *, begins: bool, ends: bool) -> tuple[str, ...]:
    """What to know about a batch; what goes in only where it begins, and where it goes only where it ends."""
    lines = []
    if begins:
        lines += [note.text for note in source.at_the_start(batch)]
        lines += [_begin(passing, latest) for latest, passing in _limits(source, batch)]
    lines += [_seat(source.plan, seat) for seat in batch.seats]
    lines += [working(hand) for hand in batch.hands]
    if ends:
        lines += [note.text for note in source.at_the_end(batch)]
    return tuple(lines)


def _change(change: Change, number: int) -> Event:
    summary = f"{change.station} {changing(change)} {from_and_to(change)}".rstrip()
    key = ("change", change.station, str(number))
    return Event(key, change.start, change.end, summary, (), change.station, (Alarm(change.start, summary),))


def _order(plan: Plan, order: Delivered, number: int) -> Event:
    unit = next((amount.unit for amount in plan.amounts if amount.item == order.product), "piece")
    due = [] if order.due is None else [f"due {format_clock(order.due)}"]
    late = [f"{order.late} min late"] if order.late else []
    summary = ", ".join((f"{ordered(order.quantity, unit, order.product)} ready", *due, *late))
    details = (f"made by {listed(order.batches)}",) if order.batches else ()
    return Event(("order", str(number)), order.ready, order.ready, summary, details)


def _title(batch: Batch, hand: Hand | None = None) -> str:
    doing = "" if hand is None or hand.doing == "hands-on" else f"{DOING[hand.doing]} "
    return f"{doing}{batch.label} {batch.step}"


def _summary(batch: Batch, hand: Hand | None = None) -> str:
    return f"{_title(batch, hand)}: {batch.item}, {size(batch)}"


def _places(batch: Batch) -> str:
    return ", ".join(dict.fromkeys(seat.station for seat in batch.seats))


def _seat(plan: Plan, seat: Seat) -> str:
    heat = setting(seat)
    return f"on {seat.station}{f' at {heat}' if heat else ''}, takes {room(plan, seat.station, seat.amount)}"


def _end(batch: Batch) -> list[Alarm]:
    """The end of a batch with nobody at it."""
    attended = max((hand.end for hand in batch.hands), default=batch.start) >= batch.end
    return [] if attended else [Alarm(batch.end, f"{_title(batch)} ends")]


def _limits(source: Source, batch: Batch) -> list[tuple[int, Passing]]:
    """By when a batch must begin, the earliest first, and what must not wait longer."""
    limits = [(passing.latest, passing) for passing in source.into.get(batch.label, ()) if passing.latest is not None]
    return sorted(limits, key=lambda limit: limit[0])


def _begin(passing: Passing, latest: int) -> str:
    return f"begin by {format_clock(latest)} at the latest: {passing.item} from {passing.before} must not wait longer"


def _tight(source: Source, batch: Batch) -> list[Alarm]:
    """When to begin, where what is taken up cannot wait: as planned, or some minutes before it is too late."""
    limits = [(latest, passing) for latest, passing in _limits(source, batch) if latest - batch.start <= TIGHT]
    if not limits:
        return []
    latest, passing = limits[0]
    return [Alarm(min(batch.start, latest - NOTICE), f"{_title(batch)}: {_begin(passing, latest)}")]
