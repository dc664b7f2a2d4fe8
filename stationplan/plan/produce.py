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
    """How long to search: seconds, deterministic effort, seed and workers, as in :func:`stationplan.engine.solve`."""

    time_limit: float | None = None
    effort: float | None = None
    seed: int = 0
    workers: int | None = None


@dataclass(frozen=True, slots=True)
class Produced:
    """A plan that has passed the independent check, and how the search for it ended."""

    plan: Plan
    result: Result


def produce(
    network: Network, raw: dict[str, Any], limits: Effort, on_progress: ProgressCallback | None = None
) -> Produced:
    """Solve a network and turn the schedule into a plan that has passed the independent check.

    Args:
        network: the scenario's scheduling problem.
        raw: the scenario as plain data, carried in the plan.
        limits: how long to search.
        on_progress: called at each improvement.

    Returns:
        The plan and the engine's result.

    Raises:
        ImpossibleError: no plan exists; carries the reasons.
        NothingFoundError: no plan was found within the limits, though there may be one.
        CheckFailedError: the plan contradicts its scenario: an error of this package.
    """
    result = solve(
        network.problem,
        time_limit=limits.time_limit,
        effort=limits.effort,
        seed=limits.seed,
        workers=limits.workers,
        on_progress=on_progress,
    )
    if result.status is Status.INFEASIBLE:
        raise ImpossibleError(reasons_against(network, result.conflicts))
    if result.schedule is None:
        raise NothingFoundError(interrupted=result.interrupted)
    plan = make(network, result, raw, durations=network.durations, seed=limits.seed)
    faults = check_plan(plan)
    if faults:
        raise CheckFailedError(tuple(fault.sentence for fault in faults))
    return Produced(plan, result)
