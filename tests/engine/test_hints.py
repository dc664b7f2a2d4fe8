"""A known schedule hints every variable of the model, so that the solver starts from it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from ortools.sat.python import cp_model

from stationplan.engine.model import Model
from stationplan.engine.result import Status
from stationplan.engine.solving import solve
from stationplan.engine.symmetry import with_ordered_series
from stationplan.engine.variables import Values
from stationplan.engine.verify import evaluate
from stationplan.engine.windows import Windows, find_windows

from .random_problems import random_problem


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_a_schedule_fixed_through_its_hints_has_its_own_cost(first: int) -> None:
    tried = 0
    for seed in range(first, first + 20):
        problem = with_ordered_series(random_problem(seed))
        result = solve(problem, workers=1)
        if result.status is Status.INFEASIBLE or result.schedule is None:
            continue
        windows = find_windows(problem)
        assert isinstance(windows, Windows)
        model = Model(replace(problem, horizon=windows.horizon), windows)
        objectives = model.objectives
        whole = 10_000
        model.proto.minimize(whole * objectives.lateness + objectives.makespan)
        schedule = result.schedule
        model.variables.hint(Values(dict(enumerate(schedule.tasks)), dict(enumerate(schedule.holds))))
        hinted = set(model.proto.proto.solution_hint.vars)
        free = {number for number, one in enumerate(model.proto.proto.variables) if len(set(one.domain)) > 1}
        assert free <= hinted
        solver = cp_model.CpSolver()
        solver.parameters.fix_variables_to_their_hinted_value = True
        solver.parameters.num_workers = 1
        assert solver.solve(model.proto) == cp_model.OPTIMAL
        objective = evaluate(problem, schedule)
        assert round(solver.objective_value) == whole * objective.lateness + objective.makespan
        tried += 1
    assert tried > 5
