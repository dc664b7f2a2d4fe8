"""From a network to a checked plan: the only way a plan comes to be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from stationplan.engine import Result, Status, solve
from stationplan.engine.result import ProgressCallback
from stationplan.network import Network
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.plan.errors import CheckFailedError, ImpossibleError, NothingFoundError
from stationplan.plan.make import make
from stationplan.plan.why import reasons_against


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
    return write_down(network, search(network, limits, on_progress), raw, limits.seed)


def search(network: Network, limits: Effort, on_progress: ProgressCallback | None = None) -> Result:
    """The first half of :func:`produce`: it may take long, and be interrupted with the best schedule so far.

    Args:
        network: the scenario's scheduling problem.
        limits: how long to search.
        on_progress: called at each improvement.

    Returns:
        A result with a schedule.

    Raises:
        ImpossibleError: no plan exists; carries the reasons.
        NothingFoundError: no plan was found within the limits, though there may be one.
    """
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
        )
    except KeyboardInterrupt:
        # It came before the search proper had begun.
        raise NothingFoundError(interrupted=True) from None
    if result.status is Status.INFEASIBLE:
        raise ImpossibleError(reasons_against(network, result.conflicts))
    if result.schedule is None:
        raise NothingFoundError(interrupted=result.interrupted)
    return result


def write_down(network: Network, result: Result, raw: dict[str, Any], seed: int) -> Plan:
    """The second half of :func:`produce`.

    Args:
        network: the scenario's scheduling problem.
        result: what the search has found.
        raw: the scenario as plain data, carried in the plan.
        seed: the seed of the search.

    Returns:
        The plan, which has passed the independent check.

    Raises:
        CheckFailedError: the plan contradicts its scenario: an error of this package.
    """
    plan = make(network, result, raw, durations=network.durations, seed=seed)
    faults = check_plan(plan)
    if faults:
        raise CheckFailedError(tuple(fault.sentence for fault in faults))
    return plan
