"""Trying out a changed scenario: read it, build it, look for any plan, and check that plan."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from stationplan.engine.feasibility import Verdict, decide
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.result import Result, Status, Tier, TierName
from stationplan.engine.solver import Settings
from stationplan.engine.verify import evaluate
from stationplan.network import BatchError, Network, NetworkError, StaffError, build
from stationplan.network.times import Durations
from stationplan.plan.errors import CheckFailedError
from stationplan.plan.produce import write_down
from stationplan.scenario import InvalidScenario, from_plain

# The share of what is left of the budget that one trial may take: the next, of another size, may be easier.
SHARE_OF_A_TRIAL = 0.25
# The most deterministic effort for one trial.
EFFORT_PER_TRIAL = 4.0


def try_out(raw: dict[str, Any], durations: Durations, limits: Limits, settings: Settings) -> Verdict:
    """Whether a scenario has a plan that passes the independent check.

    Args:
        raw: the scenario as plain data.
        durations: which end of ranges to plan on.
        limits: the budget that this trial shares with others.
        settings: seed and workers.

    Returns:
        ``POSSIBLE`` only after a plan has been written down and checked; ``UNDECIDED``, too, for a scenario that is
        refused for any reason but that a batch has no room or nobody to do it: what cannot be read proves nothing.
    """
    try:
        network = build(from_plain(raw), durations)
    except (BatchError, StaffError):
        return Verdict.IMPOSSIBLE
    except (InvalidScenario, NetworkError):
        return Verdict.UNDECIDED
    seconds, effort = (left * SHARE_OF_A_TRIAL for left in limits.left())
    effort = min(effort, EFFORT_PER_TRIAL)
    verdict, schedule = decide(network.problem, limits, settings, effort=effort, seconds=seconds)
    return verdict if schedule is None else _written_down(network, schedule, raw, settings)


def try_in_time(raw: dict[str, Any], durations: Durations, limits: Limits, settings: Settings) -> Verdict:
    """Whether a scenario has a plan in which no order is late, and which passes the independent check.

    Args:
        raw: the scenario as plain data.
        durations: which end of ranges to plan on.
        limits: the budget, all of it for this question.
        settings: seed and workers.

    Returns:
        ``POSSIBLE`` only after a plan has been written down and checked.

    Raises:
        InvalidScenario: when the scenario cannot be read.
        NetworkError: when it cannot be turned into tasks.
    """
    network = build(from_plain(raw), durations)
    verdict, schedule = decide(_punctual(network.problem), limits, settings, effort=limits.left()[1])
    return verdict if schedule is None else _written_down(network, schedule, raw, settings)


def _punctual(problem: Problem) -> Problem:
    """The same with every due time a deadline."""
    due: dict[int, int] = {}
    for delivery in problem.deliveries:
        for task in delivery.tasks:
            due[task] = min(delivery.due, due.get(task, delivery.due))
    tasks = list(problem.tasks)
    for task, moment in due.items():
        given = tasks[task].deadline
        tasks[task] = replace(tasks[task], deadline=moment if given is None else min(given, moment))
    return replace(problem, tasks=tuple(tasks))


def _written_down(network: Network, schedule: Schedule, raw: dict[str, Any], settings: Settings) -> Verdict:
    try:
        write_down(network, _result(network, schedule), raw, settings.seed)
    except CheckFailedError:
        # A change is told only with a plan that holds, so this one is not.
        return Verdict.UNDECIDED
    return Verdict.POSSIBLE


def _result(network: Network, schedule: Schedule) -> Result:
    """A schedule of which nothing more is known than what it costs."""
    cost = evaluate(network.problem, schedule)
    values = (cost.lateness, cost.makespan, cost.tidiness)
    return Result(
        Status.FEASIBLE, schedule, tuple(Tier(name, value, 0) for name, value in zip(TierName, values, strict=True)), ()
    )


@dataclass(frozen=True, slots=True)
class Found:
    """The least size of a change that is enough.

    Attributes:
        size: the least that was seen to be enough; None when nothing was.
        least: whether one less is proved not to be enough; without a size, whether the most that
            was tried is proved not to be.
        tried: the most that was tried.
    """

    size: int | None
    least: bool
    tried: int


def least_enough(
    try_size: Callable[[int], Verdict], start: int, most: int, limits: Limits, *, steady: bool = True
) -> Found:
    """Find the least size of a change that is enough: by doubling, then by halving what is left.

    Args:
        try_size: whether a size is enough; 0 is known not to be.
        start: the first size to try, at least 1.
        most: the largest size to try, at least 1.
        limits: stops when they are used up.
        steady: whether a larger change is never worse than a smaller one. Otherwise all other sizes up to the one
            found, or up to the most, are tried in turn as well.
    """
    found = _by_halves(try_size, min(start, most), most, limits)
    if steady:
        return found
    sure = True
    for size in range(1, found.tried if found.size is not None else most):
        if limits.used_up():
            return replace(found, least=False)
        verdict = try_size(size)
        if verdict is Verdict.POSSIBLE:
            return Found(size, sure, size)
        sure = sure and verdict is Verdict.IMPOSSIBLE
    return replace(found, least=sure and found.least)


def _by_halves(try_size: Callable[[int], Verdict], start: int, most: int, limits: Limits) -> Found:
    low, sure, high = 0, True, start
    while (verdict := try_size(high)) is not Verdict.POSSIBLE:
        low, sure = high, verdict is Verdict.IMPOSSIBLE
        if high == most or limits.used_up():
            return Found(None, sure, high)
        high = min(2 * high, most)
    while high - low > 1 and not limits.used_up():
        middle = (low + high) // 2
        verdict = try_size(middle)
        if verdict is Verdict.POSSIBLE:
            high = middle
        else:
            low, sure = middle, verdict is Verdict.IMPOSSIBLE
    return Found(high, sure and high - low == 1, high)
