"""The CP-SAT model of a problem, whole or in part, and the way back to a schedule."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from ortools.sat.python import cp_model

from stationplan.engine.constraints import add_constraints
from stationplan.engine.objective import Objectives
from stationplan.engine.problem import Assignment, Problem
from stationplan.engine.solver import ValueOf
from stationplan.engine.variables import Literal, Placed, Values, Variables
from stationplan.engine.windows import Windows


class Model:
    """A model that decides on the free tasks around the placed ones.

    Args:
        problem: the problem.
        windows: its windows.
        free: the tasks to decide on; all when None.
        placed: tasks that stay where they are; tasks in neither are left out.
        place_holds: the resources of holds between placed tasks.
        pooled: leave open which of several pools a use takes: a relaxation.
    """

    def __init__(
        self,
        problem: Problem,
        windows: Windows,
        free: Collection[int] | None = None,
        placed: Placed | None = None,
        place_holds: Mapping[int, int] | None = None,
        *,
        pooled: bool = False,
    ) -> None:
        self.pooled = pooled
        self.variables = Variables(
            problem,
            windows,
            range(len(problem.tasks)) if free is None else free,
            {} if placed is None else placed,
            {} if place_holds is None else place_holds,
            pooled=pooled,
        )
        self.orders = add_constraints(self.variables)
        self.objectives = Objectives(self.variables, self.orders)

    @property
    def proto(self) -> cp_model.CpModel:
        """The CP-SAT model."""
        return self.variables.model

    def read(self, value: ValueOf) -> Values:
        """The schedule in a solution of the solver: all free and placed tasks, and the holds between them."""
        variables, tasks = self.variables, dict(self.variables.placed)
        for task in sorted(variables.free):
            number = 0
            if task in variables.modes:
                number = next(m for m, literal in enumerate(variables.modes[task]) if value(literal))
            mode = variables.problem.tasks[task].modes[number]
            resources = tuple(
                _chosen(value, variables.choices.get((task, number, position), [(use.resources[0], None)]))
                for position, use in enumerate(mode.uses)
            )
            tasks[task] = Assignment(value(variables.start[task]), number, resources)
        holds = {index: _chosen(value, options) for index, options in variables.hold_choices.items()}
        return Values(tasks, holds)


def _chosen(value: ValueOf, options: list[tuple[int, Literal | None]]) -> int:
    if len(options) == 1:
        return options[0][0]
    return next(resource for resource, active in options if active is not None and value(active))
