"""How long a batch takes that is on other equipment than planned, where its recipe has a way of doing it there."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.network.times import batch_time
from stationplan.plan.so_far import needs_on
from stationplan.scenario.models import Scenario

if TYPE_CHECKING:
    from collections.abc import Collection

    from stationplan.plan.document import Batch, Plan


def minutes_elsewhere(plan: Plan, batch: Batch, stations: Collection[str], percent: int | Fraction) -> int | None:
    """Minutes of a batch where it is.

    Args:
        plan: the plan in force.
        batch: the batch.
        stations: where it is.
        percent: by how much everything takes longer there.

    Returns:
        None where its recipe has no way of its own for there: it takes as long as planned.
    """
    on = {station.name: station.equipment for station in plan.stations}
    planned, used = ({on[name] for name in names} for names in ([seat.station for seat in batch.seats], stations))
    if used <= planned:
        return None
    scenario = Scenario.model_validate(plan.scenario)
    need = next(iter(needs_on(scenario, batch, used - planned)), None)
    item = scenario.items.get(batch.item)
    step = None if item is None else item.step_called(batch.step)
    if need is None or item is None or step is None:
        return None
    slower = Fraction(percent) / 100
    return batch_time(step, need, batch.size, item, batch.item, (), plan.durations, slower).minutes
