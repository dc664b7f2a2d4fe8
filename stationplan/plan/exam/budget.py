"""How long to look for an answer to each question of an exam, and for all of them."""

from __future__ import annotations

import time
from dataclasses import dataclass, field

from stationplan.plan.produce import Effort

SHARE_OF_A_QUESTION = 1 / 4
SHARE_OF_A_LOOK = 1 / 40
ENOUGH = 0.999
"""Any schedule answers whether there is one."""


@dataclass(frozen=True)
class Budget:
    """Limits for a number of searches one after another.

    With a time limit each question may take a share of what is left. With effort alone the
    search for the best may take that much work, and each question before it the same share
    of it every time, so that the answers are the same on every run.

    Attributes:
        limits: seconds in all, or effort for the best schedule; seed and workers.
        started: when it began, on the clock of :func:`time.monotonic`.
    """

    limits: Effort
    started: float = field(default_factory=time.monotonic)

    @property
    def left(self) -> float | None:
        """Seconds left; None where the clock does not count."""
        if self.limits.time_limit is None:
            return None
        return max(0.0, self.limits.time_limit - (time.monotonic() - self.started))

    @property
    def used_up(self) -> bool:
        """Whether no time is left for another question."""
        return self.left is not None and self.left <= 0

    def for_a_question(self) -> Effort:
        """Limits to find out whether there is any schedule at all."""
        return self._limits(SHARE_OF_A_QUESTION, ENOUGH)

    def for_a_look(self) -> Effort:
        """Limits for an answer that may be left open."""
        return self._limits(SHARE_OF_A_LOOK, ENOUGH)

    def for_the_best(self, share: float = 1.0) -> Effort:
        """Limits to find the best schedule."""
        return self._limits(share, None)

    def part(self, share: float) -> Budget:
        """A share of what is left as a budget of its own."""
        left = self.left
        return Budget(
            Effort(None if left is None else left * share, self.limits.effort, self.limits.seed, self.limits.workers)
        )

    def _limits(self, share: float, gap: float | None) -> Effort:
        left = self.left
        # The engine needs a moment in any case.
        seconds = None if left is None else max(0.2, left * share)
        effort = self.limits.effort
        if effort is not None and gap is not None:
            effort *= share
        return Effort(seconds, effort, self.limits.seed, self.limits.workers, gap)
