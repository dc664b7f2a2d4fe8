"""When people are away, as a simulation sees it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True, slots=True)
class Away:
    """A time away, minutes since midnight of the first day; ``rests`` marks a break inside the hours."""

    start: int
    end: int
    rests: bool


def times_away(scenario: Scenario) -> dict[str, tuple[Away, ...]]:
    """Breaks, and the time outside their hours, of everybody.

    Args:
        scenario: the scenario; somebody without hours is in from opening to closing.

    Returns:
        For each person the times away from opening to closing, by their start, without overlaps.
    """
    opens, closes = int(scenario.shift.opens), int(scenario.shift.closes)
    found: dict[str, tuple[Away, ...]] = {}
    for person in scenario.kitchen.people:
        hours = sorted((int(span.start), int(span.end)) for span in person.hours) or [(opens, closes)]
        breaks = sorted((int(span.start), int(span.end)) for span in person.breaks)
        away: list[Away] = []
        left = opens
        for start, end in [*hours, (closes, closes)]:
            if start > left:
                away.append(Away(left, start, rests=False))
            left = max(left, start)
            for begins, ends in breaks:
                begins, ends = max(begins, left), min(ends, end)
                if begins < ends:
                    away.append(Away(begins, ends, rests=True))
                    left = ends
            left = max(left, end)
        found[person.name] = tuple(sorted(away, key=lambda one: one.start))
    return found
