"""When people are away, and when equipment is out of use."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from pydantic import ValidationError

from stationplan.plan.document import Plan
from stationplan.scenario.errors import UnitError
from stationplan.scenario.today import OutOfUse
from stationplan.scenario.units import parse_clock_span

DAY = 24 * 60


@dataclass(frozen=True)
class Absence:
    """A time away, minutes since midnight of the first day; ``rests`` marks a break inside the hours."""

    start: int
    end: int
    rests: bool


def times_away(plan: Plan) -> dict[str, tuple[Absence, ...]]:
    """Breaks and off-hours of each person, read from the scenario that the plan carries.

    Args:
        plan: the plan; people it says nothing about in its scenario are never away.

    Returns:
        For each person of the scenario, absences in time order, without overlaps, from midnight of the
        first day to a day after the finish.
    """
    kitchen = plan.scenario.get("kitchen")
    people = kitchen.get("people") if isinstance(kitchen, dict) else None
    end = max(plan.finish, plan.closes) + DAY
    found = {}
    for person in people if isinstance(people, list) else ():
        # A chart is worth more than the times away: what cannot be read here is the business of the plan's check.
        with suppress(UnitError, AttributeError):
            hours = _spans(person.get("hours")) or [(plan.opens, plan.closes)]
            breaks = _spans(person.get("breaks"))
            found[str(person.get("name"))] = _absences(hours, breaks, end)
    return found


def times_out_of_use(plan: Plan) -> dict[str, tuple[tuple[int, int], ...]]:
    """When each station as a whole is out of use, read from the scenario that the plan carries.

    Args:
        plan: the plan.

    Returns:
        For each such station, spans in minutes since midnight of the first day, by start; a place of several units only
        where all of them are out of use at once by one entry.
    """
    kitchen = plan.scenario.get("kitchen")
    equipment = kitchen.get("equipment") if isinstance(kitchen, dict) else None
    found: dict[str, tuple[tuple[int, int], ...]] = {}
    for machine in equipment if isinstance(equipment, list) else ():
        with suppress(ValidationError, AttributeError, TypeError):
            raw = machine.get("out_of_use") or ()
            times = [OutOfUse.model_validate(time) for time in (raw if isinstance(raw, list) else [raw] if raw else ())]
            rows = [station.name for station in plan.stations if station.equipment == machine.get("name")]
            count = int(machine.get("count", 1))
            for number, name in enumerate(rows):
                # Several places are one row, which is out of use only as a whole.
                unit = number * count // len(rows) + 1 if len(rows) > 1 or count == 1 else None
                chamber = number % max(1, len(rows) // count) + 1
                found[name] = tuple(
                    sorted(
                        (time.between.start, plan.closes if time.between.end is None else time.between.end)
                        for time in times
                        if time.unit in (None, unit) and time.chamber in (None, chamber)
                    )
                )
    return {name: spans for name, spans in found.items() if spans}


def _spans(raw: Any) -> list[tuple[int, int]]:
    texts = raw if isinstance(raw, list) else [] if raw is None else [raw]
    spans = [parse_clock_span(text) for text in texts]
    return sorted((span.start, span.end) for span in spans)


def _absences(hours: list[tuple[int, int]], breaks: list[tuple[int, int]], end: int) -> tuple[Absence, ...]:
    found = []
    left = 0
    for start, stop in hours:
        if start > left:
            found.append(Absence(left, start, rests=False))
        begin = max(start, left)
        found += [Absence(max(a, begin), min(b, stop), rests=True) for a, b in breaks if a < stop and b > begin]
        left = max(left, stop)
    if left < end:
        found.append(Absence(left, end, rests=False))
    return tuple(found)
