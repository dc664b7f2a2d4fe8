"""Why a problem has no schedule: the reasons that can be found quickly."""

from __future__ import annotations

from dataclasses import replace

from stationplan.engine.bounds import deadline_bounds
from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.problem import Chamber, Pool, Problem
from stationplan.engine.result import Conflict
from stationplan.engine.solver import Settings, run
from stationplan.engine.windows import Windows, find_windows

# Deterministic effort for each question "is there a schedule without the limit of this resource?".
EFFORT_PER_RESOURCE = 5.0


def too_much_work(problem: Problem, windows: Windows) -> tuple[Conflict, ...]:
    """Sets of resources whose work cannot be done between its earliest starts and its deadlines.

    Args:
        problem: the problem.
        windows: its windows.

    Returns:
        A conflict of kind ``resource`` for each, the worst first; ``minutes`` says by how
        many minutes the work overruns.
    """
    found = [
        Conflict("resource", bound.tasks, bound.resources, bound.minutes - windows.horizon)
        for bound in deadline_bounds(problem, windows)
        if bound.minutes > windows.horizon
    ]
    return tuple(sorted(found, key=lambda conflict: -conflict.minutes))


def explain(problem: Problem, windows: Windows, limits: Limits, settings: Settings) -> tuple[Conflict, ...]:
    """The resources that alone stand in the way of any schedule, after the search has proved that there is none.

    Args:
        problem: an infeasible problem.
        windows: its windows.
        limits: the budget of the solve; stops early when it is used up.
        settings: seed and workers.

    Returns:
        One conflict of kind ``search``. Its resources are those without whose limit a
        schedule was found.
    """
    helpful = []
    for index in range(len(problem.resources)):
        if limits.used_up():
            break
        relaxed = _without_limit(problem, index)
        wider = find_windows(relaxed)
        if isinstance(wider, Conflict):
            continue
        seconds = limits.left()[0] / (len(problem.resources) - index)
        model = Model(relaxed, wider).proto
        answer = run(model, limits, settings, seconds=seconds, effort=EFFORT_PER_RESOURCE, first_only=True)
        if answer.found:
            helpful.append(index)
    return (Conflict("search", resources=tuple(helpful)),)


def _without_limit(problem: Problem, index: int) -> Problem:
    resource = problem.resources[index]
    room = sum(use.amount for task in problem.tasks for mode in task.modes for use in mode.uses) + sum(
        hold.amount for hold in problem.holds
    )
    if isinstance(resource, Chamber):
        free: Pool | Chamber = replace(resource, capacity=max(room, 2), changeovers={}, first={})
    else:
        free = Pool(resource.name, room + resource.capacity)
    return replace(problem, resources=(*problem.resources[:index], free, *problem.resources[index + 1 :]))
