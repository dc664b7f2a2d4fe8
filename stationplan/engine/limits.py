"""How long a solve may go on: seconds, deterministic effort, stopping rules, or an interruption."""

from __future__ import annotations

import math
import threading
import time

from stationplan.engine.result import Stopped, StoppedBy
from stationplan.engine.stopping import Costs, GapRule, StallRule, StoppingRule


class Limits:
    """A budget that the phases of one solve share, and the rules that may end it sooner.

    Seconds are wall-clock; effort is CP-SAT's deterministic time, the same on every
    machine for the same work. Without either the solve goes on until everything is
    proved or a rule says stop.

    Args:
        time_limit: seconds in all; None for no limit.
        effort: deterministic effort in all; None for no limit.
        gap: the share of the makespan that may stay unproved once no lateness can be gained.
        stall: how long to go on without any improvement once there is a schedule: seconds,
            or units of effort where effort is the only limit.
    """

    def __init__(
        self,
        time_limit: float | None,
        effort: float | None,
        gap: float | None = None,
        stall: float | None = None,
    ) -> None:
        self._started = time.monotonic()
        self._time_limit = time_limit
        self._effort = effort
        self._spent = 0.0
        self._gap = gap
        self._stall = stall
        self._stall_rule = StallRule(math.inf if stall is None else stall)
        self._rules: tuple[StoppingRule, ...] = (self._stall_rule,)
        if gap is not None:
            self._rules = (GapRule(gap), self._stall_rule)
        self._stopped: StoppedBy | None = None
        # News comes from the solver's threads, questions from the main one.
        self._lock = threading.Lock()
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

    @property
    def bounded(self) -> bool:
        """Whether there is a limit of seconds or effort at all."""
        return self._time_limit is not None or self._effort is not None

    @property
    def share_used(self) -> float:
        """How much of the budget is used up, from 0 to 1; 0 without a budget."""
        seconds, effort = self.left()
        used = [0.0]
        if self._time_limit:
            used.append(1 - seconds / self._time_limit)
        if self._effort:
            used.append(1 - effort / self._effort)
        return max(used)

    @property
    def patience(self) -> float:
        """The most effort that may be spent before the rules are asked again; infinite where the clock is enough."""
        if self._stall is None or not self.deterministic or not self._stall_rule.begun:
            return math.inf
        return self._stall

    @property
    def most_silence(self) -> float:
        """Seconds, or effort where only that counts, that may pass without improvement; infinite without a stall."""
        return math.inf if self._stall is None else self._stall

    @property
    def stopped_by(self) -> StoppedBy | None:
        """What has ended a search that has ended without a proof.

        The user, the rule that said stop, or else the limit of which least is left; None
        where there is no limit.
        """
        if self.interrupted:
            return StoppedBy.INTERRUPTION
        if self._stopped is not None:
            return self._stopped
        seconds, effort = self.left()
        left = {}
        if self._time_limit is not None:
            left[StoppedBy.TIME] = seconds and seconds / self._time_limit
        if self._effort is not None:
            left[StoppedBy.EFFORT] = effort and effort / self._effort
        return min(left, key=lambda by: left[by], default=None)

    @property
    def stopped(self) -> Stopped | None:
        """The same, with the limit that was reached."""
        match self.stopped_by:
            case StoppedBy.TIME:
                return Stopped(StoppedBy.TIME, seconds=self._time_limit)
            case StoppedBy.EFFORT:
                return Stopped(StoppedBy.EFFORT, effort=self._effort)
            case StoppedBy.GAP:
                return Stopped(StoppedBy.GAP, gap=self._gap)
            case StoppedBy.STALL if self.deterministic:
                return Stopped(StoppedBy.STALL, effort=self._stall)
            case StoppedBy.STALL:
                return Stopped(StoppedBy.STALL, seconds=self._stall)
            case StoppedBy.INTERRUPTION:
                return Stopped(StoppedBy.INTERRUPTION)
            case None:
                return None

    def spend(self, effort: float) -> None:
        """Take deterministic effort off the budget."""
        self._spent += effort

    def begin_stage(self) -> None:
        """Wait anew for an improvement, as another way of searching begins."""
        with self._lock:
            self._stall_rule.begin_stage()

    def told(self, value: Costs | None, bound: Costs) -> bool:
        """Pass on to the rules what the search has found.

        Args:
            value: lateness, makespan and perhaps tidiness of the best schedule, None while there is none.
            bound: what no schedule can go below, in the same order.

        Returns:
            Whether that is enough for one of the rules.
        """
        with self._lock:
            for rule in self._rules:
                if rule.hears(value, bound):
                    self._stopped = self._stopped or rule.by
        return self._stopped is not None

    def left(self, share: float = 1.0) -> tuple[float, float]:
        """Seconds and effort left up to ``share`` of the whole budget; infinite where there is no limit."""
        seconds = math.inf if self._time_limit is None else max(0.0, self._time_limit * share - self.seconds)
        effort = math.inf if self._effort is None else max(0.0, self._effort * share - self._spent)
        return seconds, effort

    def used_up(self, share: float = 1.0) -> bool:
        """Whether nothing is left, a rule has said stop, or the user has interrupted."""
        return self.interrupted or self._rule_stops() or min(self.left(share)) <= 0

    def stop_a_run(self) -> bool:
        """Whether a run of the solver must be stopped from outside.

        Where only work counts nothing but the user may do that: how far the run has come
        by now depends on the machine.
        """
        return self.interrupted or (not self.deterministic and self._rule_stops())

    def _rule_stops(self) -> bool:
        now = self._spent if self.deterministic else self.seconds
        with self._lock:
            for rule in self._rules:
                if rule.tires(now):
                    self._stopped = self._stopped or rule.by
        return self._stopped is not None
