"""What was known of a day before it began, beside what is recorded of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from stationplan.live.events import GoodsLate
from stationplan.live.state import Outage, ShiftState

if TYPE_CHECKING:
    from stationplan.scenario.models import Equipment, Scenario
    from stationplan.scenario.today import OutOfUse


def _parts(machine: Equipment, out: OutOfUse) -> list[tuple[int | None, int | None]]:
    """What is out of use, as units and chambers are named on the chart."""
    if out.chamber is None or machine.chambers == 1:
        return [(None if machine.count == 1 else out.unit, None)]
    if machine.count == 1:
        return [(None, out.chamber)]
    return [(unit, out.chamber) for unit in range(1, machine.count + 1) if out.unit in (None, unit)]


def with_known(state: ShiftState, scenario: Scenario) -> ShiftState:
    """What is recorded, and before it what the scenario had said of equipment out of use and goods to come.

    Args:
        state: what is recorded.
        scenario: the one that the shift began with.
    """
    closes = int(scenario.shift.closes)
    outages = [
        Outage(machine.name, unit, int(out.between.start), until, until, chamber)
        for machine in scenario.kitchen.equipment
        for out in machine.out_of_use
        for until in (closes if out.between.end is None else int(out.between.end),)
        for unit, chamber in _parts(machine, out)
    ]
    told = {goods.ingredient.casefold() for goods in state.goods}
    goods = [
        GoodsLate(at=0, who="", ingredient=one.ingredient, until=one.since)
        for one in scenario.goods
        if one.ingredient.casefold() not in told
    ]
    return replace(state, outages=(*outages, *state.outages), goods=(*goods, *state.goods))
