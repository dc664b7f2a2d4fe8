"""A first schedule: serial generation under several priority rules, then with the best order slightly shaken."""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stationplan.engine.groups import Groups
from stationplan.engine.insertion import insert_groups
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.serial import SerialGenerator
from stationplan.engine.solver import Settings
from stationplan.engine.verify import Objective, evaluate
from stationplan.engine.windows import Windows

# How often the best order is shaken: fewer times in a larger problem, where each takes longer.
SHAKES_OF_ONE_TASK, FEWEST_SHAKES, MOST_SHAKES = 100_000, 5, 400
# Share of the time after which no more is shaken.
SHARE = 0.15
# How far a group is moved in the order, as a share of the makespan.
WIDTHS = (0.01, 0.03, 0.1)


@dataclass(frozen=True, slots=True)
class Best:
    """The best schedule generated so far: its objective and the starts of its tasks."""

    objective: Objective
    starts: list[int]


def construct(
    problem: Problem,
    windows: Windows,
    limits: Limits,
    settings: Settings,
    offer: Callable[[Schedule], None],
    goal: int,
) -> None:
    """Generate schedules and offer each that is better than those before.

    Args:
        problem: the problem.
        windows: its windows.
        limits: the budget of the solve.
        settings: seed and workers.
        offer: called with each schedule.
        goal: a lower bound on the makespan; nothing better is looked for once it is met without lateness.
    """
    groups = Groups(problem, windows)
    best: Best | None = None
    if not problem.consumables:
        for rule in (groups.urgency, groups.tail, windows.earliest):
            best = _better(problem, windows, groups.ordered(rule), best, offer)
    if best is None:
        schedule = insert_groups(problem, windows, groups.ordered(groups.urgency), limits, settings)
        if schedule is not None:
            offer(schedule)
        return
    draw = random.Random(settings.seed)
    for _ in range(max(FEWEST_SHAKES, min(MOST_SHAKES, SHAKES_OF_ONE_TASK // max(1, len(problem.tasks))))):
        if limits.used_up(SHARE) or (not best.objective.lateness and best.objective.makespan <= goal):
            return
        width = draw.choice(WIDTHS) * best.objective.makespan
        shaken = [start + draw.gauss(0, width) for start in best.starts]
        best = _better(problem, windows, groups.ordered(shaken), best, offer) or best


def _better(
    problem: Problem,
    windows: Windows,
    order: Sequence[Sequence[int]],
    best: Best | None,
    offer: Callable[[Schedule], None],
) -> Best | None:
    """Generate a schedule in this order; the better of it and the best so far."""
    schedule = generate(problem, windows, order)
    if schedule is None:
        return best
    objective = evaluate(problem, schedule)
    if best is not None and objective > best.objective:
        return best
    if best is None or objective < best.objective:
        offer(schedule)
    return Best(objective, [assignment.start for assignment in schedule.tasks])


def generate(problem: Problem, windows: Windows, order: Sequence[Sequence[int]]) -> Schedule | None:
    """A schedule by serial generation; groups that find no room are tried again after the others.

    Args:
        problem: the problem; it must have no consumables.
        windows: its windows.
        order: groups of tasks, what comes before first.

    Returns:
        The schedule, or None when some group finds no room.
    """
    generator = SerialGenerator(problem, windows)
    waiting = list(order)
    while waiting:
        refused = [group for group in waiting if not generator.place(group)]
        if len(refused) == len(waiting):
            return None
        waiting = refused
    return generator.schedule()
