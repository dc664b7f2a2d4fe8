"""The peer from the registry: PyJobShop's model, of the version that is installed (written for 0.0.9).

Projects and shops are built as its own readers build them. Its ``solve`` has no hook that
tells when the first plan came, so its CP-SAT model is solved here, with the parameters
that its ``solve`` sets.

It is imported where it is used: the benchmark runs without it.
"""

from __future__ import annotations

import time
from itertools import pairwise
from typing import TYPE_CHECKING

from .answers import Answer, Instance, Limits, Outcome
from .family import Kitchen
from .readers import Project, Shop

if TYPE_CHECKING:
    from pyjobshop import Model

NO_OVENS = (
    "setup times exist only for machines, which do one task at a time; "
    "nothing has both room for several tasks and a state that takes time to change"
)


def solve(instance: Instance, limits: Limits) -> Answer:
    """Let PyJobShop solve an instance."""
    if isinstance(instance, Kitchen):
        return Answer(Outcome.CANNOT_SAY, note=NO_OVENS)

    from pyjobshop.solvers.ortools import CPModel

    from .cp_sat import Variables, run

    began = time.monotonic()
    data = (_of_project(instance) if isinstance(instance, Project) else _of_shop(instance)).data()
    built = CPModel(data)
    built_variables = built.variables
    variables = Variables(
        [task.start for task in built_variables.task_vars],
        [[built_variables.mode_vars[mode] for mode in data.task2modes(task)] for task in range(data.num_tasks)],
    )
    return run(built.model, variables, limits, began)


def _of_project(project: Project) -> Model:
    from pyjobshop import Model

    model = Model()
    for capacity in project.capacities:
        model.add_renewable(capacity)
    for total in project.stocks:
        model.add_consumable(total)
    job = model.add_job()
    for modes in project.activities:
        task = model.add_task(job=job)
        for mode in modes:
            model.add_mode(task, model.resources, mode.duration, [*mode.demands, *mode.consumes])
    for arc in project.arcs:
        before, after = model.tasks[arc.before], model.tasks[arc.after]
        if arc.from_end:
            model.add_end_before_start(before, after, arc.lag)
        else:
            model.add_start_before_start(before, after, arc.lag)
    return model


def _of_shop(shop: Shop) -> Model:
    from pyjobshop import Model

    model = Model()
    machines = [model.add_machine() for _ in range(shop.machines)]
    for operations in shop.jobs:
        job = model.add_job()
        tasks = []
        for operation in operations:
            task = model.add_task(job=job)
            for machine, minutes in operation.choices:
                model.add_mode(task, machines[machine], minutes)
            tasks.append(task)
        for before, after in pairwise(tasks):
            model.add_end_before_start(before, after)
    return model
