"""How busy stations and people are over the time of a plan, in half hours."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from stationplan.plan.attendance import minutes_present

if TYPE_CHECKING:
    from stationplan.plan.document import Plan, Station
    from stationplan.scenario.models import Scenario

SLOT_MINUTES = 30


@dataclass(frozen=True, slots=True)
class Slot:
    """How much work there is in a stretch of time, and how much there could be: minutes times room.

    ``possible`` is 0 where nobody is there.
    """

    work: int
    possible: int

    @property
    def percent(self) -> int | None:
        """The share in hundredths, rounded half up; None where no work is possible."""
        return None if not self.possible else (200 * self.work + self.possible) // (2 * self.possible)


@dataclass(frozen=True, slots=True)
class Utilisation:
    """How busy a station or a person is.

    Attributes:
        name: of the station or person.
        kind: which of the two.
        slots: one for each half hour.
        total: from opening to the finish.
        changing: minutes of heating, cooling and washing, which are no work.
    """

    name: str
    kind: Literal["station", "person"]
    slots: tuple[Slot, ...]
    total: Slot
    changing: int = 0


_Span = tuple[int, int, int]
"""Start, end, room taken."""


def first_slot(plan: Plan) -> int:
    """When the first half hour begins, minutes since midnight of the first day.

    Args:
        plan: the plan.
    """
    return plan.opens // SLOT_MINUTES * SLOT_MINUTES


def utilisation(plan: Plan, scenario: Scenario) -> tuple[Utilisation, ...]:
    """How busy every station and person is, between opening and finish, by the half hour of the clock.

    What stands in a place takes its room as a batch does. A bowl takes one batch at a time: half full is busy. People
    are only there in their hours and not on their breaks.

    Args:
        plan: the plan.
        scenario: the scenario that it carries.

    Returns:
        The stations, then the people, in the order of the plan.
    """
    edges = range(first_slot(plan), plan.finish, SLOT_MINUTES)
    slots = [(max(edge, plan.opens), min(edge + SLOT_MINUTES, plan.finish)) for edge in edges]
    found = []
    for station in plan.stations:
        room = _room(station)
        work = list(_taken(plan, station))
        changing = sum(change.end - change.start for change in plan.changes if change.station == station.name)
        parts = tuple(Slot(_overlap(work, start, end), room * (end - start)) for start, end in slots)
        found.append(Utilisation(station.name, "station", parts, _sum(parts), changing))
    people = {person.name: person for person in scenario.kitchen.people}
    for name in plan.people:
        hands = [(hand.start, hand.end, 1) for batch in plan.batches for hand in batch.hands if hand.person == name]
        parts = tuple(
            Slot(_overlap(hands, start, end), minutes_present(scenario.shift, people[name], start=start, end=end))
            for start, end in slots
        )
        found.append(Utilisation(name, "person", parts, _sum(parts)))
    return tuple(found)


def _room(station: Station) -> int:
    return 1 if station.kind == "mixer" else station.capacity


def _taken(plan: Plan, station: Station) -> Iterable[_Span]:
    for batch in plan.batches:
        for seat in batch.seats:
            if seat.station == station.name:
                yield seat.start, seat.end, 1 if station.kind == "mixer" else seat.amount
    for stay in plan.stays:
        if stay.station == station.name:
            yield stay.start, stay.end, stay.amount


def _overlap(spans: Iterable[_Span], start: int, end: int) -> int:
    return sum(max(0, min(last, end) - max(first, start)) * room for first, last, room in spans)


def _sum(slots: Iterable[Slot]) -> Slot:
    parts = list(slots)
    return Slot(sum(slot.work for slot in parts), sum(slot.possible for slot in parts))
