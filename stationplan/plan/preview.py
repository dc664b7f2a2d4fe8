"""What there is to do before any plan is made: quantities, loads, busy minutes and bounds."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from stationplan.engine.bounds import lower_bounds
from stationplan.engine.infeasible import too_much_work
from stationplan.engine.problem import Pool
from stationplan.engine.result import Bound, BoundKind, Conflict
from stationplan.engine.windows import find_windows
from stationplan.engine.work import ResourceSet, resource_sets
from stationplan.network.network import BatchTask, Crew, SeatUse, StationGroup
from stationplan.plan.reasons import held_up, reasons_of, who
from stationplan.plan.why import Against, in_turn, reasons_against
from stationplan.plan.wording import ordered
from stationplan.scenario.units import format_clock, format_quantity

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.scenario.models import Person, Scenario


@dataclass(frozen=True)
class ItemRow:
    """How much of an item is made: texts such as ``8 trays``, and the batches of its steps, ``4 to 8``."""

    item: str
    needed: str
    made: str
    batches: str


@dataclass(frozen=True)
class LoadRow:
    """How often a step goes through an equipment, and how full: ``almond sponge: bake``, 8 loads, ``2 of 4 trays``."""

    equipment: str
    work: str
    loads: int
    filled: str


@dataclass(frozen=True)
class BusyRow:
    """How much work waits for a resource, in minutes.

    ``busy`` is work, ``available`` what there is of it between opening and closing; both are minutes of machine or
    person. No plan finishes earlier than ``bound`` minutes after opening.
    """

    resource: str
    busy: int
    available: int
    bound: int


@dataclass(frozen=True)
class Preview:
    """Everything known before solving; ``opens`` and ``closes`` are minutes since midnight of the first day."""

    name: str
    opens: int
    closes: int
    orders: tuple[str, ...]  # '80 portions of cake due 15:00'
    people: tuple[str, ...]  # 'Ines 06:00-12:00, break 10:00-10:30'
    items: tuple[ItemRow, ...]
    loads: tuple[LoadRow, ...]
    busy: tuple[BusyRow, ...]
    bound: int
    because: str = ""
    against: tuple[Against, ...] = ()


def preview(network: Network, scenario: Scenario) -> Preview:
    """Work out quantities, batches, loads, busy time and the bound that each resource sets, without solving.

    Args:
        network: the scenario's scheduling problem.
        scenario: the scenario itself, for the hours and breaks of each person.

    Returns:
        The preview; ``against`` has the reasons when it is clear already that there is no plan.
    """
    problem = network.problem
    windows = find_windows(problem)
    bounds: tuple[Bound, ...] = ()
    busy: tuple[BusyRow, ...] = ()
    if isinstance(windows, Conflict):
        conflicts: tuple[Conflict, ...] = (windows,)
    else:
        bounds = lower_bounds(problem, windows)
        busy = tuple(_busy(network, entry, bounds) for entry in resource_sets(problem, windows))
        conflicts = too_much_work(problem, windows)
    return Preview(
        name=network.name,
        opens=network.opens,
        closes=network.closes,
        orders=_orders(network),
        people=tuple(_person(person) for person in scenario.kitchen.people),
        items=_items(network),
        loads=_loads(network),
        busy=busy,
        bound=max((bound.minutes for bound in bounds), default=0),
        because=_because(network, bounds),
        against=reasons_against(network, conflicts),
    )


def _orders(network: Network) -> tuple[str, ...]:
    units = {amount.item: amount.unit for amount in network.amounts}
    return tuple(
        ordered(order.quantity, units[order.product], order.product)
        + ("" if order.due is None else f" due {format_clock(order.due)}")
        for order in network.orders
    )


def _person(person: Person) -> str:
    hours, breaks = (" and ".join(str(span) for span in spans) for spans in (person.hours, person.breaks))
    present = f"{person.name} {hours}" if hours else person.name
    return f"{present}, break {breaks}" if breaks else present


def _because(network: Network, bounds: tuple[Bound, ...]) -> str:
    """Where the largest bound comes from; a chain of steps by their names, since no plan gives them labels yet."""
    if not bounds:
        return ""
    if bounds[0].kind is BoundKind.CRITICAL_PATH:
        held = held_up(network, bounds[0])
        begin = f"from {format_clock(network.opens + bounds[0].head)} on ({held}), " if held else ""
        return f"one step after the other without delay: {begin}{in_turn(network, bounds[0].tasks)}"
    return reasons_of(network, bounds[:1])[0].because


def _items(network: Network) -> tuple[ItemRow, ...]:
    batches: dict[str, set[int]] = defaultdict(set)
    for task in network.tasks:
        if isinstance(task, BatchTask):
            batches[task.item].add(task.of)
    return tuple(
        ItemRow(
            amount.item,
            format_quantity(amount.least, amount.unit)
            + (f" besides {format_quantity(amount.stock, amount.unit)} in stock" if amount.stock else ""),
            format_quantity(amount.made, amount.unit),
            " to ".join(dict.fromkeys(str(end(batches[amount.item], default=0)) for end in (min, max))),
        )
        for amount in network.amounts
    )


def _loads(network: Network) -> tuple[LoadRow, ...]:
    """How often each step of each item goes through each equipment, by the first of its modes."""
    loads: dict[tuple[StationGroup, str], list[int]] = defaultdict(list)
    for meaning, task in zip(network.tasks, network.problem.tasks, strict=True):
        if not isinstance(meaning, BatchTask):
            continue
        for use, need in zip(task.modes[0].uses, meaning.modes[0], strict=True):
            group = network.resources[use.resources[0]]
            if isinstance(need, SeatUse) and isinstance(group, StationGroup):
                loads[group, f"{meaning.item}: {meaning.step}"].append(need.amount)
    rows = (
        LoadRow(group.equipment_name, work, len(amounts), _filled(group, amounts))
        for (group, work), amounts in loads.items()
    )
    return tuple(sorted(rows, key=lambda row: (row.equipment, row.work)))


def _filled(group: StationGroup, amounts: list[int]) -> str:
    """How full each load is: ``2 of 4 trays``, ``1 to 3 of 4 trays``, ``2.5 l of 6 l``."""
    if group.unit == "batch":
        return "1 batch"
    weighed = group.unit in ("g", "ml")
    ends = dict.fromkeys((min(amounts), max(amounts)))
    words = [format_quantity(amount, group.unit) if weighed else str(amount) for amount in ends]
    return f"{' to '.join(words)} of {format_quantity(group.capacity, group.unit)}"


def _busy(network: Network, entry: ResourceSet, bounds: tuple[Bound, ...]) -> BusyRow:
    names = who(network, entry.resources)[0]
    closed = 0
    number = 0
    for index in entry.resources:
        resource, meaning = network.problem.resources[index], network.resources[index]
        room = resource.capacity if isinstance(meaning, Crew) or len(meaning.names) > 1 else 1
        number += room
        if isinstance(resource, Pool) and resource.capacity:
            away = sum(
                closure.amount * (min(closure.end, network.closes - network.opens) - closure.start)
                for closure in resource.closures
            )
            closed += away * room // resource.capacity
    work = sum(item.amount * item.length for item in entry.work)
    bound = max((bound.minutes for bound in bounds if bound.resources == entry.resources), default=0)
    available = number * (network.closes - network.opens) - closed
    return BusyRow(names, ceil(Fraction(work * number, max(1, entry.capacity))), available, bound)
