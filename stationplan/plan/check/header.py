"""The frame of the plan: name, shift, stations and people are those of the scenario."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterator

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.measure import CHAMBER_KINDS, is_pool, room_unit, station_room
from stationplan.plan.document import Station
from stationplan.scenario.models import Equipment


def check_header(case: Case) -> Iterator[Fault]:
    """Compare the frame of the plan with the scenario's kitchen and shift."""
    plan = case.plan
    if plan.name != case.scenario.name:
        yield Fault(FaultKind.HEADER_DIFFERS, f"The plan is called {plan.name}, the scenario {case.scenario.name}.")
    if (plan.opens, plan.closes) != (case.opens, case.closes):
        sentence = f"The shift is from {clock(case.opens)} to {clock(case.closes)}, in the plan "
        yield Fault(FaultKind.HEADER_DIFFERS, sentence + f"from {clock(plan.opens)} to {clock(plan.closes)}.")
    if sorted(plan.people) != sorted(case.people):
        sentence = f"In the kitchen are {', '.join(case.people) or 'nobody'}, in the plan {', '.join(plan.people)}."
        yield Fault(FaultKind.PEOPLE_LIST_DIFFERS, sentence)
    for name, times in Counter(station.name for station in plan.stations).items():
        if times > 1:
            yield Fault(FaultKind.STATION_LIST_DIFFERS, f"The plan has {times} rows called {name}.")
    rows = Counter(station.equipment.casefold() for station in plan.stations)
    for equipment in case.scenario.kitchen.equipment:
        count, there = _rows_of(equipment), rows[equipment.name.casefold()]
        if there != count:
            sentence = f"The kitchen has {count} of {equipment.name}, the plan {there}."
            yield Fault(FaultKind.STATION_LIST_DIFFERS, sentence)
        else:
            yield from _check_units(case, equipment)
    for station in plan.stations:
        yield from _check_station(case, station)


def _rows_of(equipment: Equipment) -> int:
    if is_pool(equipment):
        return 1
    return equipment.count * (equipment.chambers if equipment.kind in CHAMBER_KINDS else 1)


def _check_units(case: Case, equipment: Equipment) -> Iterator[Fault]:
    """Units are told apart by their numbers, which rise from row to row: a unit that is out of use is one of them."""
    names = [row.name for row in case.plan.stations if row.equipment.casefold() == equipment.name.casefold()]
    numbers = [tuple(int(part) for part in re.findall(r"\d+", name.removeprefix(equipment.name))) for name in names]
    if len(names) > 1 and (numbers != sorted(numbers) or len(set(numbers)) < len(numbers)):
        sentence = f"The units of {equipment.name} are listed as {', '.join(names)}, which is not their order."
        yield Fault(FaultKind.STATION_LIST_DIFFERS, sentence)


def _check_station(case: Case, station: Station) -> Iterator[Fault]:
    equipment = case.equipment.get(station.equipment.casefold())
    if equipment is None:
        sentence = f"{station.name} belongs to {station.equipment}, which the kitchen does not have."
        yield Fault(FaultKind.STATION_LIST_DIFFERS, sentence)
        return
    capacity, unit = math.floor(station_room(equipment)), room_unit(equipment)
    if (station.kind, station.capacity, station.unit) != (equipment.kind, capacity, unit):
        sentence = (
            f"{station.name} is a {equipment.kind} for {capacity} {unit}, "
            f"in the plan a {station.kind} for {station.capacity} {station.unit}."
        )
        yield Fault(FaultKind.STATION_LIST_DIFFERS, sentence)
