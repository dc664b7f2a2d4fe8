"""What was known of a day before it began, beside what is recorded of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from stationplan.live.events import GoodsLate
from stationplan.live.state import Outage, ShiftState

if TYPE_CHECKING:
    from stationplan.scenario.models import Scenario


def with_known(state: ShiftState, scenario: Scenario) -> ShiftState:
    """What is recorded, and before it what the scenario had said of equipment out of use and goods to come.

    Args:
        state: what is recorded.
        scenario: the one that the shift began with.
    """
    closes = int(scenario.shift.closes)
    spans = [
        (machine.name, out.unit, int(out.between.start), closes if out.between.end is None else int(out.between.end))
        for machine in scenario.kitchen.equipment
        for out in machine.out_of_use
    ]
    outages = [Outage(name, unit, start, end, end) for name, unit, start, end in spans]
    told = {goods.ingredient.casefold() for goods in state.goods}
    goods = [
        GoodsLate(at=0, who="", ingredient=one.ingredient, until=one.since)
        for one in scenario.goods
        if one.ingredient.casefold() not in told
    ]
    return replace(state, outages=(*outages, *state.outages), goods=(*goods, *state.goods))
