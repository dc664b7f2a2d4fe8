"""Why a problem has no schedule: the reasons that can be found quickly."""

from __future__ import annotations

from stationplan.engine.bounds import deadline_bounds
from stationplan.engine.problem import Problem
from stationplan.engine.result import Conflict
from stationplan.engine.windows import Windows, find_windows


def contradiction(problem: Problem) -> Conflict | None:
    """A reason against any schedule that is found without search, if there is one.

    Args:
        problem: any problem.
    """
    windows = find_windows(problem)
    if isinstance(windows, Conflict):
        return windows
    return next(iter(too_much_work(problem, windows)), None)


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
