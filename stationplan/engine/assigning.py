"""From a pooled solution to a schedule: choosing the pool of each use, moving starts only where that must be."""

from __future__ import annotations

from dataclasses import replace

from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.problem import Problem
from stationplan.engine.solver import Settings, run
from stationplan.engine.variables import Values, end_of
from stationplan.engine.windows import Windows, clip

# Minutes by which starts may move, tried in turn, and the share of the makespan by which it may rise with them.
NUDGES = ((0, 0.0), (5, 0.0), (10, 0.01), (30, 0.03))
EFFORT = 3.0


def choose_pools(
    problem: Problem,
    windows: Windows,
    values: Values,
    limits: Limits,
    settings: Settings,
    seconds: float | None,
) -> Values | None:
    """Find the choices that make a solution of a pooled model a schedule, near its starts.

    Args:
        problem: the problem.
        windows: its windows.
        values: starts and modes of all tasks, from a pooled model.
        limits: the budget of the solve, which is charged but does not bind, so that a search at
            its end still makes a schedule of what it has found.
        settings: seed and workers.
        seconds: the most seconds for each attempt, None for no limit but that of effort.

    Returns:
        Every choice made, with starts near the given ones; None when that was not found.
        Choices may fail at the given starts because some use would have to change hands half-way.
    """
    lateness, makespan = cost_of(problem, values)
    for nudge, rise in NUDGES:
        near = _near(windows, values, nudge)
        if near is None:
            continue
        model = Model(problem, near)
        for task in sorted(model.variables.free):
            model.variables.hint_start(task, values.tasks[task].start)
        if problem.deliveries:
            model.proto.add(model.objectives.lateness <= lateness)
        model.proto.add(model.objectives.makespan <= makespan + round(rise * makespan))
        own = Limits(seconds, EFFORT)
        answer = run(model.proto, own, settings, first_only=True)
        limits.spend(own.spent)
        limits.interrupted |= own.interrupted
        if answer.found:
            return model.read(answer.value)
        if own.interrupted:
            break
    return None


def cost_of(problem: Problem, values: Values) -> tuple[int, int]:
    """Lateness and makespan by the ends of all tasks, whatever is still open."""
    ends = {task: end_of(problem, values, task) for task in values.tasks}
    late = [
        delivery.weight * max(0, max(ends[task] for task in delivery.tasks) - delivery.due)
        for delivery in problem.deliveries
        if delivery.tasks
    ]
    return sum(late), max(ends.values(), default=0)


def _near(windows: Windows, values: Values, nudge: int) -> Windows | None:
    """The windows with every start within ``nudge`` minutes of its value and every mode as it is."""
    allowed = []
    for task, modes in enumerate(windows.allowed):
        place = values.tasks[task]
        chosen = tuple(clip(modes[place.mode], place.start - nudge, place.start + nudge))
        if not chosen:
            return None
        allowed.append(tuple(chosen if number == place.mode else () for number in range(len(modes))))
    return replace(windows, allowed=tuple(allowed))
