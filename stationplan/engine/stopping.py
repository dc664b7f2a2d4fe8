"""Rules that end a search before its budget does: close enough to the bound, or no news for too long."""

from __future__ import annotations

from typing import Protocol

from stationplan.engine.result import StoppedBy

Costs = tuple[int, ...]
"""Lateness, makespan and, where it is being improved, tidiness: values or bounds."""

# Well below what a minute is of any makespan, so that 29 of 100 are 29 %, whatever binary fractions make of it.
TOLERANCE = 1e-9


class StoppingRule(Protocol):
    """Is told what the search finds, and says when it is to stop."""

    by: StoppedBy

    def hears(self, value: Costs | None, bound: Costs) -> bool:
        """Take note of the best value (None while there is no schedule) and the bounds; whether they are enough."""

    def tires(self, now: float) -> bool:
        """Whether too much time, or effort, has passed by ``now``; time without a schedule does not count."""


class GapRule:
    """Ends the search when no lateness can be gained, and of the makespan no more than a share.

    Args:
        gap: the share of the makespan, 0.02 for 2 %.
    """

    by = StoppedBy.GAP

    def __init__(self, gap: float) -> None:
        self._gap = gap

    def hears(self, value: Costs | None, bound: Costs) -> bool:
        """Whether the lateness is proved and the makespan close enough to its bound."""
        if value is None or value[0] > bound[0]:
            return False
        return value[1] - bound[1] <= self._gap * value[1] + TOLERANCE

    def tires(self, now: float) -> bool:
        """Never."""
        return False


class StallRule:
    """Ends the search when neither the schedule nor a bound has improved for a while.

    An improvement counts from the first look at the clock after it. Effort is only known
    at the end of a run of the solver, so in effort that is the end of its run.

    Args:
        patience: seconds, or units of effort.
    """

    by = StoppedBy.STALL

    def __init__(self, patience: float) -> None:
        self._patience = patience
        self._value: Costs | None = None
        self._bound: Costs = ()
        self._news = False
        self._since = 0.0

    @property
    def begun(self) -> bool:
        """Whether there is a schedule, so that waiting counts."""
        return self._value is not None

    def begin_stage(self) -> None:
        """Wait anew: what one way of searching has lost is not held against the next."""
        self._news = True

    def hears(self, value: Costs | None, bound: Costs) -> bool:
        """Never enough, but perhaps news."""
        if value is not None:
            before = self._value
            if before is None or value < before[: len(value)]:
                self._value, self._news = value, True
            elif value[: len(before)] == before:
                # Nothing better, but now it is known how tidy it is.
                self._value = value
        if bound > self._bound:
            self._bound, self._news = bound, True
        return False

    def tires(self, now: float) -> bool:
        """Whether there has been no news for as long as the patience lasts."""
        if self._news or not self.begun:
            self._news, self._since = False, now
        return now - self._since >= self._patience
