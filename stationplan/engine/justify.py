"""Serial generation in both directions: schedules pushed together to the left, and to the right.

Each schedule that is generated is also justified, to the right and back to the left
(Valls, Ballestín and Quintanilla, "Justification and RCPSP: a technique that pays",
EJOR 165, 2005).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stationplan.engine.groups import Group, Groups
from stationplan.engine.mirror import mirrored
from stationplan.engine.problem import Assignment, Problem, Schedule
from stationplan.engine.result import Conflict
from stationplan.engine.serial import MOST_DELAYS, SerialGenerator
from stationplan.engine.verify import evaluate, verify
from stationplan.engine.windows import Windows, find_windows

# Mirrors kept for makespans met again; each is as large as the problem.
MOST_MIRRORS = 8

Cost = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Built:
    """A generated schedule and its cost: lateness, makespan, and the sum of all starts to tell equals apart."""

    cost: Cost
    schedule: Schedule

    @property
    def starts(self) -> list[int]:
        """The starts of all tasks."""
        return [assignment.start for assignment in self.schedule.tasks]


def built(problem: Problem, schedule: Schedule) -> Built:
    """A schedule with its cost."""
    objective = evaluate(problem, schedule)
    starts = sum(assignment.start for assignment in schedule.tasks)
    return Built((objective.lateness, objective.makespan, starts), schedule)


class Builder:
    """Generates and justifies schedules of a problem.

    Args:
        problem: the problem; it must have no consumables.
        windows: its windows.
    """

    def __init__(self, problem: Problem, windows: Windows) -> None:
        self._problem = problem
        self._windows = windows
        self.groups = Groups(problem, windows)
        self._mirrors: dict[int, tuple[Problem, Windows, Groups] | None] = {}

    def build(self, key: Sequence[float], longest: float = math.inf, reluctance: int = 0) -> Built | None:
        """A schedule made in the order of a key over tasks, and justified.

        Args:
            key: for each task; what has the least comes first.
            longest: a makespan above which it is not justified.
            reluctance: minutes that a task rather waits than let a chamber change its state once more.

        Returns:
            The schedule, None when some task finds no room.
        """
        found = self.left(key, reluctance)
        if found is None or found.cost[1] > longest:
            return found
        justified = self.justify(found, reluctance)
        return found if justified is None or justified.cost > found.cost else justified

    def left(self, key: Sequence[float], reluctance: int = 0) -> Built | None:
        """A schedule made in the order of a key over tasks, each as early as it goes."""
        schedule = generate(self._problem, self._windows, self.groups.ordered(key), reluctance)
        return None if schedule is None else built(self._problem, schedule)

    def justify(self, found: Built, reluctance: int = 0) -> Built | None:
        """The schedule pushed to the right and back to the left, None where that does not go."""
        makespan = found.cost[1]
        if makespan not in self._mirrors:
            if len(self._mirrors) >= MOST_MIRRORS:
                self._mirrors.clear()
            self._mirrors[makespan] = self._mirror(makespan, {})
        right = self._pushed(found.schedule, makespan, self._mirrors[makespan], reluctance)
        return None if right is None else self.left([assignment.start for assignment in right.tasks], reluctance)

    def right(self, schedule: Schedule, end: int, latest: Mapping[int, int]) -> Schedule | None:
        """The tasks of a schedule in their order, each as late as it goes to end at ``end``.

        Args:
            schedule: the schedule.
            end: minute at which everything is to have ended.
            latest: the latest ends of some tasks.

        Returns:
            Starts, modes and resources, of which the earliest may lie before time 0; None
            when some task finds no room.
        """
        return self._pushed(schedule, end, self._mirror(end, latest))

    def _pushed(
        self, schedule: Schedule, end: int, mirror: tuple[Problem, Windows, Groups] | None, reluctance: int = 0
    ) -> Schedule | None:
        if mirror is None:
            return None
        problem, windows, groups = mirror
        tasks = range(len(self._problem.tasks))
        order = groups.ordered([-schedule.end(self._problem, task) for task in tasks])
        backward = generate(problem, windows, order, reluctance)
        if backward is None:
            return None
        return Schedule(
            tuple(
                Assignment(end - backward.end(problem, task), place.mode, place.resources)
                for task, place in enumerate(backward.tasks)
            ),
            backward.holds,
        )

    def _mirror(self, end: int, latest: Mapping[int, int]) -> tuple[Problem, Windows, Groups] | None:
        problem = mirrored(self._problem, end, latest)
        windows = find_windows(problem)
        return None if isinstance(windows, Conflict) else (problem, windows, Groups(problem, windows))


def generate(problem: Problem, windows: Windows, order: Sequence[Group], reluctance: int = 0) -> Schedule | None:
    """A schedule by serial generation.

    Groups that find no room, and those that come after them, are tried again when the others are placed.

    Args:
        problem: the problem; it must have no consumables.
        windows: its windows.
        order: the groups, what comes before first.
        reluctance: minutes that a task rather waits than let a chamber change its state once more.

    Returns:
        The schedule, or None when some group finds no room.
    """
    return place_groups(problem, windows, order, reluctance=reluctance)[0]


def quick_schedule(problem: Problem, windows: Windows) -> Schedule | None:
    """A schedule by serial generation under one of several rules, if one of them gets through.

    Args:
        problem: the problem; nothing is tried where it has consumables.
        windows: its windows.
    """
    if problem.consumables:
        return None
    groups = Groups(problem, windows)
    for rule in (groups.urgency, groups.tail, windows.earliest):
        schedule = generate(problem, windows, groups.ordered(rule))
        if schedule is not None and not verify(problem, schedule):
            return schedule
    return None


def place_groups(
    problem: Problem,
    windows: Windows,
    order: Sequence[Group],
    most_delays: int = MOST_DELAYS,
    reluctance: int = 0,
    expected: Mapping[int, int] | None = None,
) -> tuple[Schedule | None, tuple[Group, ...]]:
    """The same as :func:`generate`, and the groups that find no room though all that come before them have.

    Args:
        problem: the problem; it must have no consumables.
        windows: its windows.
        order: the groups, what comes before first.
        most_delays: how often a member of a group may be delayed.
        reluctance: minutes that a task rather waits than let a chamber change its state once more.
        expected: when tasks are likely to start, as far as that is known.
    """
    generator = SerialGenerator(problem, windows, reluctance, expected)
    waiting = list(order)
    while waiting:
        refused: dict[int, Group] = {}
        for group in waiting:
            if any(number in refused for number in group.after) or not generator.place(group.tasks, most_delays):
                refused[group.number] = group
        if len(refused) == len(waiting):
            return None, tuple(group for group in waiting if not any(number in refused for number in group.after))
        waiting = list(refused.values())
    return generator.schedule(), ()
