"""What holds a kitchen up, and what would help: everything that is known about it in one place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.plan.preview import BusyRow, preview
from stationplan.plan.shares_of_chain import Share, shares_of_chain
from stationplan.plan.utilisation import Utilisation, first_slot, utilisation

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.plan.comparing import Comparison
    from stationplan.plan.document import Plan
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True, slots=True)
class Bottlenecks:
    """What holds a kitchen up.

    Attributes:
        name: of the scenario.
        opens: opening, minutes since midnight of the first day.
        closes: closing.
        first_slot: when the first half hour of the utilisation begins.
        utilisation: how busy stations and people are in the plan; empty without one.
        chain: whose the minutes from opening to the finish are; empty without a plan.
        busy: the work of each station and each group of people, and the moment before which it cannot be done.
        weighted: whether late minutes of some orders count more than those of others.
        comparison: what changes would gain; None when none was tried.
    """

    name: str
    opens: int
    closes: int
    first_slot: int
    utilisation: tuple[Utilisation, ...]
    chain: tuple[Share, ...]
    busy: tuple[BusyRow, ...]
    weighted: bool
    comparison: Comparison | None


def bottlenecks(
    network: Network, scenario: Scenario, plan: Plan | None, comparison: Comparison | None = None
) -> Bottlenecks:
    """Put together what is known.

    Args:
        network: the scheduling problem of the scenario.
        scenario: the scenario.
        plan: its plan; None when it has none.
        comparison: what changes would gain, where any were tried.
    """
    return Bottlenecks(
        name=network.name,
        opens=network.opens,
        closes=network.closes,
        first_slot=network.opens if plan is None else first_slot(plan),
        utilisation=() if plan is None else utilisation(plan, scenario),
        chain=() if plan is None else shares_of_chain(plan),
        busy=preview(network, scenario).busy,
        weighted=any(order.weight != 1 for order in network.orders),
        comparison=comparison,
    )
