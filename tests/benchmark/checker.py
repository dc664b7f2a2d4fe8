"""The independent check of every plan of the benchmark.

Plain functions over the instances' own data. They share nothing with the engine, its
problem or its verifier, nor with the peers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations

from .answers import Instance, Plan
from .family import Kitchen
from .readers import Project, Shop

# Something taken of a resource: from, to, amount.
Taken = tuple[int, int, int]


def find_faults(instance: Instance, plan: Plan) -> tuple[str, ...]:
    """Say each way in which a plan breaks its instance; nothing when it is a plan of it."""
    counts = _choice_counts(instance)
    if not len(plan.starts) == len(plan.choices) == len(counts):
        return ("the plan has another number of tasks than the instance",)
    if min(plan.starts, default=0) < 0:
        return ("a task starts before time 0",)
    if any(not 0 <= choice < count for choice, count in zip(plan.choices, counts, strict=True)):
        return ("a task takes a choice that it does not have",)
    if isinstance(instance, Kitchen):
        return tuple(_kitchen_faults(instance, plan))
    if isinstance(instance, Project):
        return tuple(_project_faults(instance, plan))
    return tuple(_shop_faults(instance, plan))


def find_makespan(instance: Instance, plan: Plan) -> int:
    """When the last task of a plan without faults ends."""
    durations = _durations(instance, plan)
    return max((start + duration for start, duration in zip(plan.starts, durations, strict=True)), default=0)


def _choice_counts(instance: Instance) -> list[int]:
    if isinstance(instance, Kitchen):
        return [instance.ovens if task.slots else 1 for task in instance.tasks]
    if isinstance(instance, Project):
        return [len(modes) for modes in instance.activities]
    return [len(operation.choices) for operation in instance.operations]


def _durations(instance: Instance, plan: Plan) -> list[int]:
    if isinstance(instance, Kitchen):
        return [task.minutes for task in instance.tasks]
    if isinstance(instance, Project):
        pairs = zip(instance.activities, plan.choices, strict=True)
        return [modes[choice].duration for modes, choice in pairs]
    return [operation.choices[choice][1] for operation, choice in zip(instance.operations, plan.choices, strict=True)]


def _kitchen_faults(kitchen: Kitchen, plan: Plan) -> Iterator[str]:
    starts = plan.starts
    ends = [start + task.minutes for start, task in zip(starts, kitchen.tasks, strict=True)]
    for link in kitchen.links:
        lag = starts[link.after] - ends[link.before]
        if lag < link.least:
            yield f"task {link.after} starts {lag} after task {link.before}, at least {link.least} are needed"
        if link.most is not None and lag > link.most:
            yield f"task {link.after} starts {lag} after task {link.before}, at most {link.most} are allowed"
    for pool, capacity in kitchen.pools.items():
        taken = [
            (start, end, task.needs.get(pool, 0)) for start, end, task in zip(starts, ends, kitchen.tasks, strict=True)
        ]
        yield from _overfull(pool, taken, capacity)
    for oven in range(kitchen.ovens):
        bakes = sorted(
            (starts[number], ends[number], task.slots, task.celsius)
            for number, task in enumerate(kitchen.tasks)
            if task.slots and plan.choices[number] == oven
        )
        yield from _overfull(f"oven {oven}", [bake[:3] for bake in bakes], kitchen.slots)
        for (_, end, _, celsius), (start, _, _, next_celsius) in combinations(bakes, 2):
            if celsius != next_celsius and start < end + kitchen.changeover(celsius, next_celsius):
                yield f"oven {oven} cannot get from {celsius} C at {end} to {next_celsius} C at {start}"


def _project_faults(project: Project, plan: Plan) -> Iterator[str]:
    modes = [modes[choice] for modes, choice in zip(project.activities, plan.choices, strict=True)]
    for arc in project.arcs:
        origin = plan.starts[arc.before] + (modes[arc.before].duration if arc.from_end else 0)
        if plan.starts[arc.after] < origin + arc.lag:
            yield f"activity {arc.after} starts at {plan.starts[arc.after]}, before {origin} + {arc.lag}"
    for resource, capacity in enumerate(project.capacities):
        taken = [
            (start, start + mode.duration, mode.demands[resource])
            for start, mode in zip(plan.starts, modes, strict=True)
        ]
        yield from _overfull(f"resource {resource}", taken, capacity)
    for stock, total in enumerate(project.stocks):
        consumed = sum(mode.consumes[stock] for mode in modes)
        if consumed > total:
            yield f"{consumed} of stock {stock} is consumed, there is {total}"


def _shop_faults(shop: Shop, plan: Plan) -> Iterator[str]:
    taken: list[list[Taken]] = [[] for _ in range(shop.machines)]
    steps = iter(zip(plan.starts, plan.choices, strict=True))
    for number, job in enumerate(shop.jobs):
        ready = 0
        for operation in job:
            start, choice = next(steps)
            machine, minutes = operation.choices[choice]
            if start < ready:
                yield f"job {number} has an operation at {start} while the one before lasts until {ready}"
            ready = start + minutes
            taken[machine].append((start, ready, 1))
    for machine, spans in enumerate(taken):
        yield from _overfull(f"machine {machine}", spans, 1)


def _overfull(name: str, taken: Iterable[Taken], capacity: int) -> Iterator[str]:
    """Sweep over the moments at which something is taken or given back."""
    changes: dict[int, int] = {}
    for start, end, amount in taken:
        changes[start] = changes.get(start, 0) + amount
        changes[end] = changes.get(end, 0) - amount
    in_use = 0
    for moment in sorted(changes):
        in_use += changes[moment]
        if in_use > capacity:
            yield f"{in_use} of {name} is in use at {moment}, there is {capacity}"
