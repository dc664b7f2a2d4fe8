"""Short ways to write problems and to solve them in the tests of the engine."""

from __future__ import annotations

import itertools

from stationplan.engine import solve
from stationplan.engine.problem import Link, LinkKind, Mode, Problem, Schedule, Task, Use
from stationplan.engine.result import Result, Status, TierName
from stationplan.engine.verify import evaluate, verify


def task(
    duration: int, *resources: int, name: str = "task", amount: int = 1, state: str | None = None, **rest: int
) -> Task:
    """A task of one mode that takes ``amount`` of each of the resources for all of its time."""
    uses = tuple(Use((resource,), amount, state=state) for resource in resources)
    return Task(name, (Mode(duration, uses),), **rest)


def chain(*tasks: int) -> tuple[Link, ...]:
    """Each task starts after the one before has ended."""
    return tuple(Link(before, after) for before, after in itertools.pairwise(tasks))


def start_lag(before: int, after: int, least: int | None, most: int | None = None) -> Link:
    """A lag from start to start."""
    return Link(before, after, least, most, LinkKind.START_START)


def proved(problem: Problem, **options: int) -> Result:
    """The result of a solve without limits; it must be proved, pass the check, and cost what its tiers say."""
    result = solve(problem, workers=1, **options)
    if result.status is Status.INFEASIBLE:
        assert result.schedule is None
        return result
    assert result.status is Status.OPTIMAL
    check(problem, result)
    assert all(tier.proved for tier in result.tiers)
    return result


def check(problem: Problem, result: Result) -> Schedule:
    """The schedule of a result, after checking it and the values of the tiers."""
    assert result.schedule is not None
    assert verify(problem, result.schedule) == ()
    cost = evaluate(problem, result.schedule)
    expected = {TierName.LATENESS: cost.lateness, TierName.MAKESPAN: cost.makespan, TierName.TIDINESS: cost.tidiness}
    assert {tier.name: tier.value for tier in result.tiers} == expected
    assert all(tier.bound <= tier.value for tier in result.tiers)
    return result.schedule


def costs(problem: Problem) -> tuple[int, int, int] | None:
    """Lateness, makespan and tidiness of the proved optimum; None when there is no schedule."""
    result = proved(problem)
    if result.schedule is None:
        return None
    cost = evaluate(problem, result.schedule)
    return cost.lateness, cost.makespan, cost.tidiness


def makespan(problem: Problem) -> int | None:
    """The makespan of the proved optimum; None when there is no schedule."""
    found = costs(problem)
    return None if found is None else found[1]
