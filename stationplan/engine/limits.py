"""How long a solve may go on: seconds, deterministic effort, or an interruption."""

from __future__ import annotations

import math
import time


class Limits:
    """A budget that the phases of one solve share.

    Seconds are wall-clock; effort is CP-SAT's deterministic time, the same on every
    machine for the same work. Without either the solve goes on until everything is
    proved.
    """

    def __init__(self, time_limit: float | None, effort: float | None) -> None:
        self._started = time.monotonic()
        self._time_limit = time_limit
        self._effort = effort
        self._spent = 0.0
        self.interrupted = False

    @property
    def deterministic(self) -> bool:
        """Whether only work counts, so that the outcome must not depend on the clock."""
        return self._effort is not None and self._time_limit is None

    @property
    def seconds(self) -> float:
        """Seconds since the start."""
        return time.monotonic() - self._started

    @property
    def spent(self) -> float:
        """Deterministic effort taken off so far."""
        return self._spent

    def spend(self, effort: float) -> None:
        """Take deterministic effort off the budget."""
        self._spent += effort

    def left(self, share: float = 1.0) -> tuple[float, float]:
        """Seconds and effort left up to ``share`` of the whole budget; infinite where there is no limit."""
        seconds = math.inf if self._time_limit is None else max(0.0, self._time_limit * share - self.seconds)
        effort = math.inf if self._effort is None else max(0.0, self._effort * share - self._spent)
        return seconds, effort

    def used_up(self, share: float = 1.0) -> bool:
        """Whether nothing is left, or the user has interrupted."""
        return self.interrupted or min(self.left(share)) <= 0
