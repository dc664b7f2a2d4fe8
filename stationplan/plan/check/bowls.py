"""Mixers: one batch at a time in each bowl, washed between contents."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.ovens import Turnover, loads_of
from stationplan.plan.document import Station
from stationplan.scenario.models import ANYTHING, Equipment


def check_bowls(case: Case) -> Iterator[Fault]:
    """Check every two batches of a bowl, as a long wash counts whatever comes between."""
    for station, equipment in _bowls(case):
        for (before, used), (after, wanted) in combinations(loads_of(case, station), 2):
            labels = (before.label, after.label)
            minutes = wash_minutes(equipment, used.holding or "", wanted.holding or "")
            if used.start < used.end and wanted.start < min(used.end, wanted.end):
                sentence = f"{station.name} has {after.label} from {clock(wanted.start)}, while {before.label} is in it."
                yield Fault(FaultKind.BOWL_TAKEN, sentence, labels)
            elif wanted.start < used.end + minutes:
                sentence = (
                    f"{station.name} takes {minutes} minutes to wash after {before.label} at {clock(used.end)}, "
                    f"but {after.label} starts at {clock(wanted.start)}."
                )
                yield Fault(FaultKind.WASH_TOO_SHORT, sentence, labels)


def bowl_turnovers(case: Case) -> Iterator[Turnover]:
    """Every wash between two batches that follow one another in a bowl."""
    for station, equipment in _bowls(case):
        loads = loads_of(case, station)
        for (_, used), (_, wanted) in zip(loads, loads[1:], strict=False):
            before, after = used.holding or "", wanted.holding or ""
            minutes = wash_minutes(equipment, before, after)
            if minutes:
                yield Turnover(station.name, used.end, wanted.start, minutes, "wash", before, after)


def wash_minutes(equipment: Equipment, before: str, after: str) -> int:
    """Minutes of washing between two contents of a bowl.

    Args:
        equipment: the mixer.
        before: what was in the bowl.
        after: what comes next.

    Returns:
        Whole minutes; 0 between like and like unless the kitchen says otherwise.
    """
    table = {(entry.before, entry.after): entry.takes for entry in equipment.changeovers}
    if before == after:
        return math.ceil(table.get((before, after), 0))
    for pair in ((before, after), (before, ANYTHING), (ANYTHING, after), (ANYTHING, ANYTHING)):
        if pair in table:
            return math.ceil(table[pair])
    return math.ceil(equipment.wash)


def _bowls(case: Case) -> Iterator[tuple[Station, Equipment]]:
    for station in case.stations.values():
        equipment = case.equipment_of(station.name)
        if equipment is not None and equipment.kind == "mixer":
            yield station, equipment
