"""What a solve returns and reports while it works."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from stationplan.engine.problem import Schedule


class Status(StrEnum):
    """How a solve ended."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    UNKNOWN = "unknown"


class TierName(StrEnum):
    """The objectives, most important first."""

    LATENESS = "lateness"
    MAKESPAN = "makespan"
    TIDINESS = "tidiness"


@dataclass(frozen=True, slots=True)
class Tier:
    """One objective: the value of the schedule, a bound no schedule that is as good in the tiers before can beat."""

    name: TierName
    value: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether value and bound meet."""
        return self.value == self.bound

    @property
    def gap(self) -> float:
        """(value - bound) / value, 0 when both are 0."""
        return 0.0 if self.value == self.bound else (self.value - self.bound) / max(self.value, 1)


class BoundKind(StrEnum):
    """How a lower bound on the makespan was found."""

    CRITICAL_PATH = "critical path"
    RESOURCE = "resource"
    SOLVER = "solver"


@dataclass(frozen=True, slots=True)
class Bound:
    """A lower bound on the makespan, in minutes, and what makes it.

    For a resource bound, ``resources`` are the positions of the resources whose room
    together is too small, ``head`` and ``tail`` the minutes before and after their
    work, ``work`` the unit-minutes of it, ``lost`` the unit-minutes that no work can have
    meanwhile (changeovers, room beside uses that leave too little), and ``tasks`` the
    tasks that do the work. A bound that counts turns has ``turns``, the pieces of work that
    some line must do one after another, and ``lines``, how many go on at a time at most.
    For a critical path ``tasks`` are its tasks in order.
    """

    kind: BoundKind
    minutes: int
    resources: tuple[int, ...] = ()
    head: int = 0
    work: int = 0
    tail: int = 0
    tasks: tuple[int, ...] = ()
    lost: int = 0
    turns: int = 0
    lines: int = 0


@dataclass(frozen=True, slots=True)
class Conflict:
    """Why there is no schedule.

    ``kind``: ``cycle`` (least and most lags contradict each other; ``tasks`` in order
    round the circle), ``resource`` (the work of ``tasks`` on ``resources`` cannot fit
    before its deadlines), ``task`` (one task alone cannot be placed) or ``search``
    (the solver proved it; nothing simpler found). What exactly is in conflict is for
    :func:`stationplan.engine.core.find_core` to find out.
    """

    kind: str
    tasks: tuple[int, ...] = ()
    resources: tuple[int, ...] = ()
    minutes: int = 0


class Phase(StrEnum):
    """What the search is doing."""

    CONSTRUCT = "construct"
    """Building first schedules by rules."""
    POOLED = "pooled"
    """A model that leaves open which of several equal places or people each use takes."""
    EXACT = "exact"
    """The model of the whole."""
    IMPROVE = "improve"
    """Parts of the schedule anew, the rest as it is."""
    TIDY = "tidy"
    """As punctual and as short, but with less waiting and fewer changeovers."""


class StoppedBy(StrEnum):
    """What ended a search before lateness and makespan were proved."""

    TIME = "time"
    EFFORT = "effort"
    GAP = "gap"
    STALL = "stall"
    INTERRUPTION = "interruption"


@dataclass(frozen=True, slots=True)
class Stopped:
    """What ended a search, and the limit that it had reached: seconds, effort, or a share of the makespan."""

    by: StoppedBy
    seconds: float | None = None
    effort: float | None = None
    gap: float | None = None


@dataclass(frozen=True, slots=True)
class Progress:
    """A moment of the search: tier being worked on, best value and bound so far, seconds since the start."""

    phase: Phase
    tier: TierName
    value: int | None
    bound: int
    seconds: float

    @property
    def gap(self) -> float | None:
        """(value - bound) / value, 0 when both are 0; None while there is no value."""
        return None if self.value is None else Tier(self.tier, self.value, self.bound).gap


ProgressCallback = Callable[[Progress], None]


@dataclass(frozen=True, slots=True)
class Result:
    """The outcome of :func:`stationplan.engine.solve`.

    ``stopped`` is None when lateness and makespan are proved, when there can be no
    schedule, and when a search without limits had nothing more to try.
    """

    status: Status
    schedule: Schedule | None
    tiers: tuple[Tier, ...]
    bounds: tuple[Bound, ...]
    conflicts: tuple[Conflict, ...] = ()
    interrupted: bool = False
    stopped: Stopped | None = None
