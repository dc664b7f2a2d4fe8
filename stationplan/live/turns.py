"""Whose hands are needed at what from now on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from stationplan.live.expecting import Forecast, Outlook
    from stationplan.live.state import ShiftState


@dataclass(frozen=True, slots=True)
class Turn:
    """A pair of hands at a batch, from when to when as expected, minutes since midnight of the first day.

    ``planned`` is when they were to begin.
    """

    person: str
    start: int
    end: int
    doing: Literal["hands-on", "load", "unload"]
    outlook: Outlook
    planned: int


def turns_in(state: ShiftState, forecast: Forecast) -> tuple[Turn, ...]:
    """Whose hands are at what from now on, by start.

    Args:
        state: what is recorded.
        forecast: what is expected.
    """
    found = []
    for outlook in forecast.outlooks.values():
        batch = outlook.batch
        run = state.runs.get(batch.label)
        for number, hand in enumerate(batch.hands):
            person = run.people[number] if run is not None and number < len(run.people) else hand.person
            start, end = outlook.span(hand)
            if outlook.standing not in ("done", "lost") and end >= forecast.now:
                found.append(Turn(person, start, end, hand.doing, outlook, hand.start))
    return tuple(sorted(found, key=lambda turn: (turn.start, turn.end)))
