"""Holds what the solvers claim of an instance against what is known of it, and against each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .answers import Answer, Outcome


@dataclass(frozen=True, slots=True)
class Known:
    """What is published: a proved lower bound and the best makespan (None: nothing), or that there is no plan."""

    lower: int | None = None
    upper: int | None = None
    infeasible: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One solve: what was asked and answered, and what the checker says.

    ``value`` is the makespan that the checker computed, None without a plan or with one
    that has ``faults``. ``memory`` is the peak of the solve's process in MiB.
    """

    family: str
    instance: str
    solver: str
    known: Known
    answer: Answer
    faults: tuple[str, ...]
    value: int | None
    memory: float

    @property
    def proved(self) -> bool:
        """Whether it has a plan that it says, and may say, is the shortest."""
        return self.value is not None and self.answer.outcome is Outcome.OPTIMAL

    @property
    def own_gap(self) -> float | None:
        """The makespan's distance from the solver's own bound, as a share of the makespan."""
        if self.value is None or self.answer.bound is None:
            return None
        return (self.value - self.answer.bound) / max(self.value, 1)


def best_known(rows: Sequence[Row]) -> int | None:
    """The best makespan of an instance: the published one, or a checked one of this run if that is shorter."""
    values = [row.value for row in rows if row.value is not None]
    values += [row.known.upper for row in rows if row.known.upper is not None]
    return min(values, default=None)


def find_contradictions(rows: Sequence[Row]) -> tuple[str, ...]:
    """Say everything about the rows of one instance that cannot be true."""
    return tuple(
        f"{row.solver} on {row.family} {row.instance}: {sentence}"
        for row in rows
        for sentence in (*_about_its_plan(row), *_about_its_bound(row, best_known(rows)))
    )


def _about_its_plan(row: Row) -> Iterator[str]:
    for fault in row.faults:
        yield f"its plan is wrong: {fault}"
    if row.value is None:
        if row.answer.outcome in (Outcome.OPTIMAL, Outcome.FEASIBLE) and not row.faults:
            yield "it says that it has a plan and shows none"
        return
    if row.value != row.answer.value:
        yield f"it says that its plan takes {row.answer.value}, but it takes {row.value}"
    if row.known.infeasible:
        yield "it has a plan without fault, but the instance is published as infeasible"
    if row.known.lower is not None and row.value < row.known.lower:
        yield f"its plan without fault takes {row.value}, less than the published bound of {row.known.lower}"


def _about_its_bound(row: Row, best: int | None) -> Iterator[str]:
    if row.answer.outcome is Outcome.INFEASIBLE and best is not None:
        yield f"it says that there is no plan, but there is one of {best}"
    if row.answer.bound is not None and best is not None and row.answer.bound > best:
        yield f"it says that no plan takes less than {row.answer.bound}, but there is one of {best}"
    if row.answer.outcome is Outcome.OPTIMAL and row.answer.value != row.answer.bound:
        yield f"it says that {row.answer.value} is proved, with a bound of {row.answer.bound}"
