"""Of schedules that are as good, one in which as many tasks as possible are where they were to be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.problem import Assignment, Problem, Schedule
from stationplan.engine.result import Conflict
from stationplan.engine.solver import Settings, run
from stationplan.engine.variables import ValueOf, Values
from stationplan.engine.verify import evaluate, verify
from stationplan.engine.windows import find_windows


def keep(
    problem: Problem, schedule: Schedule, wished: Mapping[int, Assignment], limits: Limits, settings: Settings
) -> Schedule:
    """Move as many tasks as possible to where they were to be, and make nothing later by that.

    Args:
        problem: the problem.
        schedule: a feasible schedule.
        wished: where tasks were to be.
        limits: the budget for it.
        settings: seed and workers.

    Returns:
        A schedule as punctual and as short; the same one where none is found in which more tasks stay.
    """
    cost = evaluate(problem, schedule)
    held = replace(problem, horizon=cost.makespan)
    windows = find_windows(held)
    if isinstance(windows, Conflict):
        return schedule
    model = Model(held, windows)
    variables = model.variables
    moved = []
    for task, wish in wished.items():
        away = variables.boolean(f"moved {task}", _is_away(task, wish))
        moved.append(away)
        conditions = [variables.modes[task][wish.mode]] if task in variables.modes else []
        for position, resource in enumerate(wish.resources):
            choices = dict(variables.choices.get((task, wish.mode, position), ()))
            if choices and resource not in choices:
                variables.model.add(away == 1)
            elif (literal := choices.get(resource)) is not None:
                conditions.append(literal)
        for condition in conditions:
            variables.model.add_implication(~away, condition)
        variables.model.add(variables.start[task] == wish.start).only_enforce_if(~away)
    if held.deliveries:
        variables.model.add(model.objectives.lateness <= cost.lateness)
    variables.model.minimize(sum(moved))
    variables.hint(Values(dict(enumerate(schedule.tasks)), dict(enumerate(schedule.holds))))
    answer = run(model.proto, limits, settings)
    if not answer.found:
        return schedule
    values = model.read(answer.value)
    found = Schedule(
        tuple(values.tasks[task] for task in range(len(problem.tasks))),
        tuple(values.holds[hold] for hold in range(len(problem.holds))),
    )
    after = evaluate(problem, found)
    no_worse = (after.lateness, after.makespan) <= (cost.lateness, cost.makespan)
    return found if no_worse and not verify(problem, found) else schedule


def _is_away(task: int, wish: Assignment) -> ValueOf:
    return lambda values: int(values.tasks[task] != wish)
