"""When people are there: inside their hours and not on a break."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stationplan.scenario.models import Person, Shift


def minutes_present(shift: Shift, person: Person, *, start: int, end: int) -> int:
    """Minutes that a person is in the kitchen and not on a break.

    Args:
        shift: when the kitchen opens and closes, for people without hours of their own.
        person: the person.
        start: from when to count, minutes since midnight of the first day.
        end: until when.
    """
    hours = [(span.start, span.end) for span in person.hours] or [(int(shift.opens), int(shift.closes))]
    breaks = [(span.start, span.end) for span in person.breaks]
    moments = sorted({moment for span in (*hours, *breaks, (start, end)) for moment in span if start <= moment <= end})
    return sum(
        later - earlier
        for earlier, later in pairwise(moments)
        if _within(earlier, hours) and not _within(earlier, breaks)
    )


def _within(moment: int, spans: list[tuple[int, int]]) -> bool:
    return any(first <= moment < last for first, last in spans)
