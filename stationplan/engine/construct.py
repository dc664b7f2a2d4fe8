"""First schedules: serial generation under several priority rules, then in other orders near the best one.

Each generated schedule is also justified, to the right and back to the left.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import product

from stationplan.engine.flow import orders_of_flow
from stationplan.engine.insertion import insert_groups
from stationplan.engine.justify import Builder, Built
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Problem, Schedule
from stationplan.engine.reordering import Reordering
from stationplan.engine.solver import Settings
from stationplan.engine.windows import Windows

# How many other orders are tried: fewer in a larger problem, where each takes longer.
ORDERS_OF_ONE_TASK, FEWEST_ORDERS, MOST_ORDERS = 120_000, 10, 400
# Orders without improvement after which no more is hoped for.
PATIENCE = 80
# A schedule longer than the best by more than this share is not worth justifying.
WORTH_JUSTIFYING = 0.03
# How long a task rather waits than let a chamber change its state once more, as shares of the makespan.
RELUCTANCES = (0.0, 0.01, 0.03)
# Orders of flows that are built, and the share of the time for first schedules that the flows may take.
MOST_FLOWS, SHARE_OF_FLOW = 3, 0.5


def construct(
    problem: Problem,
    windows: Windows,
    unordered: Problem,
    limits: Limits,
    settings: Settings,
    offer: Callable[[Schedule], None],
    prove: Callable[[int], None],
    goal: int,
    share: float,
) -> None:
    """Generate schedules and offer each that is better than those before.

    Args:
        problem: the problem.
        windows: its windows.
        unordered: the same problem, its series not put in order.
        limits: the budget of the solve.
        settings: seed and workers.
        offer: called with each schedule.
        prove: called with each better bound on the makespan that is found on the way.
        goal: a lower bound on the makespan; nothing better is looked for once it is met without lateness.
        share: the share of the budget after which to stop.
    """
    builder = Builder(problem, windows)
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
            if best is not None and limits.used_up(share):
                return
            # Offered before it is justified: in a large problem each takes seconds.
            found = builder.left(rule)
            take(found)
            if found is not None and not limits.used_up(share):
                take(builder.justify(found))
    if best is None:
        order = [group.tasks for group in groups.ordered(groups.urgency)]
        inserted = insert_groups(problem, windows, order, limits, settings)
        if inserted is not None:
            offer(inserted)
        return
    flows: list[Sequence[float]] = []
    if best.cost[:2] > (0, goal):
        for bound, flow in orders_of_flow(unordered, goal, best.cost[1], limits, share * SHARE_OF_FLOW):
            goal = max(goal, bound)
            prove(goal)
            flows += [flow] if flow else []
    # The last one is of the shortest makespan.
    for by_flow, waiting in product(reversed(flows[-MOST_FLOWS:]), RELUCTANCES):
        if limits.used_up(share):
            return
        take(builder.build(by_flow, reluctance=round(waiting * goal)))
    reordering = Reordering(problem, windows, groups, settings.seed)
    stalled = 0
    for number in range(max(FEWEST_ORDERS, min(MOST_ORDERS, ORDERS_OF_ONE_TASK // max(1, len(problem.tasks))))):
        if limits.used_up(share) or best.cost[:2] <= (0, goal) or stalled >= PATIENCE:
            return
        move, key = reordering.next(best.starts, best.cost[1])
        longest = best.cost[1] * (1 + WORTH_JUSTIFYING)
        waiting = RELUCTANCES[number % len(RELUCTANCES)]
        better = take(builder.build(key, longest, round(waiting * goal)))
        reordering.learn(move, better=better)
        stalled = 0 if better else stalled + 1
