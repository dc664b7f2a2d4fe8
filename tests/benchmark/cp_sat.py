"""How both peers run CP-SAT: the same limits, and a note of when the first plan came."""

from __future__ import annotations

import math
import time
from dataclasses import dataclass

from ortools.sat.python import cp_model

from .answers import Answer, Limits, Outcome, Plan

OUTCOMES = {
    cp_model.OPTIMAL: Outcome.OPTIMAL,
    cp_model.FEASIBLE: Outcome.FEASIBLE,
    cp_model.INFEASIBLE: Outcome.INFEASIBLE,
    cp_model.UNKNOWN: Outcome.UNKNOWN,
}


class _FirstPlan(cp_model.CpSolverSolutionCallback):
    def __init__(self, began: float) -> None:
        super().__init__()
        self.seconds: float | None = None
        self._began = began

    def on_solution_callback(self) -> None:
        if self.seconds is None:
            self.seconds = time.monotonic() - self._began


@dataclass(frozen=True, slots=True)
class Variables:
    """Where a model keeps its plan: the start of each task, and a literal for each of its choices (or none)."""

    starts: list[cp_model.LinearExprT]
    choices: list[list[cp_model.LiteralT]]


def run(model: cp_model.CpModel, variables: Variables, limits: Limits, began: float) -> Answer:
    """Solve a model that minimises the makespan.

    The seconds are all for the solver: what it took to build the model comes on top, in
    the peers' favour.
    """
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limits.seconds
    solver.parameters.num_workers = limits.workers
    solver.parameters.random_seed = limits.seed
    first_plan = _FirstPlan(began)
    status = solver.solve(model, first_plan)
    seconds = time.monotonic() - began
    outcome = OUTCOMES.get(status)
    if outcome is None:
        return Answer(Outcome.FAILED, seconds=seconds, note=f"{solver.status_name()}: {model.validate()}")
    if outcome is Outcome.INFEASIBLE:
        return Answer(outcome, seconds=seconds)
    bound = max(0, math.ceil(solver.best_objective_bound - 1e-6))
    if outcome is Outcome.UNKNOWN:
        return Answer(outcome, bound=bound, seconds=seconds)
    plan = Plan(
        tuple(solver.value(start) for start in variables.starts),
        tuple(
            next((number for number, literal in enumerate(literals) if solver.boolean_value(literal)), 0)
            for literals in variables.choices
        ),
    )
    return Answer(outcome, plan, round(solver.objective_value), bound, first_plan.seconds, seconds)
