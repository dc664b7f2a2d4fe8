"""What exactly makes a scenario impossible, and what would make it possible: asked for when it is known to be so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stationplan.engine.core import Core, find_core
from stationplan.engine.infeasible import contradiction
from stationplan.engine.limits import Limits
from stationplan.engine.solver import Settings
from stationplan.plan.demands import Demand, demands_of
from stationplan.plan.repairs import Repair, repairs

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.scenario.models import Scenario

SHARE_FOR_CONFLICT = 0.4


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why there is no plan, and what to do about it.

    Attributes:
        together: demands that cannot all be kept.
        doubtful: those of them that may not be needed for that; empty when it is proved
            that without any one of them the others can be kept.
        repairs: changes, each on its own, in the order in which they were tried.
    """

    together: tuple[Demand, ...] = ()
    doubtful: tuple[Demand, ...] = ()
    repairs: tuple[Repair, ...] = ()


def explain(
    network: Network,
    scenario: Scenario,
    raw: dict[str, Any],
    *,
    time_limit: float | None,
    effort: float | None,
    seed: int = 0,
    on_trial: Callable[[str], None] = lambda _: None,
) -> Explanation:
    """Find a minimal conflict among the demands of a scenario, and the smallest changes that resolve it.

    An interruption (KeyboardInterrupt) ends it with what is known by then.

    Args:
        network: the scheduling problem of the scenario, which is proved to have no schedule.
        scenario: the scenario.
        raw: the same as plain data.
        time_limit: seconds in all; None for no limit.
        effort: deterministic effort in all; None for no limit. With it alone, the outcome is the same on every run.
        seed: random seed.
        on_trial: called with each change that is tried out.

    Returns:
        The conflict and the changes.
    """
    settings = Settings(seed, workers=1)
    limits = Limits(time_limit, effort)
    demands = demands_of(network, scenario, contradiction(network.problem))
    core = Core(())
    found: list[Repair] = []
    try:
        seconds, work = (None if left is None else left * SHARE_FOR_CONFLICT for left in (time_limit, effort))
        narrowing = Limits(seconds, work)
        core = find_core(network.problem, [demand.requirement for demand in demands], narrowing, settings)
        limits.spend(narrowing.spent)
        limits.interrupted = narrowing.interrupted
        members = [demands[member] for member in core.members]
        found.extend(repairs(network, scenario, raw, members, limits, settings, on_trial))
    except KeyboardInterrupt:
        pass
    together, doubtful = (tuple(demands[member] for member in members) for members in (core.members, core.unproved))
    return Explanation(together, doubtful, tuple(found))
