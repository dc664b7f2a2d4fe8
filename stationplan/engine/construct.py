"""First schedules: serial generation under several priority rules, then with the best order slightly shaken.

Each generated schedule is also justified, to the right and back to the left.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stationplan.engine.groups import Group, Groups
from stationplan.engine.insertion import insert_groups
from stationplan.engine.limits import Limits
from stationplan.engine.mirror import mirrored
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.result import Conflict
from stationplan.engine.serial import SerialGenerator
from stationplan.engine.solver import Settings
from stationplan.engine.verify import evaluate
from stationplan.engine.windows import Windows, find_windows

# How often the best order is shaken: fewer times in a larger problem, where each takes longer.
SHAKES_OF_ONE_TASK, FEWEST_SHAKES, MOST_SHAKES = 60_000, 5, 300
# Shakes without improvement after which no more is hoped for.
PATIENCE = 40
# How far a group is moved in the order, as a share of the makespan.
WIDTHS = (0.003, 0.01, 0.03, 0.1)

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


def construct(
    problem: Problem,
    windows: Windows,
    limits: Limits,
    settings: Settings,
    offer: Callable[[Schedule], None],
    goal: int,
    share: float,
) -> None:
    """Generate schedules and offer each that is better than those before.

    Args:
        problem: the problem.
        windows: its windows.
        limits: the budget of the solve.
        settings: seed and workers.
        offer: called with each schedule.
        goal: a lower bound on the makespan; nothing better is looked for once it is met without lateness.
        share: the share of the budget after which to stop.
    """
    builder = _Builder(problem, windows)
    groups = builder.groups
    best: Built | None = None

    def take(found: Built | None) -> bool:
        """Keep what is no worse, offer what is better; whether it was better."""
        nonlocal best
        if found is None or (best is not None and found.cost > best.cost):
            return False
        better = best is None or found.cost[:2] < best.cost[:2]
        best = found
        if better:
            offer(found.schedule)
        return better

    if not problem.consumables:
        for rule in (groups.urgency, groups.tail, windows.earliest):
            take(builder.build(rule))
    if best is None:
        order = [group.tasks for group in groups.ordered(groups.urgency)]
        inserted = insert_groups(problem, windows, order, limits, settings)
        if inserted is not None:
            offer(inserted)
        return
    draw = random.Random(settings.seed)
    stalled = 0
    for _ in range(max(FEWEST_SHAKES, min(MOST_SHAKES, SHAKES_OF_ONE_TASK // max(1, len(problem.tasks))))):
        if limits.used_up(share) or best.cost[:2] <= (0, goal) or stalled >= PATIENCE:
            return
        width = draw.choice(WIDTHS) * best.cost[1]
        stalled = 0 if take(builder.build([start + draw.gauss(0, width) for start in best.starts])) else stalled + 1


class _Builder:
    """Generates and justifies schedules of a problem."""

    def __init__(self, problem: Problem, windows: Windows) -> None:
        self._problem = problem
        self._windows = windows
        self.groups = Groups(problem, windows)
        self._mirrors: dict[int, tuple[Problem, Windows, Groups] | None] = {}

    def build(self, key: Sequence[float]) -> Built | None:
        """A justified schedule made in the order of a key over tasks, None when some task finds no room."""
        found = self._generate(key)
        if found is None:
            return None
        justified = self._justify(found)
        return found if justified is None or justified.cost > found.cost else justified

    def _generate(self, key: Sequence[float]) -> Built | None:
        schedule = generate(self._problem, self._windows, self.groups.ordered(key))
        if schedule is None:
            return None
        objective = evaluate(self._problem, schedule)
        starts = sum(assignment.start for assignment in schedule.tasks)
        return Built((objective.lateness, objective.makespan, starts), schedule)

    def _justify(self, built: Built) -> Built | None:
        makespan = built.cost[1]
        mirror = self._mirror(makespan)
        if mirror is None:
            return None
        problem, windows, groups = mirror
        tasks = range(len(self._problem.tasks))
        backward = generate(problem, windows, groups.ordered([-built.schedule.end(self._problem, t) for t in tasks]))
        if backward is None:
            return None
        return self._generate([makespan - backward.end(problem, task) for task in tasks])

    def _mirror(self, makespan: int) -> tuple[Problem, Windows, Groups] | None:
        if makespan not in self._mirrors:
            if len(self._mirrors) >= MOST_MIRRORS:
                self._mirrors.clear()
            problem = mirrored(self._problem, makespan)
            windows = find_windows(problem)
            known = None if isinstance(windows, Conflict) else (problem, windows, Groups(problem, windows))
            self._mirrors[makespan] = known
        return self._mirrors[makespan]


def generate(problem: Problem, windows: Windows, order: Sequence[Group]) -> Schedule | None:
    """A schedule by serial generation.

    Groups that find no room, and those that come after them, are tried again when the others are placed.

    Args:
        problem: the problem; it must have no consumables.
        windows: its windows.
        order: the groups, what comes before first.

    Returns:
        The schedule, or None when some group finds no room.
    """
    generator = SerialGenerator(problem, windows)
    waiting = list(order)
    while waiting:
        refused: dict[int, Group] = {}
        for group in waiting:
            if any(number in refused for number in group.after) or not generator.place(group.tasks):
                refused[group.number] = group
        if len(refused) == len(waiting):
            return None
        waiting = list(refused.values())
    return generator.schedule()
