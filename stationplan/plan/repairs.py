"""The smallest changes to a scenario, each on its own, that would make a plan possible."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stationplan.engine.feasibility import Verdict
from stationplan.engine.limits import Limits
from stationplan.engine.solver import Settings
from stationplan.plan.alteration import Alteration
from stationplan.plan.alterations import alterations_of
from stationplan.plan.demands import Demand, Kind
from stationplan.plan.trying import Found, least_enough, try_out

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.network.errors import Path
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True, slots=True)
class Repair:
    """A change that was tried.

    Attributes:
        sentence: the change in the kitchen's words; of one that is not enough, the largest that was tried.
        path: where to make it in the scenario.
        enough: whether a plan was made and checked with it; None when that was not found out.
        least: whether a smaller change of the kind is known not to be enough.
    """

    sentence: str
    path: Path
    enough: bool | None
    least: bool = True


def repairs(
    network: Network,
    scenario: Scenario,
    raw: dict[str, Any],
    demands: Sequence[Demand],
    limits: Limits,
    settings: Settings,
    on_trial: Callable[[str], None] = lambda _: None,
) -> Iterator[Repair]:
    """Look for the smallest changes of several kinds, each on its own.

    The time that is left is shared evenly among the changes that are left.

    Args:
        network: the scheduling problem of the scenario.
        scenario: the scenario, which has no plan.
        raw: the same as plain data.
        demands: what cannot all be kept: changes are looked for among them.
        limits: the budget for all changes together.
        settings: seed and workers.
        on_trial: called with each change that is tried out.

    Yields:
        One after the other, what was found about each kind of change.
    """
    # Other hours come last: how much time is enough is the hardest to say, and they get what the others leave over.
    in_turn = sorted(demands, key=lambda demand: demand.kind is Kind.SHIFT)
    changes = [change for demand in in_turn for change in alterations_of(network, scenario, demand)]
    for number, change in enumerate(changes):
        if limits.used_up():
            yield Repair(change.tell(change.start), change.path, None, False)
            continue
        on_trial(change.tell(change.start))
        share = _share(limits, len(changes) - number)
        found = _least(change, raw, network, share, settings)
        limits.spend(share.spent)
        limits.interrupted = share.interrupted
        if found.size is not None:
            yield Repair(change.tell(found.size), change.path, True, found.least)
        else:
            finished = found.least and found.tried == change.most
            yield Repair(change.tell(found.tried), change.path, False if finished else None, False)


def _share(limits: Limits, parts: int) -> Limits:
    """An even share of what is left."""
    seconds, effort = (None if math.isinf(left) else left / parts for left in limits.left())
    return Limits(seconds, effort)


def _least(change: Alteration, raw: dict[str, Any], network: Network, limits: Limits, settings: Settings) -> Found:
    def try_size(size: int) -> Verdict:
        changed = deepcopy(raw)
        change.apply(changed, size)
        return try_out(changed, network.durations, limits, settings)

    return least_enough(try_size, change.start, change.most, limits, steady=change.steady)
