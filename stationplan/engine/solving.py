"""From a problem to a result: the one function that everything else calls."""

from __future__ import annotations

import os
from dataclasses import replace

from stationplan.engine.bounds import lower_bounds
from stationplan.engine.construct import construct
from stationplan.engine.infeasible import too_much_work
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.result import Conflict, ProgressCallback, Result, Status, TierName
from stationplan.engine.search import Search
from stationplan.engine.solver import Settings
from stationplan.engine.symmetry import with_ordered_series
from stationplan.engine.windows import find_windows

SHARE_TO_CONSTRUCT = 0.15


def solve(
    problem: Problem,
    *,
    time_limit: float | None = None,
    effort: float | None = None,
    seed: int = 0,
    workers: int | None = None,
    on_progress: ProgressCallback | None = None,
    gap: float | None = None,
    stall: float | None = None,
    start: Schedule | None = None,
) -> Result:
    """Find the schedule with the least lateness, then the least makespan, then the least untidiness.

    Bounds and first schedules come first, then models of the whole and of parts in turn,
    until every objective is proved or the limit is reached. An interruption (KeyboardInterrupt)
    ends it with the best schedule so far.

    Args:
        problem: what to schedule.
        time_limit: seconds in all; None for no limit.
        effort: CP-SAT's deterministic time in all; the same effort, seed and workers give
            the same result on every run. None for no limit.
        seed: random seed.
        workers: parallel workers; by default all processors, or one when ``effort`` is
            the only limit.
        on_progress: called at each improvement, from any thread.
        gap: stop once no lateness can be gained, and of the makespan no more than this
            share (0.02 for 2 %); None to go on. Tidying then only moves what may stay in its order.
        stall: stop once neither the schedule nor a bound has improved for so long: seconds,
            or, where ``effort`` is the only limit, units of effort, counted to the end of
            each run of the solver so that the result stays the same on every run. It
            counts from the first schedule on. None to go on.
        start: a feasible schedule to begin from; None to begin from nothing.

    Returns:
        The result. Its schedule has passed :func:`stationplan.engine.verify.verify`.

    Raises:
        ModelError: when the solver refuses the model or a schedule fails verification:
            an error of this package.
    """
    limits = Limits(time_limit, effort, gap, stall)
    if workers is None:
        workers = 1 if limits.deterministic else (os.cpu_count() or 1)
    settings = Settings(seed, workers)
    unordered, problem = problem, with_ordered_series(problem)
    windows = find_windows(problem)
    if isinstance(windows, Conflict):
        return Result(Status.INFEASIBLE, None, (), (), (windows,))
    problem = replace(problem, horizon=windows.horizon)
    bounds = lower_bounds(problem, windows)
    conflicts = too_much_work(problem, windows)
    if conflicts:
        return Result(Status.INFEASIBLE, None, (), bounds, conflicts)
    search = Search(problem, windows, bounds, limits, settings, on_progress)
    try:
        if start is not None:
            search.offer(start)
        construct(
            problem,
            windows,
            unordered,
            limits,
            settings,
            search.offer,
            lambda bound: search.raise_bound(TierName.MAKESPAN, bound),
            bounds[0].minutes,
            SHARE_TO_CONSTRUCT,
        )
        search.run()
        if search.infeasible:
            return Result(Status.INFEASIBLE, None, (), bounds, (Conflict("search"),))
    except KeyboardInterrupt:
        limits.interrupted = True
    search.draw_together()
    return search.result()
