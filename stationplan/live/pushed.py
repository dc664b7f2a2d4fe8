"""The plan in force pushed right in the network of what is left, with as few rules given up as it takes."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from stationplan.engine.infeasible import contradiction
from stationplan.engine.justify import quick_schedule
from stationplan.engine.pushing import push
from stationplan.engine.result import Conflict
from stationplan.engine.windows import find_windows
from stationplan.live.wishes import wishes_of
from stationplan.network import Network, build
from stationplan.network.network import StockTask
from stationplan.plan.errors import ImpossibleError
from stationplan.plan.past import given_up
from stationplan.plan.timeline import Timeline
from stationplan.plan.why import reasons_against

if TYPE_CHECKING:
    from stationplan.engine.problem import Assignment, Problem, Schedule
    from stationplan.network.network import Lot
    from stationplan.network.so_far import SoFar, WaitKey
    from stationplan.plan.document import Plan
    from stationplan.scenario.models import Scenario

MOST_LIFTINGS = 4
"""How often rules are lifted for what finds no room before they are lifted for all that is waiting."""
MOST_TRIALS = 4
"""How many of the rules that a plan breaks are tried again, one by one."""
MOST_STRICTER = 3
"""How many sets of rules the search is asked to keep to that the pushed plan does not keep to."""


@dataclass(frozen=True)
class Pushed:
    """The plan in force pushed right, or else what a few quick attempts have found.

    Attributes:
        network: what is left, without the rules that had to be lifted for it.
        schedule: None when nothing was found.
        wished: where the plan in force has the tasks.
        stricter: what has happened, with fewer rules lifted than in the network, or more stock counted on; the fewest
            first.
        stuck: the tasks that found no room when it did not go.
        kept: whether the schedule is the plan in force pushed right.
    """

    network: Network
    schedule: Schedule | None
    wished: dict[int, Assignment]
    stricter: tuple[SoFar, ...] = ()
    stuck: frozenset[int] = frozenset()
    kept: bool = True


def pushed_right(plan: Plan, scenario: Scenario, so_far: SoFar) -> Pushed:
    """Push the plan in force right in the network of what is left.

    Where there is no other way, stock is left over that cannot be used in time.

    Args:
        plan: the plan in force.
        scenario: the scenario as it is now.
        so_far: what has happened.

    Raises:
        ImpossibleError: when what is left contradicts itself; carries the reasons.
    """
    counting = so_far
    while True:
        found = _lifted(plan, scenario, counting)
        counted = {} if found.schedule is not None else _usable(found.network, found.stuck)
        if not counted:
            break
        counting = replace(counting, counted={**counting.counted, **counted})
    if found.schedule is None:
        conflict = contradiction(found.network.problem)
        if conflict is not None:
            raise ImpossibleError(reasons_against(found.network, (conflict,)))
    return found if counting is so_far else replace(found, stricter=(so_far, *found.stricter))


def _lifted(plan: Plan, scenario: Scenario, so_far: SoFar) -> Pushed:
    """The plan in force pushed right.

    Rules for what is waiting already are lifted only where there is no other way, first for what finds no room, then
    for all of it, and for where it stands at last: what has happened cannot be undone.
    """
    lifting, tried, liftings = so_far, 0, [so_far]
    while True:
        pushed, stuck = _attempt(plan, scenario, lifting)
        if pushed.schedule is not None:
            return pushed if lifting is so_far else _kept_to(pushed, plan, scenario, lifting, so_far)
        tried += 1
        more = _waits_into(pushed.network, stuck) - lifting.lift if tried <= MOST_LIFTINGS else frozenset()
        if more:
            lifting = replace(lifting, lift=lifting.lift | more)
        elif not lifting.lift_waits:
            lifting = replace(lifting, lift_waits=True)
            liftings.append(lifting)
        elif anywhere := next((these for these in _standing(pushed.network) if not these <= lifting.lift_places), None):
            lifting = replace(lifting, lift_places=lifting.lift_places | anywhere)
        else:
            return replace(pushed, stricter=tuple(liftings), stuck=stuck)


def _kept_to(pushed: Pushed, plan: Plan, scenario: Scenario, lifting: SoFar, so_far: SoFar) -> Pushed:
    """A plan for which rules were lifted, with those in force again that it keeps to, or that another one can keep to.

    What it breaks is tried again wait by wait, the one with the most time left first.
    """
    until = _too_long(pushed)
    waits = sorted(until, key=lambda wait: -until[wait])
    lifting = replace(lifting, lift=frozenset(waits), lift_waits=False)
    for wait in waits[:MOST_TRIALS]:
        if wait in lifting.lift:
            fewer = replace(lifting, lift=lifting.lift - {wait})
            again, _ = _attempt(plan, scenario, fewer)
            if again.schedule is not None:
                pushed, lifting = again, replace(fewer, lift=frozenset(_too_long(again)))
    stricter: list[SoFar] = []
    if lifting.lift or lifting.lift_places:
        fewer_still = (replace(lifting, lift=lifting.lift - {wait}) for wait in waits if wait in lifting.lift)
        stricter = [so_far, *fewer_still][:MOST_STRICTER]
    network = build(scenario, plan.durations, lifting)
    return replace(pushed, network=network, stricter=tuple(stricter))


def _attempt(plan: Plan, scenario: Scenario, lifting: SoFar) -> tuple[Pushed, frozenset[int]]:
    """The plan in force pushed right, or what a quick attempt finds, and else the tasks that found no room."""
    network = build(scenario, plan.durations, lifting)
    wished, places = wishes_of(network, plan)
    found = push(network.problem, wished, places)
    schedule = found.schedule or _quick(network.problem)
    return Pushed(network, schedule, wished, kept=found.schedule is not None), found.stuck


def _too_long(pushed: Pushed) -> dict[WaitKey, int]:
    """The waits that go on too long in a plan and need not have yet, with the minute by which they should end."""
    assert pushed.schedule is not None
    network, timeline = pushed.network, Timeline(pushed.network, pushed.schedule)
    assert network.so_far is not None
    found = {}
    for lifted, most, ended in given_up(timeline):
        if most is not None and ended + most >= network.so_far.now - network.opens:
            wait = (lifted.before, lifted.after, lifted.position if lifted.rule == "most" else None)
            found[wait] = ended + most
    return found


def _standing(network: Network) -> tuple[frozenset[tuple[str, int]], ...]:
    """Waits of what has begun in places: first those in places that are out of use at some time, then all of them."""
    places = {
        (network.tasks[lot.before].label, position): network.problem.holds[hold].resources
        for lot in network.lots
        for position, hold in enumerate(lot.holds)
        if hold is not None and network.problem.tasks[lot.before].fixed_start is not None
    }
    shut = (wait for wait, pools in places.items() if all(network.problem.resources[pool].closures for pool in pools))
    return frozenset(shut), frozenset(places)


def _quick(problem: Problem) -> Schedule | None:
    windows = find_windows(problem)
    return None if isinstance(windows, Conflict) else quick_schedule(problem, windows)


def _usable(network: Network, stuck: frozenset[int]) -> dict[int, Fraction]:
    """How much to count on of stock with a use-by, if not all of it can be used: what goes to the first of its takers.

    That is half of those to come, so that little is wasted and few attempts are needed. Where no task that found no
    room takes any up, all such stock may be what hinders. By place in the scenario.
    """
    taken: dict[int, list[Lot]] = defaultdict(list)
    for lot in network.lots:
        stock = network.tasks[lot.before]
        if isinstance(stock, StockTask) and stock.use_by is not None:
            taken[int(stock.path[1])].append(lot)
    to_come = {
        place: [lot for lot in lots if lot.after is None or network.problem.tasks[lot.after].fixed_start is None]
        for place, lots in taken.items()
    }
    hindering = [place for place, lots in to_come.items() if any(lot.after in stuck for lot in lots)]
    counted = {}
    for place in hindering or [place for place, lots in to_come.items() if lots]:
        begun = len(taken[place]) - len(to_come[place])
        kept = taken[place][: begun + len(to_come[place]) // 2]
        counted[place] = sum((lot.size for lot in kept), Fraction(0))
    return counted


def _waits_into(network: Network, tasks: frozenset[int]) -> frozenset[WaitKey]:
    """The waits of what has begun that end with one of some tasks."""
    found = set()
    for lot in network.lots:
        ends: list[tuple[int | None, int, int]] = [(place, *pair) for place, pair in enumerate(pairwise(lot.tasks))]
        if lot.shelf_life is not None:
            ends.append((None, lot.tasks[0], lot.tasks[-1]))
        for position, before, after in ends:
            if after in tasks and network.problem.tasks[before].fixed_start is not None:
                user = None if lot.after is None else network.tasks[lot.after].label
                found.add((network.tasks[lot.before].label, user, position))
    return frozenset(found)
