"""Slack before due times, until a plan has every order in time with the confidence that is wanted.

Where an order misses its confidence, the search is told that it is due earlier: by as much as the simulated order is
late at the quantile that is wanted. What comes of it is simulated anew, a few times over. Buffers before due dates that
are set by simulation are an old remedy; see Herroelen and Leus, Project scheduling under uncertainty: survey and
research potentials, EJOR 165, 2005. Nothing says that it finds slack wherever there is some to be found.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING, Any

import numpy as np

from stationplan.engine.result import BoundKind, Result, Status, Tier, TierName
from stationplan.engine.verify import evaluate
from stationplan.live.drawing import Chance
from stationplan.live.figures import Estimate, TooLong, moment, share, waits_too_long
from stationplan.live.following import course_of
from stationplan.live.simulation import parts_of, run_all, together
from stationplan.plan.errors import NothingFoundError
from stationplan.plan.produce import write_down

if TYPE_CHECKING:
    from stationplan.live.drawing import Floats
    from stationplan.network import Network
    from stationplan.plan.document import Plan

RUNS = 2000
ROUNDS = 4


@dataclass(frozen=True, slots=True)
class Candidate:
    """A plan and how likely it is to have each order in time.

    Attributes:
        plan: the plan.
        shares: for each order with a due time, its position and the share of runs that have it in time.
        slack: for each of them, the minutes by which the search was told that it is due earlier.
        searched: what the search found, for the times that the orders are really due.
    """

    plan: Plan
    shares: tuple[tuple[int, Estimate], ...]
    slack: tuple[int, ...]
    searched: Result

    @property
    def least(self) -> float:
        """The share of the order that is in time most seldom; 1 where nothing is due."""
        return min((found.value for _, found in self.shares), default=1.0)


@dataclass(frozen=True, slots=True)
class LongerWait:
    """A wait that lasts too long more often with slack: as it is ``now``, and the share of runs ``before`` the slack.

    The batches of ``now`` are those to which it happens most often.
    """

    now: TooLong
    before: Estimate


@dataclass(frozen=True, slots=True)
class Confident:
    """What came of looking for slack.

    Attributes:
        wanted: the share of runs that was asked for.
        without: the plan without slack.
        found: the best one.
        waits: those that the slack makes last too long more often.
    """

    wanted: float
    without: Candidate
    found: Candidate
    waits: tuple[LongerWait, ...] = ()

    @property
    def reached(self) -> bool:
        """Whether every order is in time often enough."""
        return self.found.least >= self.wanted


def with_slack(
    network: Network,
    raw: dict[str, Any],
    plain: Result,
    wanted: float,
    search: Callable[[Network], Result],
    seed: int = 0,
) -> Confident:
    """Look for a plan that has each order in time with some confidence.

    Args:
        network: the scenario's scheduling problem.
        raw: the scenario as plain data.
        plain: what the search found without any slack.
        wanted: the share of runs in which each order is to be in time, below 1.
        search: searches a network for a schedule, and raises an error of the plan package when it finds none.
        seed: of the search and of the random numbers.

    Returns:
        The plan without slack, and of all that were tried one that reaches what is wanted at the least cost; where
        none does, the one that comes closest.
    """
    without, runs = _judged(network, raw, plain, (0,) * len(network.problem.deliveries), seed)
    tried = [without]
    for _ in range(ROUNDS):
        latest = tried[-1]
        if latest.least >= wanted or latest.searched.interrupted:
            break
        slack = _more(network, latest, runs, wanted)
        try:
            result = _for_real(network, plain, search(_sooner(network, slack)))
            candidate, runs = _judged(network, raw, result, slack, seed)
        except (KeyboardInterrupt, NothingFoundError):
            # There are plans already, and one of them is what the user gets.
            break
        tried.append(candidate)
    reached = [one for one in tried if one.least >= wanted]
    found = min(reached, key=_cost) if reached else max(tried, key=lambda one: (one.least, [-at for at in _cost(one)]))
    return Confident(wanted, without, found, () if found is without else _longer_waits(without, found, seed))


def _longer_waits(without: Candidate, found: Candidate, seed: int) -> tuple[LongerWait, ...]:
    """The waits that last too long more often with slack than without: what is made earlier may stand for longer."""
    none = share(np.zeros(RUNS, dtype=bool))
    before = {(one.item, one.name, one.allowed): one.share for one in _too_long(without.plan, seed)}
    pairs = (
        LongerWait(one, before.get((one.item, one.name, one.allowed), none)) for one in _too_long(found.plan, seed)
    )
    return tuple(pair for pair in pairs if pair.now.share.value > pair.before.value)


def _too_long(plan: Plan, seed: int) -> tuple[TooLong, ...]:
    course = course_of(plan)
    return waits_too_long(course, together(run_all(parts_of(course, Chance(seed=seed), RUNS))))


def _judged(
    network: Network, raw: dict[str, Any], result: Result, slack: tuple[int, ...], seed: int
) -> tuple[Candidate, list[Floats]]:
    """A schedule as a checked plan, simulated; and when each order with a due time is ready."""
    plan = write_down(network, result, raw, seed)
    course = course_of(plan)
    made = together(run_all(parts_of(course, Chance(seed=seed), RUNS, only_ends=True)))
    due = [
        (number, share(ready <= order.due), ready)
        for number, (order, ready) in enumerate(zip(course.orders, made.ready, strict=True))
        if order.due is not None
    ]
    shares = tuple((number, found) for number, found, _ in due)
    return Candidate(plan, shares, slack, result), [ready for _, _, ready in due]


def _more(network: Network, latest: Candidate, runs: list[Floats], wanted: float) -> tuple[int, ...]:
    """More slack for the orders that need it."""
    slack = []
    for delivery, given, (_, found), ready in zip(
        network.problem.deliveries, latest.slack, latest.shares, runs, strict=True
    ):
        late = ceil(moment(ready, wanted).value) - network.opens - delivery.due
        slack.append(given if found.value >= wanted else given + max(late, 1))
    return tuple(slack)


def _sooner(network: Network, slack: tuple[int, ...]) -> Network:
    """The same with orders that are due earlier."""
    deliveries = tuple(
        replace(delivery, due=delivery.due - minutes)
        for delivery, minutes in zip(network.problem.deliveries, slack, strict=True)
    )
    return replace(network, problem=replace(network.problem, deliveries=deliveries))


def _for_real(network: Network, plain: Result, result: Result) -> Result:
    """What a schedule that was found for earlier due times is worth for the real ones.

    Bounds come from the search without slack. That on the finish holds for plans that are no later than its own, so
    nothing is claimed for a plan that is later.
    """
    assert result.schedule is not None
    cost = evaluate(network.problem, result.schedule)
    before = {tier.name: tier for tier in plain.tiers}
    no_later = cost.lateness <= before[TierName.LATENESS].value
    bounds = tuple(bound for bound in plain.bounds if no_later or bound.kind is not BoundKind.SOLVER)
    least = before[TierName.MAKESPAN].bound if no_later else max((bound.minutes for bound in bounds), default=0)
    tiers = (
        Tier(TierName.LATENESS, cost.lateness, before[TierName.LATENESS].bound),
        Tier(TierName.MAKESPAN, cost.makespan, least),
        Tier(TierName.TIDINESS, cost.tidiness, 0),
    )
    stopped = result.stopped or plain.stopped
    return Result(Status.FEASIBLE, result.schedule, tiers, bounds, (), result.interrupted, stopped)


def _cost(candidate: Candidate) -> tuple[int, int]:
    """Minutes late as planned, then the finish."""
    return sum(order.late * order.weight for order in candidate.plan.orders), candidate.plan.finish
