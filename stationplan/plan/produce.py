"""From a network to a checked plan: the only way a plan comes to be."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from stationplan.engine import Result, Schedule, Status
from stationplan.engine.result import ProgressCallback, StoppedBy
from stationplan.network import Network
from stationplan.plan.check import check_plan
from stationplan.plan.document import ExamPart, Plan
from stationplan.plan.errors import CheckFailedError, ImpossibleError, NothingFoundError
from stationplan.plan.free_from_first import SHARE, rearranged, wishes_of
from stationplan.plan.make import make
from stationplan.plan.why import reasons_against
from stationplan.scenario.models import Scenario


@dataclass(frozen=True, slots=True)
class Effort:
    """How long to search and when it is enough, as in :func:`stationplan.engine.solve`."""

    time_limit: float | None = None
    effort: float | None = None
    seed: int = 0
    workers: int | None = None
    gap: float | None = None
    stall: float | None = None


def produce(network: Network, raw: dict[str, Any], limits: Effort, on_progress: ProgressCallback | None = None) -> Plan:
    """Search for a schedule and write it down as a plan that has passed the independent check.

    Args:
        network: the scenario's scheduling problem.
        raw: the scenario as plain data, carried in the plan.
        limits: how long to search.
        on_progress: called at each improvement.

    Returns:
        The plan.

    Raises:
        ImpossibleError: no plan exists; carries the reasons.
        NothingFoundError: no plan was found within the limits, though there may be one.
        CheckFailedError: the plan contradicts its scenario: an error of this package.
    """
    scenario = Scenario.model_validate(raw)
    return write_down(network, search(network, limits, on_progress, scenario), raw, limits.seed)


def search(
    network: Network,
    limits: Effort,
    on_progress: ProgressCallback | None = None,
    scenario: Scenario | None = None,
    start: Schedule | None = None,
) -> Result:
    """The first half of :func:`produce`: it may take long, and be interrupted with the best schedule so far.

    Args:
        network: the scenario's scheduling problem.
        limits: how long to search.
        on_progress: called at each improvement.
        scenario: if given and allergens are declared in it, what holds fewer of them comes first on shared equipment
            where that makes nothing later; a tenth of the budget is kept for it.
        start: a feasible schedule to begin from.

    Returns:
        A result with a schedule.

    Raises:
        ImpossibleError: no plan exists; carries the reasons.
        NothingFoundError: no plan was found within the limits, though there may be one.
    """
    wishes = () if scenario is None else wishes_of(network, scenario)
    if not wishes:
        return _search(network, limits, on_progress, start)
    result = stopped_as_given(_search(network, share_of(limits, 1 - SHARE), on_progress, start), limits)
    if result.interrupted:
        return result
    rest = share_of(limits, SHARE)
    seconds = rest.time_limit if rest.effort is not None or rest.time_limit is not None else limits.stall
    return rearranged(
        network, result, wishes, seconds=seconds, effort=rest.effort, seed=limits.seed, workers=limits.workers
    )


def share_of(limits: Effort, share: float) -> Effort:
    """The limits with a share of their seconds and their work."""
    seconds = None if limits.time_limit is None else limits.time_limit * share
    return replace(limits, time_limit=seconds, effort=None if limits.effort is None else limits.effort * share)


def stopped_as_given(result: Result, limits: Effort) -> Result:
    """A result of a search that had a share of some limits, with those limits themselves as what ended it."""
    stopped = result.stopped
    if stopped is not None and stopped.by is StoppedBy.TIME:
        return replace(result, stopped=replace(stopped, seconds=limits.time_limit))
    if stopped is not None and stopped.by is StoppedBy.EFFORT:
        return replace(result, stopped=replace(stopped, effort=limits.effort))
    return result


def _search(network: Network, limits: Effort, on_progress: ProgressCallback | None, start: Schedule | None) -> Result:
    # The solver takes a second to import, and what is only written down does without.
    from stationplan.engine import solve

    try:
        result = solve(
            network.problem,
            time_limit=limits.time_limit,
            effort=limits.effort,
            seed=limits.seed,
            workers=limits.workers,
            on_progress=on_progress,
            gap=limits.gap,
            stall=limits.stall,
            start=start,
        )
    except KeyboardInterrupt:
        # It came before the search proper had begun.
        raise NothingFoundError(interrupted=True) from None
    if result.status is Status.INFEASIBLE:
        raise ImpossibleError(reasons_against(network, result.conflicts))
    if result.schedule is None:
        raise NothingFoundError(interrupted=result.interrupted)
    return result


def write_down(network: Network, result: Result, raw: dict[str, Any], seed: int, exam: ExamPart | None = None) -> Plan:
    """The second half of :func:`produce`.

    Args:
        network: the scenario's scheduling problem.
        result: what the search has found.
        raw: the scenario as plain data, carried in the plan.
        seed: the seed of the search.
        exam: what makes it the plan of an exam.

    Returns:
        The plan, which has passed the independent check.

    Raises:
        CheckFailedError: the plan contradicts its scenario: an error of this package.
    """
    plan = make(network, result, raw, durations=network.durations, seed=seed)
    if exam is not None:
        plan = plan.model_copy(update={"exam": exam})
    faults = check_plan(plan)
    if faults:
        raise CheckFailedError(tuple(fault.sentence for fault in faults))
    return plan
