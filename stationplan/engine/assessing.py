"""Results for schedules that did not come out of the search."""

from __future__ import annotations

from dataclasses import replace

from stationplan.engine.bounds import lower_bounds
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.result import Conflict, Result, Status, Tier, TierName
from stationplan.engine.verify import evaluate
from stationplan.engine.windows import find_windows


def assessed(problem: Problem, schedule: Schedule) -> Result:
    """A schedule as the search would give it, with the bounds that need no search.

    Args:
        problem: the problem.
        schedule: a feasible schedule of it.
    """
    cost = evaluate(problem, schedule)
    windows = find_windows(problem)
    bounds = () if isinstance(windows, Conflict) else lower_bounds(problem, windows)
    makespan = max((bound.minutes for bound in bounds), default=0)
    tiers = (
        Tier(TierName.LATENESS, cost.lateness, 0),
        Tier(TierName.MAKESPAN, cost.makespan, min(makespan, cost.makespan)),
        Tier(TierName.TIDINESS, cost.tidiness, 0),
    )
    proved = tiers[0].proved and tiers[1].proved
    return Result(Status.OPTIMAL if proved else Status.FEASIBLE, schedule, tiers, bounds)


def with_schedule(problem: Problem, result: Result, schedule: Schedule) -> Result:
    """A result with another schedule: the bounds are those of the search that was free to do as it liked.

    Args:
        problem: the problem.
        result: what the search has found.
        schedule: a feasible schedule, no later and no longer than that of the result.
    """
    cost = evaluate(problem, schedule)
    values = (cost.lateness, cost.makespan, cost.tidiness)
    tiers = tuple(replace(tier, value=value) for tier, value in zip(result.tiers, values, strict=True))
    proved = all(tier.proved for tier in tiers[:2])
    return replace(
        result,
        schedule=schedule,
        tiers=tiers,
        status=Status.OPTIMAL if proved else Status.FEASIBLE,
        stopped=None if proved else result.stopped,
    )
