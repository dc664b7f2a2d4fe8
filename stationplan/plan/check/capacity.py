"""Room: no oven chamber and no place ever holds more than it can."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.document import Station
from stationplan.scenario.units import format_quantity


@dataclass(frozen=True)
class _Filling:
    """Something that takes up room from start to end."""

    label: str
    start: int
    end: int
    amount: int


def check_capacity(case: Case) -> Iterator[Fault]:
    """Sweep over everything that stands in ovens and places, batches and waits alike."""
    fillings: dict[str, list[_Filling]] = defaultdict(list)
    for batch in case.plan.batches:
        for seat in batch.seats:
            fillings[seat.station].append(_Filling(batch.label, seat.start, seat.end, seat.amount))
    for stay in case.plan.stays:
        if stay.station is not None:
            fillings[stay.station].append(_Filling(stay.before, stay.start, stay.end, stay.amount))
    for station, inside in fillings.items():
        equipment = case.equipment_of(station)
        # A bowl takes one batch at a time, whatever its size; that is checked with the washing.
        if equipment is not None and equipment.kind != "mixer":
            yield from _check_station(case.stations[station], inside)


def _check_station(station: Station, inside: list[_Filling]) -> Iterator[Fault]:
    """Report each stretch of time over capacity once, at its fullest."""
    changes: dict[int, int] = defaultdict(int)
    for filling in inside:
        if filling.start < filling.end:
            changes[filling.start] += filling.amount
            changes[filling.end] -= filling.amount
    filled, fullest, since = 0, 0, 0
    for moment in sorted(changes):
        filled += changes[moment]
        if filled > station.capacity and filled > fullest:
            fullest, since = filled, moment
        elif filled <= station.capacity and fullest:
            labels = tuple(dict.fromkeys(f.label for f in inside if f.start <= since < f.end))
            room, inside_it = format_quantity(station.capacity, station.unit), format_quantity(fullest, station.unit)
            sentence = f"{station.name} holds {room}, but at {clock(since)} {inside_it} are in it: {', '.join(labels)}."
            yield Fault(FaultKind.OVER_CAPACITY, sentence, labels)
            fullest = 0
