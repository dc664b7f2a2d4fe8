"""Equipment out of use: nothing is in it, and no more in a place than its other units hold."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.measure import CHAMBER_KINDS, is_pool, station_room
from stationplan.plan.document import Station
from stationplan.scenario.models import Equipment
from stationplan.scenario.units import format_quantity


def times_out(case: Case, station: Station, equipment: Equipment) -> list[tuple[int, int]]:
    """When a chamber or bowl is out of use, minutes since midnight of the first day; open ends are at closing.

    Args:
        case: the plan beside its scenario.
        station: the chamber or bowl.
        equipment: the kitchen's entry for it.
    """
    return _times(case, equipment, *place_of(case, station.name, equipment))


def place_of(case: Case, station: str, equipment: Equipment) -> tuple[int, int]:
    """Which unit of its entry a chamber or bowl is, and which chamber of that, both from 1."""
    rows = [row.name for row in case.plan.stations if row.equipment.casefold() == equipment.name.casefold()]
    chambers = equipment.chambers if equipment.kind in CHAMBER_KINDS else 1
    return rows.index(station) // chambers + 1, rows.index(station) % chambers + 1


def slower_on(case: Case, station: str, equipment: Equipment) -> Fraction:
    """The share by which everything takes longer there: of all that is said of it, the last counts."""
    unit, chamber = place_of(case, station, equipment)
    shares = [slow.by for slow in equipment.slower if slow.unit in (None, unit) and slow.chamber in (None, chamber)]
    return shares[-1] if shares else Fraction(0)


def check_out_of_use(case: Case) -> Iterator[Fault]:
    """Hold every batch and stay against the times in which its station, or a unit of it, is out of use.

    Not what was there already when the plan was made.
    """
    for station in case.stations.values():
        equipment = case.equipment_of(station.name)
        if equipment is None or not equipment.out_of_use:
            continue
        fillings = [
            (batch.label, seat.start, seat.end, seat.amount)
            for batch in case.plan.batches
            for seat in batch.seats
            if seat.station == station.name and seat.start < seat.end and batch.label not in case.began
        ]
        fillings += [
            (stay.before, max(stay.start, case.now), stay.end, stay.amount)
            for stay in case.plan.stays
            if stay.station == station.name and max(stay.start, case.now) < stay.end
        ]
        if is_pool(equipment):
            yield from _check_place(case, equipment, fillings)
            continue
        for start, end in times_out(case, station, equipment):
            for label, begin, until, _ in fillings:
                if begin < end and start < until:
                    sentence = (
                        f"{label} is on {station.name} from {clock(begin)} to {clock(until)}, "
                        f"which is out of use from {clock(start)} to {clock(end)}."
                    )
                    yield Fault(FaultKind.OUT_OF_USE, sentence, (label,))


def _check_place(case: Case, equipment: Equipment, fillings: list[tuple[str, int, int, int]]) -> Iterator[Fault]:
    """At every moment at which something comes in or a unit falls out, the units that are left must hold it all."""
    times = [_times(case, equipment, unit) for unit in range(1, equipment.count + 1)]
    moments = {start for spans in times for start, _ in spans} | {start for _, start, _, _ in fillings}
    for moment in sorted(moments):
        missing = sum(any(start <= moment < end for start, end in spans) for spans in times)
        there = [filling for filling in fillings if filling[1] <= moment < filling[2]]
        filled = sum(amount for *_, amount in there)
        room = math.floor(station_room(equipment) / equipment.count * (equipment.count - missing))
        if missing and filled > room:
            unit = "place" if equipment.holds is None else equipment.holds.unit
            labels = tuple(dict.fromkeys(label for label, *_ in there))
            sentence = (
                f"{equipment.name} has only {format_quantity(room, unit)} in use at {clock(moment)}, "
                f"but {format_quantity(filled, unit)} are in it: {', '.join(labels)}."
            )
            yield Fault(FaultKind.OUT_OF_USE, sentence, labels)


def _times(case: Case, equipment: Equipment, unit: int, chamber: int = 1) -> list[tuple[int, int]]:
    return sorted(
        (time.between.start, int(case.closes) if time.between.end is None else time.between.end)
        for time in equipment.out_of_use
        if time.unit in (None, unit) and time.chamber in (None, chamber)
    )
