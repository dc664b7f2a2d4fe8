"""The rest of a shift planned anew: the plan in force pushed right, and another one where that is worth the change."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from stationplan.engine.assessing import assessed, with_schedule
from stationplan.engine.infeasible import contradiction
from stationplan.engine.justify import quick_schedule
from stationplan.engine.pushing import push
from stationplan.engine.result import Conflict
from stationplan.engine.verify import evaluate
from stationplan.engine.windows import find_windows
from stationplan.live.differences import Differences, differences_of
from stationplan.live.wishes import wishes_of
from stationplan.network import Network, build
from stationplan.network.network import StockTask
from stationplan.plan.errors import ImpossibleError, NothingFoundError
from stationplan.plan.past import lifted_in
from stationplan.plan.produce import Effort, search, share_of, stopped_as_given, write_down
from stationplan.plan.timeline import Timeline
from stationplan.plan.why import reasons_against
from stationplan.scenario.models import Scenario

if TYPE_CHECKING:
    from collections.abc import Callable

    from stationplan.engine.problem import Assignment, Problem, Schedule
    from stationplan.network.network import Lot
    from stationplan.network.so_far import SoFar, WaitKey
    from stationplan.plan.document import Plan

WORTH_A_CHANGE = 5
"""Minutes that another plan must finish earlier for anybody to have to learn it."""
MOST_LIFTINGS = 1
"""How often rules are lifted for what finds no room before they are lifted for all that is waiting."""
SHARE_TO_KEEP = 0.3
"""The share of the budget for moving batches back to where they were to be."""


@dataclass(frozen=True)
class _Pushed:
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


@dataclass(frozen=True)
class Replanned:
    """The rest of a shift planned anew.

    Attributes:
        plan: the plan to go on with; the check has passed it.
        pushed: the plan in force, pushed right; None when that did not go, so that the plan was made without it.
        differences: what is different from the plan in force.
    """

    plan: Plan
    pushed: Plan | None
    differences: Differences

    @property
    def stands(self) -> bool:
        """Whether the plan in force stands, pushed right."""
        return self.plan is self.pushed


def replan(
    plan: Plan,
    raw: dict[str, Any],
    so_far: SoFar,
    limits: Effort,
    *,
    worth: int = WORTH_A_CHANGE,
    on_first: Callable[[Plan, bool], None] | None = None,
) -> Replanned:
    """Plan the rest of a shift anew.

    First the plan in force is pushed right: the same order, stations and people, each batch no later than it has to be.
    That takes a moment. Then the search goes on from there, and what it finds takes its place only if it is less late,
    or finishes early enough to be worth learning; of plans that are as good, one that changes little. Where it does not
    go, batches are placed in whatever order is quick to find before a rule is lifted, and the search improves on that.

    Args:
        plan: the plan in force.
        raw: the scenario as it is now, as plain data.
        so_far: what has happened.
        limits: how long to search; no effort or no time at all leaves the first plan.
        worth: minutes that another plan must finish earlier.
        on_first: called before the search begins with the first plan, and whether it is that in force, pushed right.

    Returns:
        The plan to go on with and what is different in it.

    Raises:
        ImpossibleError: there is no plan for what is left; carries the reasons.
        NothingFoundError: none was found within the limits, though there may be one.
        CheckFailedError: the plan contradicts its scenario: an error of this package.
    """
    scenario = Scenario.model_validate(raw)
    pushed = _pushed(plan, scenario, so_far)
    before = None
    if pushed.schedule is not None:
        network = pushed.network
        before = write_down(network, assessed(network.problem, pushed.schedule), raw, limits.seed)
        if on_first is not None:
            on_first(before, pushed.kept)
    after = before if _nothing(limits) else _searched(pushed, plan, scenario, raw, limits, worth) or before
    if after is None:
        raise NothingFoundError(interrupted=False)
    return Replanned(after, before if pushed.kept else None, differences_of(plan, after))


def _nothing(limits: Effort) -> bool:
    return 0 in (limits.effort, limits.time_limit)


def _pushed(plan: Plan, scenario: Scenario, so_far: SoFar) -> _Pushed:
    """The plan in force pushed right in the network of what is left.

    Where there is no other way, stock is left over that cannot be used in time.
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


