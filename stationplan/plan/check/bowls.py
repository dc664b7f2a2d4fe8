"""Mixers: one batch at a time in each bowl, washed between contents."""

from __future__ import annotations

import math
from collections.abc import Iterator

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.ovens import Turnover, been_since, loads_of
from stationplan.plan.document import Batch, Seat, Station
from stationplan.scenario.models import ANYTHING, Equipment
from stationplan.scenario.units import format_duration


def check_bowls(case: Case) -> Iterator[Fault]:
    """Hold each batch against the last one of every content before it: a long wash counts whatever comes between."""
    for station, equipment in _bowls(case):
        last: dict[str, tuple[Seat, str]] = {}
        loads = loads_of(case, station)
        for batch, seat in loads:
            content = seat.holding or ""
            for before, (earlier, label) in last.items():
                begun, end = label in case.began, earlier.end
                if begun and batch.label in case.began:
                    continue
                minutes = wash_minutes(equipment, before, content)
                if begun and before != content and _has_held(case, loads, content, earlier.start):
                    minutes = 0
                if seat.start < end:
                    sentence = f"{station.name} has {batch.label} from {clock(seat.start)}, while {label} is in it."
                    yield Fault(FaultKind.BOWL_TAKEN, sentence, (label, batch.label))
                elif seat.start < end + minutes:
                    sentence = (
                        f"{station.name} takes {format_duration(minutes)} to wash after {label} at {clock(end)}, "
                        f"but {batch.label} starts at {clock(seat.start)}."
                    )
                    yield Fault(FaultKind.WASH_TOO_SHORT, sentence, (label, batch.label))
            if content not in last or last[content][0].end < seat.end:
                last[content] = (seat, batch.label)


def bowl_turnovers(case: Case) -> Iterator[Turnover]:
    """Every wash between two batches that follow one another in a bowl."""
    for station, equipment in _bowls(case):
        loads = loads_of(case, station)
        for place, (batch, wanted) in enumerate(loads):
            if batch.label in case.began or not place:
                continue
            # Where two batches were recorded in one bowl at once, the one that ended last left it as it is.
            _, used = max(loads[:place], key=lambda load: (load[1].end, load[0].label))
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


def _has_held(case: Case, loads: list[tuple[Batch, Seat]], content: str, start: int) -> bool:
    return been_since(case, loads, lambda seat: (seat.holding or "") == content, start)


def _bowls(case: Case) -> Iterator[tuple[Station, Equipment]]:
    for station in case.stations.values():
        equipment = case.equipment_of(station.name)
        if equipment is not None and equipment.kind == "mixer":
            yield station, equipment
