"""The engine under test: from an instance to its problem, and from its result to an answer."""

from __future__ import annotations

import time
from itertools import groupby, pairwise

from stationplan.engine import solve as solve_problem
from stationplan.engine.problem import (
    Assignment,
    Chamber,
    Consumable,
    Link,
    LinkKind,
    Mode,
    Pool,
    Problem,
    Task,
    Use,
)
from stationplan.engine.result import Progress, TierName

from .answers import Answer, Instance, Limits, Outcome, Plan
from .family import Kitchen, KitchenTask
from .readers import Project, Shop


def solve(instance: Instance, limits: Limits) -> Answer:
    """Let the engine solve an instance."""
    began = time.monotonic()
    times: list[float] = []

    def note_first_plan(progress: Progress) -> None:
        if progress.value is not None and not times:
            times.append(time.monotonic() - began)

    result = solve_problem(
        to_problem(instance),
        time_limit=limits.seconds,
        workers=limits.workers,
        seed=limits.seed,
        on_progress=note_first_plan,
    )
    seconds = time.monotonic() - began
    outcome = Outcome(result.status.value)
    if result.schedule is None:
        bound = max((bound.minutes for bound in result.bounds), default=0)
        return Answer(outcome, bound=bound, seconds=seconds)
    [makespan] = [tier for tier in result.tiers if tier.name is TierName.MAKESPAN]
    plan = Plan(
        tuple(assignment.start for assignment in result.schedule.tasks),
        tuple(_choice(instance, assignment) for assignment in result.schedule.tasks),
    )
    first = times[0] if times else seconds
    return Answer(outcome, plan, makespan.value, makespan.bound, first, seconds)


def _choice(instance: Instance, assignment: Assignment) -> int:
    """The oven, which the problem has as its first resources, or the mode."""
    if isinstance(instance, Kitchen):
        return next((resource for resource in assignment.resources if resource < instance.ovens), 0)
    return assignment.mode


def to_problem(instance: Instance) -> Problem:
    """Say an instance in the engine's words."""
    if isinstance(instance, Kitchen):
        return _of_kitchen(instance)
    return _of_project(instance) if isinstance(instance, Project) else _of_shop(instance)


def _of_kitchen(kitchen: Kitchen) -> Problem:
    temperatures = sorted({task.celsius for task in kitchen.tasks if task.slots})
    changeovers = {
        (str(one), str(other)): kitchen.changeover(one, other)
        for one in temperatures
        for other in temperatures
        if one != other
    }
    ovens = tuple(Chamber(f"oven {number}", kitchen.slots, changeovers) for number in range(kitchen.ovens))
    pools = {name: kitchen.ovens + position for position, name in enumerate(kitchen.pools)}

    def mode(task: KitchenTask) -> Mode:
        uses = [Use((pools[name],), amount) for name, amount in task.needs.items()]
        if task.slots:
            uses.append(Use(tuple(range(kitchen.ovens)), task.slots, state=str(task.celsius)))
        return Mode(task.minutes, tuple(uses))

    numbered = list(enumerate(kitchen.tasks))
    series = tuple(
        tuple(tuple(number for number, _ in batch) for _, batch in groupby(of_product, lambda pair: pair[1].batch))
        for _, of_product in groupby(numbered, lambda pair: pair[1].product)
    )
    return Problem(
        tuple(Task(f"p{task.product}b{task.batch} {task.name}", (mode(task),)) for task in kitchen.tasks),
        (*ovens, *(Pool(name, capacity) for name, capacity in kitchen.pools.items())),
        tuple(Link(link.before, link.after, link.least, link.most) for link in kitchen.links),
        series=series,
    )


def _of_project(project: Project) -> Problem:
    tasks = tuple(
        Task(
            f"activity {number}",
            tuple(
                Mode(
                    mode.duration,
                    tuple(Use((resource,), amount) for resource, amount in enumerate(mode.demands) if amount),
                    tuple((stock, amount) for stock, amount in enumerate(mode.consumes) if amount),
                )
                for mode in modes
            ),
        )
        for number, modes in enumerate(project.activities)
    )
    links = tuple(
        Link(arc.before, arc.after, arc.lag, kind=LinkKind.END_START if arc.from_end else LinkKind.START_START)
        for arc in project.arcs
    )
    return Problem(
        tasks,
        tuple(Pool(f"resource {number}", capacity) for number, capacity in enumerate(project.capacities)),
        links,
        consumables=tuple(Consumable(f"stock {number}", total) for number, total in enumerate(project.stocks)),
    )


def _of_shop(shop: Shop) -> Problem:
    tasks: list[Task] = []
    links: list[Link] = []
    for number, job in enumerate(shop.jobs):
        first = len(tasks)
        for step, operation in enumerate(job):
            modes = tuple(Mode(minutes, (Use((machine,)),)) for machine, minutes in operation.choices)
            tasks.append(Task(f"job {number} step {step}", modes))
        links += [Link(before, after) for before, after in pairwise(range(first, len(tasks)))]
    return Problem(tuple(tasks), tuple(Pool(f"machine {number}", 1) for number in range(shop.machines)), tuple(links))
