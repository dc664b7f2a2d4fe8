"""The ways in which a demand of a scenario can be given up in part, by more or less."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from math import ceil, floor
from typing import TYPE_CHECKING, Any

from stationplan.network.alternatives import start_of
from stationplan.network.network import BatchTask, SeatUse, StationGroup
from stationplan.network.stations import HEATS
from stationplan.plan.alteration import Alteration, mapping_at
from stationplan.plan.demands import Demand, Kind
from stationplan.plan.presence import other_hours
from stationplan.plan.wording import ordered
from stationplan.scenario.units import format_clock, format_duration, format_temperature, plural

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.scenario.models import Scenario
    from stationplan.scenario.units import Setting

FIRST_MINUTES = 15
FIRST_MINUTES_OF_A_WAIT = 5
MOST_MINUTES = 24 * 60
MOST_MORE = 2
"""With a third oven on top it is another kitchen."""

_WORDS = {1: "one", 2: "two"}


def alterations_of(network: Network, scenario: Scenario, demand: Demand) -> Iterator[Alteration]:
    """The kinds of change that give up a demand in part.

    Args:
        network: the scheduling problem of the scenario.
        scenario: the scenario.
        demand: one of its demands.

    Yields:
        Longer hours of the kitchen, more of a station, an oven switched on earlier, more people, other hours or breaks,
        a longer most, fewer of what is ordered; nothing for a demand that is what it is, such as the least time for
        which something must freeze.
    """
    match demand.kind:
        case Kind.SHIFT:
            yield from longer_hours(network)
        case Kind.STATIONS:
            yield more_stations(scenario, _position(demand))
        case Kind.PEOPLE:
            yield more_people(scenario, _position(demand))
        case Kind.COLD:
            yield from _heated_before(network, scenario, demand)
        case Kind.HOURS:
            yield from other_hours(network, scenario, demand)
        case Kind.MOST:
            yield _longer_most(demand)
        case Kind.ORDER:
            for number, order in enumerate(scenario.orders):
                # Somebody must have ordered something.
                if order.product == demand.about and (order.quantity > 1 or len(scenario.orders) > 1):
                    yield _fewer(network, scenario, number)


def _position(demand: Demand) -> int:
    *_, position = demand.path
    assert isinstance(position, int)
    return position


def longer_hours(network: Network) -> Iterator[Alteration]:
    """Closing later, then opening earlier, in minutes; the second only where there is time before.

    Args:
        network: the scheduling problem of the scenario.
    """
    opens, closes = network.opens, network.closes

    def close(raw: dict[str, Any], minutes: int) -> None:
        raw["shift"] = {"opens": format_clock(opens), "closes": format_clock(closes + minutes)}

    def open_(raw: dict[str, Any], minutes: int) -> None:
        raw["shift"] = {"opens": format_clock(opens - minutes), "closes": format_clock(closes)}

    def tell_closing(minutes: int) -> str:
        return f"close {format_duration(minutes)} later, at {format_clock(closes + minutes)}"

    def tell_opening(minutes: int) -> str:
        return f"open {format_duration(minutes)} earlier, at {format_clock(opens - minutes)}"

    yield Alteration(close, tell_closing, ("shift", "closes"), FIRST_MINUTES, MOST_MINUTES)
    earliest = min(MOST_MINUTES, opens)
    if earliest:
        yield Alteration(open_, tell_opening, ("shift", "opens"), min(FIRST_MINUTES, earliest), earliest)


def more_stations(scenario: Scenario, position: int) -> Alteration:
    """One or two more of an equipment.

    Args:
        scenario: the scenario.
        position: of the equipment in its kitchen.
    """
    machine = scenario.kitchen.equipment[position]
    path = ("kitchen", "equipment", position)

    def apply(raw: dict[str, Any], more: int) -> None:
        mapping_at(raw, path)["count"] = machine.count + more

    return Alteration(apply, partial(_tell_more, machine.name), (*path, "count"), 1, MOST_MORE)


def _heated_before(network: Network, scenario: Scenario, demand: Demand) -> Iterator[Alteration]:
    position = _position(demand)
    machine = scenario.kitchen.equipment[position]
    start, rate = start_of(machine), machine.heats or HEATS
    hottest = max(setting.celsius for setting in _settings(network, position))

    def apply(raw: dict[str, Any], minutes: int) -> None:
        tenths = floor(10 * min(hottest, start + rate * minutes))
        mapping_at(raw, demand.path)["starts_at"] = format_temperature(Fraction(tenths, 10))

    def tell(minutes: int) -> str:
        return f"switch the {machine.name} on {format_duration(minutes)} before the kitchen opens"

    if hottest > start:
        path = (*demand.path, "starts_at")
        # What comes first may need less heat than what the oven has then.
        yield Alteration(apply, tell, path, FIRST_MINUTES_OF_A_WAIT, ceil((hottest - start) / rate), steady=False)


def _settings(network: Network, equipment: int) -> Iterator[Setting]:
    """The settings that steps may need of an oven or prover."""
    for task, meaning in zip(network.problem.tasks, network.tasks, strict=True):
        if isinstance(meaning, BatchTask):
            for mode, uses in zip(task.modes, meaning.modes, strict=True):
                for use, need in zip(mode.uses, uses, strict=True):
                    groups = (network.resources[index] for index in use.resources)
                    here = any(isinstance(group, StationGroup) and group.equipment == equipment for group in groups)
                    if here and isinstance(need, SeatUse) and need.setting is not None:
                        yield need.setting


def more_people(scenario: Scenario, position: int) -> Alteration:
    """One or two more people of the skills, hours and breaks of somebody.

    Args:
        scenario: the scenario.
        position: of that person in its kitchen.
    """
    like = scenario.kitchen.people[position].name
    path = ("kitchen", "people", position)

    def apply(raw: dict[str, Any], more: int) -> None:
        people = raw["kitchen"]["people"]
        taken = {person["name"] for person in people}
        names = (f"{like} {number}" for number in range(2, len(people) + MOST_MORE + 2))
        for name in [name for name in names if name not in taken][:more]:
            people.append({**mapping_at(raw, path), "name": name})

    def tell(more: int) -> str:
        return f"{_WORDS[more]} more {plural('person', more)} like {like}"

    return Alteration(apply, tell, path, 1, MOST_MORE)


def _tell_more(name: str, more: int) -> str:
    return f"{_WORDS[more]} more {plural(name, more)}"


def _longer_most(demand: Demand) -> Alteration:
    def apply(raw: dict[str, Any], minutes: int) -> None:
        _limits(mapping_at(raw, demand.path), demand.before)["at_most"] = f"{demand.minutes + minutes} min"

    def tell(minutes: int) -> str:
        now, then = (f"at most {format_duration(length)}" for length in (demand.minutes, demand.minutes + minutes))
        return f"{demand.sentence.replace(now, then, 1)}, {format_duration(minutes)} longer"

    return Alteration(apply, tell, demand.path, FIRST_MINUTES_OF_A_WAIT, MOST_MINUTES)


def _limits(entry: dict[str, Any], before: str) -> dict[str, Any]:
    """Where an ``at_most`` stands: at a wait or a use itself, or in the ``after`` of a step."""
    if "at_most" in entry:
        return entry
    after = entry["after"]
    found: dict[str, Any] = next(
        part
        for part in (after if isinstance(after, list) else [after])
        if isinstance(part, dict) and str(part["step"]) == before
    )
    return found


def _fewer(network: Network, scenario: Scenario, number: int) -> Alteration:
    order = scenario.orders[number]
    unit = next(amount.unit for amount in network.amounts if amount.item == order.product)

    def apply(raw: dict[str, Any], fewer: int) -> None:
        if fewer == order.quantity:
            del raw["orders"][number]
        else:
            raw["orders"][number]["quantity"] = order.quantity - fewer

    def tell(fewer: int) -> str:
        if fewer == order.quantity:
            return f"leave out the order of {ordered(order.quantity, unit, order.product)}"
        return f"{ordered(order.quantity - fewer, unit, order.product)} instead of {order.quantity}"

    most = order.quantity if len(scenario.orders) > 1 else order.quantity - 1
    return Alteration(apply, tell, ("orders", number, "quantity"), max(1, order.quantity // 8), most)