def _lifted(plan: Plan, scenario: Scenario, so_far: SoFar) -> _Pushed:
    """The plan in force pushed right.

    Rules for what is waiting already are lifted only where there is no other way, first for what finds no room, then
    for all of it, and for where it stands at last: what has happened cannot be undone.
    """
    lifting, tried, liftings = so_far, 0, [so_far]
    while True:
        network = build(scenario, plan.durations, lifting)
        wished, places = wishes_of(network, plan)
        found = push(network.problem, wished, places)
        schedule = found.schedule or _quick(network.problem)
        if schedule is not None:
            if lifting is not so_far:
                # What is kept to now has to be kept to by what the search finds.
                broken = lifted_in(Timeline(network, schedule))
                lift = frozenset(
                    (rule.before, rule.after, rule.position if rule.rule == "most" else None)
                    for rule in broken
                    if rule.rule != "place"
                )
                network = build(scenario, plan.durations, replace(lifting, lift=lift, lift_waits=False))
            stricter = (so_far,) if lifting is not so_far else ()
            return _Pushed(network, schedule, wished, stricter, kept=found.schedule is not None)
        tried += 1
        more = _waits_into(network, found.stuck) - lifting.lift if tried <= MOST_LIFTINGS else frozenset()
        if more:
            lifting = replace(lifting, lift=lifting.lift | more)
        elif not lifting.lift_waits:
            lifting = replace(lifting, lift_waits=True)
            liftings.append(lifting)
        elif anywhere := next((these for these in _standing(network) if not these <= lifting.lift_places), None):
            lifting = replace(lifting, lift_places=lifting.lift_places | anywhere)
        else:
            return _Pushed(network, None, wished, tuple(liftings), found.stuck)


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


def _searched(
    pushed: _Pushed, plan: Plan, scenario: Scenario, raw: dict[str, Any], limits: Effort, worth: int
) -> Plan | None:
    """A plan that is worth the change from the pushed one, None when the search finds none.

    One that keeps to a rule that the pushed one does not is worth any change, so that is looked for first.
    """
    rest = limits
    for lifting in pushed.stricter:
        rest = share_of(rest, 0.5)
        network = build(scenario, plan.durations, lifting)
        if contradiction(network.problem) is None:
            try:
                return _found(_Pushed(network, None, wishes_of(network, plan)[0]), raw, rest, limits, worth)
            except NothingFoundError as error:
                if error.interrupted:
                    raise
            except ImpossibleError:
                continue
    return _found(pushed, raw, rest, limits, worth)


def _found(pushed: _Pushed, raw: dict[str, Any], limits: Effort, given: Effort, worth: int) -> Plan | None:
    """What the search finds in one network, None where that is not worth the change from the pushed plan.

    It has some limits of those that were given, which are what the plan says ended it.
    """
    from stationplan.engine.keeping import keep
    from stationplan.engine.limits import Limits
    from stationplan.engine.solver import Settings

    problem, start, wished = pushed.network.problem, pushed.schedule, pushed.wished
    result = stopped_as_given(search(pushed.network, share_of(limits, 1 - SHARE_TO_KEEP), start=start), given)
    assert result.schedule is not None
    if start is not None and pushed.kept:
        cost, pushed_cost = evaluate(problem, result.schedule), evaluate(problem, start)
        gained = pushed_cost.makespan - cost.makespan
        if cost.lateness == pushed_cost.lateness and gained < worth:
            return None
        # Tasks that the pushed plan has where they were to be can stay there; the others move in it as well.
        wished = {task: start.tasks[task] for task in wished}
    rest = share_of(limits, SHARE_TO_KEEP)
    budget = Limits(rest.time_limit, rest.effort)
    settings = Settings(limits.seed, limits.workers or (1 if limits.time_limit is None else 2))
    kept = keep(problem, result.schedule, wished, budget, settings)
    return write_down(pushed.network, with_schedule(problem, result, kept), raw, limits.seed)
