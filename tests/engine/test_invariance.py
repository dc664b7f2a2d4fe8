"""What says the same in other words has the same optimum; problems here are too large to try everything."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from stationplan.engine.problem import Chamber, Closure, LinkKind, Mode, Pool, Problem, Task, Use

from .build import costs
from .random_problems import random_problem

SEEDS = [range(95_000 + 30 * chunk, 95_000 + 30 * (chunk + 1)) for chunk in range(4)]


def larger_problem(seed: int) -> Problem:
    return random_problem(seed, tasks=9, horizon=24, longest=6)


def shuffled(problem: Problem, draw: Random) -> Problem:
    """The same problem with its tasks in another order."""
    order = list(range(len(problem.tasks)))
    draw.shuffle(order)
    place = {index: position for position, index in enumerate(order)}
    return replace(
        problem,
        tasks=tuple(problem.tasks[index] for index in order),
        links=tuple(replace(link, before=place[link.before], after=place[link.after]) for link in problem.links),
        holds=tuple(replace(hold, before=place[hold.before], after=place[hold.after]) for hold in problem.holds),
        deliveries=tuple(replace(d, tasks=tuple(place[index] for index in d.tasks)) for d in problem.deliveries),
        series=tuple(tuple(tuple(place[index] for index in batch) for batch in series) for series in problem.series),
    )


def in_half_minutes(problem: Problem) -> Problem:
    """The same problem with every time counted twice."""

    def twice(number: int | None) -> int | None:
        return None if number is None else 2 * number

    def use(entry: Use) -> Use:
        return replace(entry, offset=2 * entry.offset, length=twice(entry.length))

    def task(entry: Task) -> Task:
        modes = tuple(
            replace(mode, duration=2 * mode.duration, uses=tuple(use(u) for u in mode.uses)) for mode in entry.modes
        )
        fixed, deadline = twice(entry.fixed_start), twice(entry.deadline)
        return replace(entry, modes=modes, release=2 * entry.release, deadline=deadline, fixed_start=fixed)

    def resource(entry: Pool | Chamber) -> Pool | Chamber:
        closures = tuple(Closure(2 * closure.start, 2 * closure.end, closure.amount) for closure in entry.closures)
        if isinstance(entry, Pool):
            return replace(entry, closures=closures)
        changeovers = {pair: 2 * minutes for pair, minutes in entry.changeovers.items()}
        first = {state: 2 * minutes for state, minutes in entry.first.items()}
        return replace(entry, changeovers=changeovers, first=first, closures=closures)

    return replace(
        problem,
        tasks=tuple(task(entry) for entry in problem.tasks),
        resources=tuple(resource(entry) for entry in problem.resources),
        links=tuple(replace(link, least=twice(link.least), most=twice(link.most)) for link in problem.links),
        deliveries=tuple(replace(delivery, due=2 * delivery.due) for delivery in problem.deliveries),
        horizon=twice(problem.horizon),
        tidy_changeover=2 * problem.tidy_changeover,
    )


def without_calendar(problem: Problem) -> Problem:
    """The problem without anything that is tied to a time of its own."""
    return replace(
        problem,
        tasks=tuple(Task(task.name, task.modes) for task in problem.tasks),
        resources=tuple(
            replace(entry, closures=()) if isinstance(entry, Pool) else replace(entry, first={}, closures=())
            for entry in problem.resources
        ),
        deliveries=(),
    )


def backwards(problem: Problem) -> Problem:
    """The problem of a clock that runs backwards; it must have no calendar."""
    kinds = {LinkKind.START_START: LinkKind.END_END, LinkKind.END_END: LinkKind.START_START}

    def mode(entry: Mode) -> Mode:
        uses = []
        for use in entry.uses:
            length = entry.duration - use.offset if use.length is None else use.length
            uses.append(replace(use, offset=entry.duration - use.offset - length, length=length))
        return replace(entry, uses=tuple(uses))

    def resource(entry: Pool | Chamber) -> Pool | Chamber:
        if isinstance(entry, Pool):
            return entry
        return replace(entry, changeovers={(b, a): minutes for (a, b), minutes in entry.changeovers.items()})

    return replace(
        problem,
        tasks=tuple(replace(task, modes=tuple(mode(entry) for entry in task.modes)) for task in problem.tasks),
        resources=tuple(resource(entry) for entry in problem.resources),
        links=tuple(
            replace(link, before=link.after, after=link.before, kind=kinds.get(link.kind, link.kind))
            for link in problem.links
        ),
        holds=tuple(replace(hold, before=hold.after, after=hold.before) for hold in problem.holds),
    )


@pytest.mark.parametrize("seeds", SEEDS)
def test_the_order_in_which_tasks_are_listed_does_not_matter(seeds: range) -> None:
    for seed in seeds:
        problem = larger_problem(seed)
        assert costs(shuffled(problem, Random(seed))) == costs(problem), f"seed {seed}"


@pytest.mark.parametrize("seeds", SEEDS)
def test_the_series_only_speed_the_search_up(seeds: range) -> None:
    for seed in seeds:
        problem = larger_problem(seed)
        assert costs(replace(problem, series=())) == costs(problem), f"seed {seed}"


@pytest.mark.parametrize("seeds", SEEDS)
def test_counting_in_half_minutes_doubles_every_cost(seeds: range) -> None:
    for seed in seeds:
        problem = larger_problem(seed)
        found = costs(problem)
        expected = None if found is None else tuple(2 * cost for cost in found)
        assert costs(in_half_minutes(problem)) == expected, f"seed {seed}"


@pytest.mark.parametrize("seeds", SEEDS)
def test_a_problem_without_calendar_takes_as_long_backwards(seeds: range) -> None:
    for seed in seeds:
        problem = without_calendar(larger_problem(seed))
        assert costs(backwards(problem)) == costs(problem), f"seed {seed}"


@pytest.mark.parametrize("seeds", SEEDS)
def test_the_horizon_that_the_engine_finds_loses_nothing(seeds: range) -> None:
    for seed in seeds:
        problem = replace(larger_problem(seed), horizon=None)
        assert costs(replace(problem, horizon=500)) == costs(problem), f"seed {seed}"
