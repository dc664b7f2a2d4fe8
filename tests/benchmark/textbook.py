"""The textbook peer: the CP-SAT model that a good student would write, without bounds, hints or search of its own."""

from __future__ import annotations

import time
from collections import defaultdict
from collections.abc import Sequence
from itertools import combinations, pairwise

from ortools.sat.python import cp_model

from .answers import Answer, Instance, Limits
from .cp_sat import Variables, run
from .family import Kitchen
from .readers import Project, Shop


def solve(instance: Instance, limits: Limits) -> Answer:
    """Solve an instance with the textbook model."""
    began = time.monotonic()
    if isinstance(instance, Kitchen):
        model, variables = kitchen_model(instance)
    elif isinstance(instance, Project):
        model, variables = project_model(instance)
    else:
        model, variables = shop_model(instance)
    return run(model, variables, limits, began)


def kitchen_model(kitchen: Kitchen) -> tuple[cp_model.CpModel, Variables]:
    """One interval a task, one cumulative a pool and an oven, and an order for bakes of different temperature."""
    model = cp_model.CpModel()
    tasks = kitchen.tasks
    bakes = [number for number, task in enumerate(tasks) if task.slots]
    temperatures = {tasks[bake].celsius for bake in bakes}
    changeover = max((kitchen.changeover(a, b) for a in temperatures for b in temperatures), default=0)
    horizon = sum(task.minutes for task in tasks) + sum(link.least for link in kitchen.links) + len(bakes) * changeover

    starts = [model.new_int_var(0, horizon, task.name) for task in tasks]
    ends = [start + task.minutes for start, task in zip(starts, tasks, strict=True)]
    intervals = [
        model.new_fixed_size_interval_var(start, task.minutes, task.name)
        for start, task in zip(starts, tasks, strict=True)
    ]

    for link in kitchen.links:
        model.add(starts[link.after] >= ends[link.before] + link.least)
        if link.most is not None:
            model.add(starts[link.after] <= ends[link.before] + link.most)

    for pool, capacity in kitchen.pools.items():
        users = [number for number, task in enumerate(tasks) if pool in task.needs]
        model.add_cumulative([intervals[user] for user in users], [tasks[user].needs[pool] for user in users], capacity)

    choices: list[list[cp_model.LiteralT]] = [[] for _ in tasks]
    for bake in bakes:
        choices[bake] = [model.new_bool_var(f"bake {bake} in oven {oven}") for oven in range(kitchen.ovens)]
        model.add_exactly_one(choices[bake])
    for oven in range(kitchen.ovens):
        inside = [
            model.new_optional_fixed_size_interval_var(starts[b], tasks[b].minutes, choices[b][oven], f"bake {b}")
            for b in bakes
        ]
        model.add_cumulative(inside, [tasks[bake].slots for bake in bakes], kitchen.slots)
    for one, other in combinations(bakes, 2):
        a, b = tasks[one].celsius, tasks[other].celsius
        if a != b:
            first, second = model.new_bool_var(""), model.new_bool_var("")
            model.add(starts[other] >= ends[one] + kitchen.changeover(a, b)).only_enforce_if(first)
            model.add(starts[one] >= ends[other] + kitchen.changeover(b, a)).only_enforce_if(second)
            for oven in range(kitchen.ovens):
                model.add_bool_or(first, second, ~choices[one][oven], ~choices[other][oven])

    # Identical batches are done in order, stage by stage: without this nothing is proved.
    stages = defaultdict(list)
    for number, task in enumerate(tasks):
        stages[task.product, task.name].append(number)
    for stage in stages.values():
        for earlier, later in pairwise(stage):
            model.add(starts[earlier] <= starts[later])

    _minimise_makespan(model, ends, horizon)
    return model, Variables(list(starts), choices)


def project_model(project: Project) -> tuple[cp_model.CpModel, Variables]:
    """An optional interval a mode, a cumulative a renewable resource, a sum a non-renewable one."""
    model = cp_model.CpModel()
    lags: dict[int, int] = defaultdict(int)
    for arc in project.arcs:
        lags[arc.before] = max(lags[arc.before], arc.lag)
    horizon = sum(
        max(lags[number], *(mode.duration for mode in modes)) for number, modes in enumerate(project.activities)
    )

    starts = [model.new_int_var(0, horizon, "") for _ in project.activities]
    choices: list[list[cp_model.LiteralT]] = []
    ends: list[cp_model.LinearExprT] = []
    # The demands for each resource, as pairs of interval and amount, and the terms of each stock's sum.
    demands: list[list[tuple[cp_model.IntervalVar, int]]] = [[] for _ in project.capacities]
    consumed: list[list[cp_model.LinearExprT]] = [[] for _ in project.stocks]
    for start, modes in zip(starts, project.activities, strict=True):
        literals = [model.new_bool_var("") for _ in modes]
        model.add_exactly_one(literals)
        choices.append(list(literals))
        ends.append(start + sum(mode.duration * literal for mode, literal in zip(modes, literals, strict=True)))
        for mode, literal in zip(modes, literals, strict=True):
            interval = model.new_optional_fixed_size_interval_var(start, mode.duration, literal, "")
            for resource, amount in enumerate(mode.demands):
                if amount:
                    demands[resource].append((interval, amount))
            for stock, amount in enumerate(mode.consumes):
                consumed[stock].append(amount * literal)

    for arc in project.arcs:
        origin = ends[arc.before] if arc.from_end else starts[arc.before]
        model.add(starts[arc.after] >= origin + arc.lag)
    for pairs, capacity in zip(demands, project.capacities, strict=True):
        model.add_cumulative([interval for interval, _ in pairs], [amount for _, amount in pairs], capacity)
    for terms, total in zip(consumed, project.stocks, strict=True):
        model.add(sum(terms) <= total)

    _minimise_makespan(model, ends, horizon)
    return model, Variables(list(starts), choices)


def shop_model(shop: Shop) -> tuple[cp_model.CpModel, Variables]:
    """An optional interval for each machine that can do an operation, no two of them at once on a machine."""
    model = cp_model.CpModel()
    horizon = sum(max(minutes for _, minutes in operation.choices) for operation in shop.operations)
    starts: list[cp_model.LinearExprT] = []
    ends: list[cp_model.LinearExprT] = []
    choices: list[list[cp_model.LiteralT]] = []
    on_machine: list[list[cp_model.IntervalVar]] = [[] for _ in range(shop.machines)]
    for job in shop.jobs:
        ready: cp_model.LinearExprT = 0
        for operation in job:
            start = model.new_int_var(0, horizon, "")
            literals = [model.new_bool_var("") for _ in operation.choices]
            model.add_exactly_one(literals)
            for (machine, minutes), literal in zip(operation.choices, literals, strict=True):
                on_machine[machine].append(model.new_optional_fixed_size_interval_var(start, minutes, literal, ""))
            model.add(start >= ready)
            ready = start + sum(
                minutes * literal for (_, minutes), literal in zip(operation.choices, literals, strict=True)
            )
            starts.append(start)
            ends.append(ready)
            choices.append(list(literals))
    for intervals in on_machine:
        model.add_no_overlap(intervals)
    _minimise_makespan(model, ends, horizon)
    return model, Variables(starts, choices)


def _minimise_makespan(model: cp_model.CpModel, ends: Sequence[cp_model.LinearExprT], horizon: int) -> None:
    makespan = model.new_int_var(0, horizon, "makespan")
    for end in ends:
        model.add(makespan >= end)
    model.minimize(makespan)
