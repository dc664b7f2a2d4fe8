"""A schedule as near as can be to one that does not fit any more: what is in the way pushes it to the right.

Serial generation in the order of the old starts, with the old modes and resources, is the right-shift rescheduling of
the literature (Vieira, Herrmann and Lin, "Rescheduling manufacturing systems: a framework of strategies, policies, and
methods", Journal of Scheduling 6, 2003), with exceptions where it does not go through: what finds no room any more
comes first, and if that does not help may use other resources.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby, pairwise, product

from stationplan.engine.groups import Groups
from stationplan.engine.justify import place_groups
from stationplan.engine.problem import Assignment, Chamber, Link, Problem, Schedule, Task
from stationplan.engine.result import Conflict
from stationplan.engine.verify import evaluate, verify
from stationplan.engine.windows import Windows, find_windows

# Exceptions are made for the tasks of one conflict after the other; where these do not help, a search is quicker.
MOST_EXCEPTIONS = 6
MOST_DELAYS = 60


@dataclass(frozen=True, slots=True)
class Pushed:
    """What came of pushing: the schedule, None when it does not go, and then the tasks that found no room."""

    schedule: Schedule | None
    stuck: frozenset[int] = frozenset()


def push(problem: Problem, wished: Mapping[int, Assignment], places: Mapping[int, int]) -> Pushed:
    """A schedule in which tasks keep their order, modes and resources, and start as wished or as little later as goes.

    Args:
        problem: the problem; it must have no consumables.
        wished: where tasks were to be; the others come when those that need them do, or fill gaps.
        places: the resources that holds were to be in.

    Returns:
        The best schedule found in a few attempts.
    """
    found: list[Schedule] = []
    stuck: frozenset[int] = frozenset()
    rules = tuple(_order_of_states(problem, wished))
    attempts = [(rules, False), (rules, True), *([((), False)] if rules else [])]
    for links, in_gaps in attempts:
        if in_gaps and all(task in wished or data.fixed_start is not None for task, data in enumerate(problem.tasks)):
            continue
        pushing = _Pushing(replace(problem, links=(*problem.links, *links)), wished, places, in_gaps=in_gaps)
        schedule = pushing.run()
        stuck = pushing.stuck
        if schedule is not None and not verify(problem, schedule):
            found.append(schedule)
            if all(schedule.tasks[task].start == wish.start for task, wish in wished.items()):
                break
    best = min(found, key=lambda schedule: evaluate(problem, schedule), default=None)
    return Pushed(best, stuck if best is None else frozenset())


class _Pushing:
    """One attempt, with the exceptions that it has to make.

    Args:
        problem: the problem.
        wished: where tasks were to be.
        places: where holds were to be.
        in_gaps: whether what is not wished comes last, to fill gaps, and not just before what needs it.

    Attributes:
        stuck: the tasks that found no room in the last try.
    """

    def __init__(
        self, problem: Problem, wished: Mapping[int, Assignment], places: Mapping[int, int], *, in_gaps: bool
    ) -> None:
        self._problem = problem
        self._wished = wished
        self._places = places
        self._expected = {task: wish.start for task, wish in wished.items()}
        self._in_gaps = in_gaps
        self._urgent: set[int] = set()
        self._freed: set[int] = set()
        self.stuck: frozenset[int] = frozenset()

    def run(self) -> Schedule | None:
        """The schedule, None when no exception helps."""
        for _ in range(MOST_EXCEPTIONS):
            kept = self._narrowed()
            windows = find_windows(kept)
            if not isinstance(windows, Conflict):
                kept = self._no_earlier(kept, windows)
                windows = find_windows(kept)
            if isinstance(windows, Conflict):
                self.stuck = frozenset(windows.tasks)
                if not self._except(self.stuck, urgent=False):
                    return None
                continue
            order = Groups(kept, windows).ordered(self._key(windows))
            schedule, refused = place_groups(kept, windows, order, MOST_DELAYS, expected=self._expected)
            if schedule is not None:
                return self._widened(schedule)
            self.stuck = frozenset(task for group in refused for task in group.tasks)
            if not self._except(self.stuck, urgent=True) and not self._except(self.stuck, urgent=False):
                return None
        return None

    def _except(self, tasks: Collection[int], *, urgent: bool) -> bool:
        """Make an exception for some tasks, if there is one left to make."""
        known = self._urgent if urgent else self._freed
        more = {task for task in tasks if task not in known and (urgent or task in self._wished)}
        known |= more
        return bool(more)

    def _narrowed(self) -> Problem:
        """The problem with the wishes made rules."""
        holds = list(self._problem.holds)
        for number, hold in enumerate(holds):
            place = self._places.get(number if hold.beside is None else hold.beside)
            if place in hold.resources and hold.before not in self._freed:
                holds[number] = replace(hold, resources=(place,))
        # Holds that stand together have the same choice.
        holds = [
            hold if hold.beside is None else replace(hold, resources=holds[hold.beside].resources) for hold in holds
        ]
        tasks = tuple(
            _as_wished(task, self._wished[index]) if index in self._wished and index not in self._freed else task
            for index, task in enumerate(self._problem.tasks)
        )
        return replace(self._problem, tasks=tasks, holds=tuple(holds))

    def _no_earlier(self, problem: Problem, windows: Windows) -> Problem:
        """The problem in which tasks start as wished or later; sooner only where what has begun asks for it."""
        tasks = tuple(
            replace(task, release=max(task.release, min(self._wished[index].start, windows.latest[index])))
            if index in self._wished and index not in self._freed
            else task
            for index, task in enumerate(problem.tasks)
        )
        return replace(problem, tasks=tasks)

    def _widened(self, schedule: Schedule) -> Schedule:
        """The schedule with the modes numbered as in the problem itself."""
        tasks = (
            replace(place, mode=self._wished[task].mode) if task in self._wished and task not in self._freed else place
            for task, place in enumerate(schedule.tasks)
        )
        return replace(schedule, tasks=tuple(tasks))

    def _key(self, windows: Windows) -> list[float]:
        """Tasks by their wished starts, what is urgent before them, and what has none as told."""
        key: list[float] = [
            self._wished[task].start if task in self._wished else math.inf if data.fixed_start is None else -1
            for task, data in enumerate(self._problem.tasks)
        ]
        changed = not self._in_gaps
        while changed:
            changed = False
            for before, after, weight in windows.arcs:
                if weight >= 0 and before not in self._wished and key[after] < key[before]:
                    key[before], changed = key[after], True
        return [-1 if task in self._urgent else start for task, start in enumerate(key)]


def _as_wished(task: Task, wish: Assignment) -> Task:
    """A task with no choice but when to start."""
    mode = task.modes[wish.mode]
    uses = tuple(replace(use, resources=(index,)) for use, index in zip(mode.uses, wish.resources, strict=True))
    return replace(task, modes=(replace(mode, uses=uses),))


def _order_of_states(problem: Problem, wished: Mapping[int, Assignment]) -> Iterator[Link]:
    """Links that keep the order of the states of each chamber, so that nothing has to wait for its state to come again.

    Whatever was to be in a chamber in one state comes before what was to be in it in the next one.
    """
    loads: dict[int, list[tuple[int, int, str]]] = defaultdict(list)
    for task, wish in wished.items():
        for use, resource in zip(problem.tasks[task].modes[wish.mode].uses, wish.resources, strict=True):
            if use.state is not None:
                loads[resource].append((wish.start, task, use.state))
    for resource, found in loads.items():
        blocks = [[load[1:] for load in block] for _, block in groupby(sorted(found), key=lambda load: load[2])]
        chamber = problem.resources[resource]
        assert isinstance(chamber, Chamber)
        for earlier, later in pairwise(blocks):
            for (before, one), (after, other) in product(earlier, later):
                yield Link(before, after, chamber.changeovers.get((one, other), 0))
