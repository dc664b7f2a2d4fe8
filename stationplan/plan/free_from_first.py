"""What is declared to hold fewer allergens comes first on shared equipment, where that makes nothing later.

It is a second search for the same scenario, with links that say so, within the lateness
and the finish of the first. Where none is found the first schedule stays as it is.
"""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import permutations, product
from typing import TYPE_CHECKING

from stationplan.engine.assessing import with_schedule
from stationplan.engine.problem import Link, Problem, Schedule
from stationplan.engine.result import Result
from stationplan.engine.verify import evaluate
from stationplan.network.network import BatchTask, Network, StationGroup
from stationplan.plan.allergens import TOUCHING, StepKey, declarations_of, declares

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stationplan.scenario.models import Scenario

MOST_ALONE = 4
"""How many of the wishes that do not all hold together are tried one by one."""
SHARE = 0.1
"""The share of the budget that is kept for it."""
MOST_LINKS = 2500
"""Two steps with more pairs of batches than this are left as they are."""

Wish = tuple[Link, ...]
"""Links that all hold when every batch of one step is done on a piece of equipment before any of another."""


def wishes_of(network: Network, scenario: Scenario) -> tuple[Wish, ...]:
    """What should come before what on equipment that the food touches.

    One step comes before another when everything declared of the first is declared of the other, and more.

    Args:
        network: the scenario's scheduling problem.
        scenario: the scenario.

    Returns:
        Nothing where no allergens are declared, or the same of all batches.
    """
    if not declares(scenario):
        return ()
    steps = declarations_of(scenario).steps
    found: dict[Wish, None] = {}
    for equipment in dict.fromkeys(group.equipment for group in _touching(network)):
        runs: dict[StepKey, list[int]] = {}
        for index, task in enumerate(network.tasks):
            if isinstance(task, BatchTask) and equipment in _equipment_of(network, index):
                runs.setdefault((task.item, task.step, task.round), []).append(index)
        for one, other in permutations(runs, 2):
            if steps[one].allergens < steps[other].allergens and len(runs[one]) * len(runs[other]) <= MOST_LINKS:
                found[tuple(Link(*pair) for pair in product(runs[one], runs[other]))] = None
    return tuple(found)


def _touching(network: Network) -> Iterator[StationGroup]:
    for group in network.resources:
        if isinstance(group, StationGroup) and group.kind in TOUCHING:
            yield group


def _equipment_of(network: Network, task: int) -> set[int]:
    """The equipment that a task may be done on, by its position in the kitchen."""
    groups = (
        network.resources[resource]
        for mode in network.problem.tasks[task].modes
        for use in mode.uses
        for resource in use.resources
    )
    return {group.equipment for group in groups if isinstance(group, StationGroup)}


def rearranged(
    network: Network,
    result: Result,
    wishes: tuple[Wish, ...],
    *,
    seconds: float | None,
    effort: float | None,
    seed: int,
    workers: int | None,
) -> Result:
    """A result as punctual and as short in which more wishes hold, if one is found.

    Args:
        network: the scenario's scheduling problem.
        result: what the search has found; its bounds stay true.
        wishes: what should come before what.
        seconds: the most seconds for all of it; None for no limit.
        effort: the most work for all of it, in the solver's units; None for no limit.
        seed: random seed.
        workers: parallel workers.

    Returns:
        The same result where nothing is found, and what has been found so far where the user interrupts.
    """
    from stationplan.engine import solve

    problem = network.problem
    assert result.schedule is not None
    holding = [wish for wish in wishes if _holds(problem, result.schedule, wish)]
    missing = [wish for wish in wishes if wish not in holding]
    kept = _joined(holding)
    # All of them at once, and if that is too much, one after the other.
    trials = list(dict.fromkeys([_joined(missing), *missing[:MOST_ALONE]])) if missing else []
    began = time.monotonic()
    try:
        for trial in trials:
            if seconds is not None and time.monotonic() - began > seconds:
                break
            found = solve(
                _no_later(problem, result.schedule, (*kept, *trial)),
                time_limit=None if seconds is None else seconds / len(trials),
                effort=None if effort is None else effort / len(trials),
                seed=seed,
                workers=workers,
            )
            if found.schedule is not None:
                result, kept = with_schedule(problem, result, found.schedule), (*kept, *trial)
                if trial == trials[0]:
                    break
    except KeyboardInterrupt:
        return result
    return result


def _joined(wishes: Sequence[Wish]) -> Wish:
    return tuple(link for wish in wishes for link in wish)


def _holds(problem: Problem, schedule: Schedule, wish: Wish) -> bool:
    return all(schedule.end(problem, link.before) <= schedule.tasks[link.after].start for link in wish)


def _no_later(problem: Problem, schedule: Schedule, links: Wish) -> Problem:
    """The problem with more links, in which nothing may be later than it is in a schedule, unless it is in time."""
    makespan = evaluate(problem, schedule).makespan
    latest: dict[int, int] = {}
    for delivery in problem.deliveries:
        ready = max((schedule.end(problem, task) for task in delivery.tasks), default=0)
        for task in delivery.tasks:
            latest[task] = min(latest.get(task, makespan), max(delivery.due, ready))
    tasks = tuple(
        replace(
            task,
            deadline=min(makespan, latest.get(index, makespan), makespan if task.deadline is None else task.deadline),
        )
        for index, task in enumerate(problem.tasks)
    )
    return replace(problem, tasks=tasks, links=(*problem.links, *links), horizon=makespan)
