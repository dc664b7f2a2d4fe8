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
    """Something that takes up room from start to end; ``given`` if that was not to be planned any more."""

    label: str
    start: int
    end: int
    amount: int
    given: bool = False


def check_capacity(case: Case) -> Iterator[Fault]:
    """Sweep over everything that stands in ovens and places, batches and waits alike.

    Where part of the shift was over, from then on; what had begun and is too much by itself cannot be helped.
    """
    fillings: dict[str, list[_Filling]] = defaultdict(list)
    for batch in case.plan.batches:
        for seat in batch.seats:
            given = batch.label in case.began
            start = max(seat.start, case.now) if given else seat.start
            fillings[seat.station].append(_Filling(batch.label, start, seat.end, seat.amount, given))
    for stay in case.plan.stays:
        if stay.station is not None:
            given = stay.before in case.began and (stay.after is None or stay.after in case.began)
            start = max(stay.start, case.now) if stay.before in case.began else stay.start
            fillings[stay.station].append(_Filling(stay.before, start, stay.end, stay.amount, given))
    for station, inside in fillings.items():
        equipment = case.equipment_of(station)
        # A bowl takes one batch at a time, whatever its size; that is checked with the washing.
        if equipment is not None and equipment.kind != "mixer":
            yield from _check_station(case.stations[station], inside)


def _check_station(station: Station, inside: list[_Filling]) -> Iterator[Fault]:
    """Report each stretch of time over capacity once, at its fullest."""
    changes: dict[int, int] = defaultdict(int)
    planned: dict[int, int] = defaultdict(int)
    for filling in inside:
        if filling.start < filling.end:
            for counted in (changes, *(() if filling.given else (planned,))):
                counted[filling.start] += filling.amount
                counted[filling.end] -= filling.amount
    filled, by_plan, fullest, since = 0, 0, 0, 0
    for moment in sorted(changes):
        filled += changes[moment]
        by_plan += planned[moment]
        over = filled > station.capacity and by_plan > 0
        if over and filled > fullest:
            fullest, since = filled, moment
        elif not over and fullest:
            labels = tuple(dict.fromkeys(f.label for f in inside if f.start <= since < f.end))
            room, inside_it = format_quantity(station.capacity, station.unit), format_quantity(fullest, station.unit)
            sentence = f"{station.name} holds {room}, but at {clock(since)} {inside_it} are in it: {', '.join(labels)}."
            yield Fault(FaultKind.OVER_CAPACITY, sentence, labels)
            fullest = 0
