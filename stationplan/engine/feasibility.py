"""Whether a problem has any schedule at all, whatever it costs."""

from __future__ import annotations

import math
from dataclasses import replace
from enum import StrEnum

from ortools.sat.python import cp_model

from stationplan.engine.infeasible import too_much_work
from stationplan.engine.justify import quick_schedule
from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.result import Conflict
from stationplan.engine.solver import Answer, Settings, run
from stationplan.engine.symmetry import with_ordered_series
from stationplan.engine.verify import verify
from stationplan.engine.windows import find_windows

# Beyond this size a model takes longer to set up than a question may take.
MOST_TASKS_MODELLED = 2000


class Verdict(StrEnum):
    """The answer to whether there is a schedule."""

    POSSIBLE = "possible"
    IMPOSSIBLE = "impossible"
    UNDECIDED = "undecided"


def decide(
    problem: Problem, limits: Limits, settings: Settings, *, effort: float, seconds: float = math.inf
) -> tuple[Verdict, Schedule | None]:
    """Find any schedule, or prove that there is none: quick proofs, quick schedules, then CP-SAT.

    What CP-SAT calls infeasible is asked again with its presolve held back. An interruption
    marks the limits as interrupted and leaves the question undecided.

    Args:
        problem: any problem.
        limits: the budget that this question shares with others.
        settings: seed and workers.
        effort: the most deterministic effort for this question.
        seconds: the most seconds for this question.

    Returns:
        The verdict, and with ``POSSIBLE`` a schedule of ``problem`` that has passed verification.
    """
    if limits.used_up():
        return Verdict.UNDECIDED, None
    try:
        return _decide(problem, limits, settings, effort, seconds)
    except KeyboardInterrupt:
        limits.interrupted = True
        return Verdict.UNDECIDED, None


def _decide(
    problem: Problem, limits: Limits, settings: Settings, effort: float, seconds: float
) -> tuple[Verdict, Schedule | None]:
    bare = with_ordered_series(
        replace(problem, deliveries=(), links=tuple(replace(link, tidy=0) for link in problem.links))
    )
    windows = find_windows(bare)
    if isinstance(windows, Conflict) or too_much_work(bare, windows):
        return Verdict.IMPOSSIBLE, None
    bare = replace(bare, horizon=windows.horizon)
    schedule = quick_schedule(bare, windows)
    if schedule is None and len(bare.tasks) <= MOST_TASKS_MODELLED:
        model = Model(bare, windows)
        answer = run(model.proto, limits, settings, seconds=seconds, effort=effort, first_only=True)
        if answer.status == cp_model.INFEASIBLE:
            answer = run(model.proto, limits, settings, seconds=seconds, effort=effort, first_only=True, probing=False)
            if answer.status == cp_model.INFEASIBLE:
                return Verdict.IMPOSSIBLE, None
        if answer.found:
            schedule = _schedule(model, bare, answer)
    if schedule is None or verify(problem, schedule):
        return Verdict.UNDECIDED, None
    return Verdict.POSSIBLE, schedule


def _schedule(model: Model, problem: Problem, answer: Answer) -> Schedule:
    values = model.read(answer.value)
    return Schedule(
        tuple(values.tasks[task] for task in range(len(problem.tasks))),
        tuple(values.holds[hold] for hold in range(len(problem.holds))),
    )
