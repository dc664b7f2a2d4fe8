"""The scenario as the events have made it: what they say of kitchen, people, orders and goods, in words of the format.

What batches have begun is not in it: that is the past of a plan, not a part of a scenario.
"""

from __future__ import annotations

import copy
from typing import Any

from stationplan.live.errors import EventError
from stationplan.live.state import OrderLine, ShiftState
from stationplan.scenario import InvalidScenario, from_plain
from stationplan.scenario.models import Scenario
from stationplan.scenario.units import ClockSpan, format_clock


def effective(scenario: dict[str, Any], state: ShiftState, now: int | None = None) -> dict[str, Any]:
    """A scenario with everything in it that has been recorded of kitchen, people, orders and goods.

    Args:
        scenario: the one that the shift began with, as plain data.
        state: what is recorded.
        now: minutes since midnight of the first day: equipment that should be back by then and is not recorded as
            back is out of use until now. None for as long as it was said.

    Returns:
        A scenario as plain data; the one given is left as it is.
    """
    raw = copy.deepcopy(scenario)
    closes = state.plan.closes
    kitchen = raw["kitchen"]
    for machine in kitchen["equipment"]:
        _extend(machine, "out_of_use", _outages(state, machine, closes, now))
        slower = [slow for slow in state.slowdowns if slow.equipment == machine["name"]]
        if slower and slower[-1].unit is slower[-1].chamber is None:
            machine["slower"] = f"{slower[-1].percent} %"
        else:
            _extend(machine, "slower", [_of_some({"by": f"{s.percent} %"}, s.unit, s.chamber) for s in slower])
    for person in kitchen["people"]:
        _extend(person, "breaks", _absences(state, person["name"], closes))
    raw["orders"] = [_order(raw["orders"], line) for line in state.orders if not line.cancelled]
    stock: list[dict[str, Any]] = []
    for found in state.stock:
        entry = {"item": found.item, "quantity": found.quantity, "from": format_clock(found.at)}
        stock.append(entry if found.until is None else {**entry, "use_by": format_clock(found.until)})
    _extend(raw, "stock", stock)
    told = {goods.ingredient.casefold() for goods in state.goods}
    raw["goods"] = [entry for entry in raw.get("goods", []) if entry["ingredient"].casefold() not in told]
    raw["goods"] += [{"ingredient": goods.ingredient, "from": format_clock(goods.until)} for goods in state.goods]
    if not raw["goods"] and "goods" not in scenario:
        del raw["goods"]
    return raw


def expressed(scenario: dict[str, Any], state: ShiftState, now: int | None = None) -> Scenario:
    """The scenario as the events have made it, read and checked.

    Args:
        scenario: the one that the shift began with, as plain data.
        state: what is recorded.
        now: as in ``effective``.

    Returns:
        The scenario.

    Raises:
        EventError: when it is none that can be planned from, or when the format has no words for an event.
    """
    try:
        return from_plain(effective(scenario, state, now))
    except InvalidScenario as error:
        raise EventError(f"no plan could reckon with it: {error.problems[0]}") from error


def _extend(part: dict[str, Any], key: str, more: list[Any]) -> None:
    """Add entries to a list that may not be there yet, or be a single entry."""
    if more:
        given = part.get(key, [])
        part[key] = [*(given if isinstance(given, list) else [given]), *more]


def _outages(state: ShiftState, machine: dict[str, Any], closes: int, now: int | None) -> list[dict[str, Any]]:
    found = []
    for outage in state.outages:
        end = closes if outage.end is None else outage.end
        if outage.ended is None and now is not None:
            end = max(end, min(now, closes))
        # What was back in the minute in which it was out has become cold even so, as an oven that is found cold.
        start = outage.start if outage.start < end or outage.ended is None else max(0, end - 1)
        if outage.equipment == machine["name"] and start < end:
            entry: dict[str, Any] = {"between": str(ClockSpan(start, end))}
            found.append(_of_some(entry, outage.unit, outage.chamber))
    return found


def _of_some(entry: dict[str, Any], unit: int | None, chamber: int | None) -> dict[str, Any]:
    """An entry that is said of one unit or chamber, where it is."""
    which = {"unit": unit, "chamber": chamber}
    return {**entry, **{key: number for key, number in which.items() if number is not None}}


def _absences(state: ShiftState, person: str, closes: int) -> list[str]:
    spans = []
    for absence in state.absences:
        end = closes if absence.end is None else absence.end
        if absence.person == person and absence.start < end:
            spans.append(str(ClockSpan(absence.start, end)))
    return spans


def _order(orders: list[dict[str, Any]], line: OrderLine) -> dict[str, Any]:
    """The entry of an order: as it was, with what is new."""
    if line.asked is None:
        order: dict[str, Any] = {"product": line.product, "quantity": line.quantity}
        return order if line.due is None else {**order, "due": format_clock(line.due)}
    order = dict(orders[line.number - 1])
    if line.changed:
        if line.quantity != line.asked:
            order["quantity"] = line.quantity
        if line.due is not None:
            order["due"] = format_clock(line.due)
    return order
