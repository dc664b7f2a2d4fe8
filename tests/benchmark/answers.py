"""What is asked of a solver and what it answers, the same for all of them."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any

from .family import Kitchen
from .readers import Project, Shop

Instance = Kitchen | Project | Shop


class Outcome(StrEnum):
    """How a solve ended."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    UNKNOWN = "unknown"
    FAILED = "failed"
    CANNOT_SAY = "cannot say"  # the solver has no words for this kind of problem


@dataclass(frozen=True, slots=True)
class Limits:
    """The seconds, parallel workers and random seed that every solver gets."""

    seconds: float
    workers: int
    seed: int


@dataclass(frozen=True, slots=True)
class Plan:
    """When each task, activity or operation starts, and which oven, mode or choice it takes (0 where it has none)."""

    starts: tuple[int, ...]
    choices: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """What a solver claims.

    ``value`` is the makespan it says its plan has, ``bound`` the one it says no plan
    beats; ``first_plan`` and ``seconds`` are counted from the moment the instance was
    in memory; ``note`` says why it failed or cannot say.
    """

    outcome: Outcome
    plan: Plan | None = None
    value: int | None = None
    bound: int | None = None
    first_plan: float | None = None
    seconds: float = 0.0
    note: str = ""

    def as_data(self) -> dict[str, Any]:
        """The answer as what JSON can hold."""
        return asdict(self)

    @classmethod
    def from_data(cls, data: dict[str, Any]) -> Answer:
        """The answer from what JSON held."""
        plan = data["plan"] and Plan(tuple(data["plan"]["starts"]), tuple(data["plan"]["choices"]))
        return cls(**{**data, "outcome": Outcome(data["outcome"]), "plan": plan})
