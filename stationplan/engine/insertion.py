"""A first schedule by small models: each group of tasks is placed best among those already placed.

Slower than serial generation, but it takes neighbours out again where a group does not fit.
"""

from __future__ import annotations

from collections import defaultdict

from ortools.sat.python import cp_model

from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.problem import Assignment, Hold, Link, Problem, Schedule
from stationplan.engine.solver import Settings, run
from stationplan.engine.variables import Values
from stationplan.engine.windows import Windows

# The rest of the budget is the search's, which may find a plan where this does not.
SHARE = 0.4
EFFORT_PER_GROUP = 0.2
EFFORT_PER_REPAIR = 2.0


def insert_groups(
    problem: Problem, windows: Windows, groups: list[list[int]], limits: Limits, settings: Settings
) -> Schedule | None:
    """Place the groups one by one; where one does not fit, its neighbours are placed anew.

    Args:
        problem: the problem.
        windows: its windows.
        groups: all tasks, in the order in which to place them.
        limits: the budget of the solve.
        settings: seed and workers.

    Returns:
        A schedule, not yet verified, or None when a group could not be placed.
    """
    tasks: dict[int, Assignment] = {}
    holds: dict[int, int] = {}
    group_of = {task: number for number, group in enumerate(groups) for task in group}
    neighbours = _neighbours(problem, group_of)
    single = Settings(settings.seed, 1)
    for number, group in enumerate(groups):
        if limits.used_up(SHARE):
            return None
        values = _place(problem, windows, group, Values(tasks, holds), limits, single, EFFORT_PER_GROUP)
        if values is None:
            beside = {other for other in neighbours[number] if other < number} | {number}
            beside |= {other for near in sorted(beside) for other in neighbours[near] if other < number}
            again = [task for other in sorted(beside) for task in groups[other]]
            kept = {task: place for task, place in tasks.items() if task not in set(again)}
            values = _place(problem, windows, again, Values(kept, holds), limits, single, EFFORT_PER_REPAIR)
        if values is None:
            return None
        tasks, holds = dict(values.tasks), dict(values.holds)
    return Schedule(
        tuple(tasks[task] for task in range(len(problem.tasks))), tuple(holds[h] for h in range(len(problem.holds)))
    )


def _place(
    problem: Problem,
    windows: Windows,
    group: list[int],
    around: Values,
    limits: Limits,
    settings: Settings,
    effort: float,
) -> Values | None:
    model = Model(problem, windows, group, around.tasks, around.holds)
    ends = [model.variables.end[task] for task in group]
    last = model.proto.new_int_var(0, windows.horizon, "last")
    model.proto.add_max_equality(last, ends)
    starts = [model.variables.start[task] for task in group]
    cost = [last, *starts, 1000 * model.objectives.lateness]
    model.proto.minimize(cp_model.LinearExpr.weighted_sum(cost, [len(group), *(1 for _ in starts), len(group)]))
    answer = run(model.proto, limits, settings, effort=effort)
    return model.read(answer.value) if answer.found else None


def _neighbours(problem: Problem, group_of: dict[int, int]) -> dict[int, set[int]]:
    near: dict[int, set[int]] = defaultdict(set)
    relations: tuple[Link | Hold, ...] = (*problem.links, *problem.holds)
    for relation in relations:
        one, other = group_of[relation.before], group_of[relation.after]
        if one != other:
            near[one].add(other)
            near[other].add(one)
    return near
