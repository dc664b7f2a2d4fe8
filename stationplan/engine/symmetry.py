"""Interchangeable batches, put in order.

When batches of a series are identical at every stage, any schedule can be relabelled
so that batch k starts no later than batch k + 1 at each stage: sorting the starts of
a stage keeps least lags, most lags and what is held between two stages. The ordering
removes the factorially many copies of each schedule from the search.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from stationplan.engine.problem import Assignment, Chamber, Link, LinkKind, Problem, Schedule


def with_ordered_series(problem: Problem) -> Problem:
    """Add start-start links between the successive batches of each series where that loses nothing.

    Args:
        problem: any problem.

    Returns:
        The problem with the links added and its series emptied. A series is left
        unordered when its batches differ, when a task of it has a fixed start or
        several durations, or when its links or deliveries reach outside the batch.
    """
    links = list(problem.links)
    for series in problem.series:
        if _interchangeable(problem, series):
            links.extend(
                Link(before, after, kind=LinkKind.START_START)
                for earlier, later in pairwise(series)
                for before, after in zip(earlier, later, strict=True)
            )
    return replace(problem, links=tuple(links), series=())


def _interchangeable(problem: Problem, series: tuple[tuple[int, ...], ...]) -> bool:
    stages = {len(batch) for batch in series}
    if len(stages) != 1:
        return False
    for stage in zip(*series, strict=True):
        tasks = [problem.tasks[index] for index in stage]
        alike = {(task.modes, task.release, task.deadline) for task in tasks}
        if len(alike) != 1 or any(task.fixed_start is not None for task in tasks):
            return False
        if len({mode.duration for mode in tasks[0].modes}) != 1:
            return False
    return _same_inner_relations(problem, series)


def _same_inner_relations(problem: Problem, series: tuple[tuple[int, ...], ...]) -> bool:
    place = {task: (number, stage) for number, batch in enumerate(series) for stage, task in enumerate(batch)}
    if len(place) != sum(len(batch) for batch in series):
        return False
    inner: list[list[tuple[object, ...]]] = [[] for _ in series]
    relations = [
        *((link.before, link.after, (link.least, link.most, link.kind, link.tidy)) for link in problem.links),
        *((hold.before, hold.after, (hold.resources, hold.amount)) for hold in problem.holds),
    ]
    for before, after, rest in relations:
        if (before in place) != (after in place):
            return False
        if before in place:
            (number, stage), (other, later) = place[before], place[after]
            if number != other:
                return False
            inner[number].append((stage, later, *rest))
    delivered = [task for delivery in problem.deliveries for task in delivery.tasks if task in place]
    # A hold in one of several places moves with its batch; sorting may exchange the ends of two holds
    # that stand in different places, so such a series keeps its copies.
    several_places = any(len(hold.resources) > 1 and hold.before in place for hold in problem.holds)
    return (
        not delivered
        and not several_places
        and all(sorted(map(repr, relations)) == sorted(map(repr, inner[0])) for relations in inner)
    )


def identical_chambers(problem: Problem) -> tuple[tuple[int, ...], ...]:
    """Groups of two or more chambers that no task and no number tells apart.

    Returns:
        Tuples of resource positions, each in rising order.
    """
    signature: dict[int, list[object]] = {
        index: [
            resource.capacity,
            resource.tidy,
            sorted(resource.changeovers.items()),
            sorted(resource.first.items()),
            sorted(resource.after_restarts.items()),
            resource.restarts,
            resource.closures,
        ]
        for index, resource in enumerate(problem.resources)
        if isinstance(resource, Chamber)
    }
    for task in problem.tasks:
        for mode in task.modes:
            for use in mode.uses:
                for index in use.resources:
                    if index in signature:
                        signature[index].append((id(task), id(mode), id(use)))
    groups: dict[str, list[int]] = {}
    for index, parts in signature.items():
        groups.setdefault(repr(parts), []).append(index)
    return tuple(tuple(group) for group in groups.values() if len(group) > 1)


def with_chambers_in_order(problem: Problem, schedule: Schedule) -> Schedule:
    """The same schedule with identical chambers renamed in the order in which the tasks, by position, take them.

    Args:
        problem: the problem.
        schedule: a schedule for it.

    Returns:
        A schedule as good, which the model's ordering of identical chambers accepts.
    """
    renamed: dict[int, int] = {}
    for group in identical_chambers(problem):
        met = dict.fromkeys(
            resource for assignment in schedule.tasks for resource in assignment.resources if resource in group
        )
        order = [*met, *(resource for resource in group if resource not in met)]
        renamed.update(zip(order, group, strict=True))
    return Schedule(
        tuple(
            Assignment(a.start, a.mode, tuple(renamed.get(resource, resource) for resource in a.resources))
            for a in schedule.tasks
        ),
        schedule.holds,
    )
