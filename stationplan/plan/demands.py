"""What a scenario demands of every plan, one by one, in the kitchen's words and as requirements of the problem."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber, Pool
from stationplan.engine.requirements import Requirement
from stationplan.network.network import BatchTask, Crew, MoveTask, StationGroup, StockTask
from stationplan.network.stock import STOCK
from stationplan.plan.wording import listed, ordered
from stationplan.scenario.units import format_clock, format_duration, format_temperature, plural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.engine.result import Conflict
    from stationplan.network import Network
    from stationplan.network.errors import Path
    from stationplan.network.flow import Stand
    from stationplan.network.network import Lot
    from stationplan.scenario.models import Equipment, Scenario


class Kind(StrEnum):
    """What a demand is about."""

    SHIFT = "shift"
    MOST = "most"
    STATIONS = "stations"
    PEOPLE = "people"
    ORDER = "order"
    HOURS = "hours"
    COLD = "cold"
    CHANGING = "changing"
    GOODS = "goods"
    OUT = "out of use"
    USE_BY = "use by"
    SHELF_LIFE = "shelf life"
    LEAST = "least"


@dataclass(frozen=True, slots=True)
class Demand:
    """Something that every plan keeps.

    Attributes:
        kind: what it is about.
        sentence: in the kitchen's words.
        path: where it stands in the scenario.
        requirement: what it is in the network's problem.
        about: name of the item, station, person or product.
        before: for a least or most between two steps, the one before; else empty.
        minutes: of a least or most.
    """

    kind: Kind
    sentence: str
    path: Path
    requirement: Requirement
    about: str = ""
    before: str = ""
    minutes: int = 0


_BY_WORK = (
    Kind.SHIFT,
    Kind.MOST,
    Kind.USE_BY,
    Kind.SHELF_LIFE,
    Kind.STATIONS,
    Kind.PEOPLE,
    Kind.ORDER,
    Kind.HOURS,
    Kind.OUT,
    Kind.GOODS,
    Kind.COLD,
    Kind.CHANGING,
    Kind.LEAST,
)
"""What to name rather than what comes later, where there is too much to do."""

_BY_TIME = (
    Kind.SHIFT,
    Kind.MOST,
    Kind.USE_BY,
    Kind.SHELF_LIFE,
    Kind.LEAST,
    Kind.HOURS,
    Kind.OUT,
    Kind.GOODS,
    Kind.COLD,
    Kind.ORDER,
    Kind.STATIONS,
    Kind.PEOPLE,
    Kind.CHANGING,
)
"""What to name rather than what comes later, where steps and waits do not even fit one after the other."""


def demands_of(network: Network, scenario: Scenario, conflict: Conflict | None = None) -> tuple[Demand, ...]:
    """Everything demanded of a plan that might be given up to get one.

    Not among it: how long steps take, their order within a recipe, and how they are split into batches.

    Args:
        network: the scheduling problem of the scenario.
        scenario: the scenario.
        conflict: what is known to be in the way, if anything is.

    Returns:
        The demands, first those to name rather than others where either would explain why there is no plan.
    """
    between = f"from {format_clock(network.opens)} to {format_clock(network.closes)}"
    found = [
        Demand(Kind.SHIFT, f"the kitchen is open {between}", ("shift",), Requirement(horizon=True)),
        *_lags(network),
        *_use_by(network),
        *_shelf_lives(network, scenario),
        *_stations(network, scenario),
        *_people(network, scenario),
        *_goods(network, scenario),
        *_orders(network),
    ]
    scarce = set() if conflict is None else set(conflict.resources)
    kinds = _BY_TIME if conflict is not None and conflict.kind in ("cycle", "task") else _BY_WORK

    def rank(demand: Demand) -> tuple[bool, int]:
        elsewhere = bool(scarce) and bool(demand.requirement.limits) and not scarce & set(demand.requirement.limits)
        return elsewhere, kinds.index(demand.kind)

    return tuple(sorted(found, key=rank))


def _lags(network: Network) -> Iterator[Demand]:
    """The least and the most of every wait, over all batches and rounds."""
    leasts: dict[tuple[Path, str], list[int]] = defaultdict(list)
    mosts: dict[tuple[Path, str], list[int]] = defaultdict(list)
    first: dict[tuple[Path, str], tuple[Lot, Stand]] = {}
    for lot in network.lots:
        for stand, link in zip(lot.stands, lot.links, strict=False):
            before = network.tasks[lot.before]
            if stand.path[0] == STOCK or link is None:
                continue
            # The limits between two steps stand at the later one, which may have some after several others.
            key = (stand.path, "" if stand.name or not isinstance(before, BatchTask) else before.step)
            first.setdefault(key, (lot, stand))
            if stand.least:
                leasts[key].append(link)
                if lot.after is None:
                    # Until delivery it stands for its least and no longer.
                    mosts[key].append(link)
            if stand.most is not None and lot.after is not None:
                mosts[key].append(link)
    for key, (lot, stand) in first.items():
        about, head, later = _words_of(network, lot, stand)
        if leasts[key]:
            limit = f"at least {format_duration(stand.least)}"
            extra = tuple(mosts[key]) if lot.after is None else ()
            requirement = Requirement(leasts=tuple(leasts[key]), mosts=extra)
            yield Demand(
                Kind.LEAST, f"{about}: {head} {limit}{later}", stand.path, requirement, about, key[1], stand.least
            )
        if stand.most is not None and lot.after is not None:
            limit = f"at most {format_duration(stand.most)}"
            requirement = Requirement(mosts=tuple(mosts[key]))
            yield Demand(
                Kind.MOST, f"{about}: {head} {limit}{later}", stand.path, requirement, about, key[1], stand.most
            )


def _words_of(network: Network, lot: Lot, stand: Stand) -> tuple[str, str, str]:
    """Whose wait it is, and the words before and after 'at most 10 min'."""
    if stand.name:
        return lot.item, stand.name, ""
    before = network.tasks[lot.before]
    after = network.tasks[lot.tasks[-1]]
    assert isinstance(after, BatchTask)
    if not isinstance(before, BatchTask) or after.item != lot.item:
        return after.item, f"{lot.item} stands", f" before {after.step}"
    return lot.item, after.step, f" after {before.step}"


def _use_by(network: Network) -> Iterator[Demand]:
    """Stock that must be taken up in time."""
    for task, stock in enumerate(network.tasks):
        if isinstance(stock, StockTask) and stock.use_by is not None:
            mosts = (number for number, link in enumerate(network.problem.links) if link.before == task)
            yield Demand(
                Kind.USE_BY,
                f"{stock.item} in stock is to be used by {format_clock(network.opens + stock.use_by)}",
                stock.path,
                Requirement(mosts=tuple(mosts)),
                stock.item,
            )


def _shelf_lives(network: Network, scenario: Scenario) -> Iterator[Demand]:
    """Components that keep for a time only."""
    for name, component in scenario.components.items():
        mosts = tuple(lot.shelf_life for lot in network.lots if lot.item == name and lot.shelf_life is not None)
        if component.shelf_life is not None and mosts:
            sentence = f"{name} keeps {format_duration(component.shelf_life)}"
            path: Path = ("components", name, "shelf_life")
            yield Demand(Kind.SHELF_LIFE, sentence, path, Requirement(mosts=mosts), name)


def _stations(network: Network, scenario: Scenario) -> Iterator[Demand]:
    groups: dict[int, list[int]] = defaultdict(list)
    for index, group in enumerate(network.resources):
        if isinstance(group, StationGroup):
            groups[group.equipment].append(index)
    used = {
        index for task in network.problem.tasks for mode in task.modes for use in mode.uses for index in use.resources
    }
    used |= {index for hold in network.problem.holds for index in hold.resources}
    for position, indices in groups.items():
        if not used.intersection(indices):
            continue
        machine = scenario.kitchen.equipment[position]
        path: Path = ("kitchen", "equipment", position)
        mine = tuple(indices)
        yield Demand(Kind.STATIONS, _number_of(machine), path, Requirement(limits=mine), machine.name)
        chambers = [chamber for index in mine if isinstance(chamber := network.problem.resources[index], Chamber)]
        name = f"the {machine.name}" if machine.count == 1 else f"every {machine.name}"
        if any(chamber.first for chamber in chambers):
            cold = network.resources[mine[0]]
            assert isinstance(cold, StationGroup)
            assert cold.cold is not None
            degrees = format_temperature(cold.cold.celsius)
            yield Demand(
                Kind.COLD,
                f"{name} is at {degrees} when the kitchen opens",
                path,
                Requirement(firsts=mine),
                machine.name,
            )
        if any(network.problem.resources[index].closures for index in mine):
            times = listed(tuple(str(time) for time in machine.out_of_use))
            yield Demand(Kind.OUT, f"{machine.name} out of use {times}", path, Requirement(closures=mine), machine.name)
        if any(chamber.changeovers for chamber in chambers):
            doing = "must be washed between contents" if machine.kind == "mixer" else "takes time to change temperature"
            yield Demand(Kind.CHANGING, f"{name} {doing}", path, Requirement(changeovers=mine), machine.name)


def _number_of(machine: Equipment) -> str:
    """How many there are and how much each holds: ``there are 2 deck ovens of 4 trays each``."""
    many = machine.count > 1
    number = (
        f"there are {machine.count} {plural(machine.name, machine.count)}" if many else f"there is one {machine.name}"
    )
    chambers = f" with {machine.chambers} chambers" if machine.chambers > 1 else ""
    if machine.holds is None:
        return f"{number}{chambers}"
    each = " each" if many or machine.chambers > 1 else ""
    return f"{number}{chambers} of {machine.holds}{each}"


def _people(network: Network, scenario: Scenario) -> Iterator[Demand]:
    for index, crew in enumerate(network.resources):
        if not isinstance(crew, Crew):
            continue
        people = [person for person in scenario.kitchen.people if person.name in crew.names]
        path: Path = ("kitchen", "people", network.people.index(crew.names[0]))
        names, each = listed(crew.names), "" if len(crew.names) == 1 else " each"
        yield Demand(
            Kind.PEOPLE, f"{names} can do one thing at a time{each}", path, Requirement(limits=(index,)), crew.names[0]
        )
        pool = network.problem.resources[index]
        assert isinstance(pool, Pool)
        if pool.closures:
            hours, breaks = (listed(tuple(map(str, spans))) for spans in (people[0].hours, people[0].breaks))
            has, are = ("has a", "is") if len(crew.names) == 1 else ("have a", "are")
            parts = [f"{are} in {hours}"] if hours else []
            parts += [f"{has} break {breaks}"] if breaks else []
            yield Demand(
                Kind.HOURS, f"{names} {' and '.join(parts)}", path, Requirement(closures=(index,)), crew.names[0]
            )


def _goods(network: Network, scenario: Scenario) -> Iterator[Demand]:
    """Each of the goods that something waits for; what waits for two is free once the last of them is there."""
    for position, goods in enumerate(scenario.goods):
        waiting = tuple(
            number
            for number, task in enumerate(network.tasks)
            if isinstance(task, BatchTask) and task.last_goods == goods.ingredient
        )
        if waiting:
            yield Demand(
                Kind.GOODS,
                f"{goods.ingredient} comes at {goods.since}",
                ("goods", position),
                Requirement(releases=waiting),
                goods.ingredient,
            )


def _orders(network: Network) -> Iterator[Demand]:
    """What is ordered of each product: without it, neither it nor what is made for it alone."""
    units = {amount.item: amount.unit for amount in network.amounts}
    products = list(dict.fromkeys(order.product for order in network.orders))
    tasks = _made_for(network, products)
    for product in products:
        mine = [number for number, order in enumerate(network.orders) if order.product == product]
        amount = sum(network.orders[number].quantity for number in mine)
        yield Demand(
            Kind.ORDER,
            f"{ordered(amount, units[product], product)} {'is' if amount == 1 else 'are'} ordered",
            ("orders", mine[0]),
            Requirement(tasks=tuple(sorted(tasks[product]))),
            product,
        )


def _made_for(network: Network, products: list[str]) -> dict[str, set[int]]:
    """The tasks that are done for each product: what it takes up, and what that takes up in turn."""
    items = [
        network.lots[meaning.lot].item if isinstance(meaning, MoveTask) else meaning.item for meaning in network.tasks
    ]
    found: dict[str, set[int]] = {}
    used: dict[str, set[str]] = {}
    for product in products:
        mine, names = {task for task, item in enumerate(items) if item == product}, {product}
        lots = list(network.lots)
        while taken := [lot for lot in lots if lot.after in mine]:
            mine.update(task for lot in taken for task in lot.tasks)
            lots = [lot for lot in lots if lot.after not in mine]
        while more := {items[lot.before] for lot in network.lots if items[lot.tasks[-1]] in names} - names:
            names |= more
        found[product], used[product] = mine, names
    # What is made and not taken up, as in a mixer that must be filled far enough, goes with all that take up the rest.
    for task in set(range(len(items))).difference(*found.values()):
        for product in products:
            if items[task] in used[product]:
                found[product].add(task)
    return found
