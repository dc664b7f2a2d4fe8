"""The rest of a shift planned anew: the plan in force pushed right, and another one where that is worth the change."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stationplan.engine.assessing import assessed, with_schedule
from stationplan.engine.infeasible import contradiction
from stationplan.engine.verify import evaluate
from stationplan.live.differences import Differences, differences_of
from stationplan.live.pushed import Pushed, pushed_right
from stationplan.live.wishes import wishes_of
from stationplan.network import build
from stationplan.plan.errors import ImpossibleError, NothingFoundError
from stationplan.plan.produce import Effort, search, share_of, stopped_as_given, write_down
from stationplan.scenario.models import Scenario

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from stationplan.network.so_far import SoFar
    from stationplan.plan.document import Plan

WORTH_A_CHANGE = 5
"""Minutes that another plan must finish earlier for anybody to have to learn it."""
SHARE_TO_KEEP = 0.3
"""The share of the budget for moving batches back to where they were to be."""


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
    numbers: tuple[Sequence[int], Sequence[int]] | None = None,
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
        numbers: of the orders in force and of those now, by which they are known again.

    Returns:
        The plan to go on with and what is different in it.

    Raises:
        ImpossibleError: there is no plan for what is left; carries the reasons.
        NothingFoundError: none was found within the limits, though there may be one.
        CheckFailedError: the plan contradicts its scenario: an error of this package.
    """
    scenario = Scenario.model_validate(raw)
    pushed = pushed_right(plan, scenario, so_far)
    before = None
    if pushed.schedule is not None:
        network = pushed.network
        before = write_down(network, assessed(network.problem, pushed.schedule), raw, limits.seed)
        if on_first is not None:
            on_first(before, pushed.kept)
    after = before
    if not _nothing(limits):
        try:
            after = _searched(pushed, plan, scenario, raw, limits, worth) or before
        except NothingFoundError:
            # Whoever interrupts the search has the first plan.
            if before is None:
                raise
    if after is None:
        raise NothingFoundError(interrupted=False)
    return Replanned(after, before if pushed.kept else None, differences_of(plan, after, numbers))


def _nothing(limits: Effort) -> bool:
    return 0 in (limits.effort, limits.time_limit)


def _searched(
    pushed: Pushed, plan: Plan, scenario: Scenario, raw: dict[str, Any], limits: Effort, worth: int
) -> Plan | None:
    """A plan that is worth the change from the pushed one, None when the search finds none.

    One that keeps to a rule that the pushed one does not is worth any change, so that is looked for first.
    """
    rest = limits
    for lifting in pushed.stricter:
        network = build(scenario, plan.durations, lifting)
        if contradiction(network.problem) is None:
            rest = share_of(rest, 0.5)
            try:
                return _found(Pushed(network, None, wishes_of(network, plan)[0]), raw, rest, limits, worth)
            except NothingFoundError as error:
                if error.interrupted:
                    raise
            except ImpossibleError:
                continue
    return _found(pushed, raw, rest, limits, worth)


def _found(pushed: Pushed, raw: dict[str, Any], limits: Effort, given: Effort, worth: int) -> Plan | None:
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
