"""Which allergens are declared of what is made, and where one batch follows another that holds more of them.

Nothing here says that something is free from an allergen: what nobody declared is only
not declared. Whoever reads it has labels, suppliers and cross-contact to think of, and
local code and the site's own food-safety plan decide.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import reduce

import networkx as nx

from stationplan.network.flow import Flow, flow_of
from stationplan.plan.document import Batch, Plan, Seat
from stationplan.scenario import from_plain
from stationplan.scenario.allergens import of_ingredient, told
from stationplan.scenario.models import Ingredient, Item, Scenario

TOUCHING = frozenset({"mixer", "bench", "tool"})
"""Kinds of equipment that the food itself touches; trays, pans and moulds are no equipment of a plan."""


@dataclass(frozen=True, slots=True)
class Declared:
    """What is declared of an item or a batch.

    Attributes:
        allergens: as :func:`stationplan.scenario.allergens.parse_allergens` names them.
        silent: what is in it of which nothing is declared: ingredients, or an item without any.
    """

    allergens: frozenset[str] = frozenset()
    silent: frozenset[str] = frozenset()

    def __or__(self, other: Declared) -> Declared:
        """Of the two together."""
        return Declared(self.allergens | other.allergens, self.silent | other.silent)

    @property
    def named(self) -> tuple[str, ...]:
        """The allergens in the order of the lists."""
        return told(self.allergens)

    @property
    def unsaid(self) -> tuple[str, ...]:
        """What is silent, by name."""
        return tuple(sorted(self.silent, key=lambda name: (name.casefold(), name)))


StepKey = tuple[str, str, int]
"""Item, step and round."""


@dataclass(frozen=True)
class Declarations:
    """What is declared of every item when it is ready, and of what each of its steps has in hand."""

    items: Mapping[str, Declared]
    steps: Mapping[StepKey, Declared]


def declares(scenario: Scenario) -> bool:
    """Whether the scenario says of any ingredient what is in it."""
    return any(ingredient.contains is not None for ingredient in scenario.ingredients.values())


def declarations_of(scenario: Scenario) -> Declarations:
    """Carry what is declared of ingredients up to steps, components and products.

    What stands at an item counts for every step of it, since nobody has said where it goes in; what stands at a step
    counts from that step on.

    Args:
        scenario: the scenario.
    """
    known = {name.casefold(): ingredient for name, ingredient in scenario.ingredients.items()}
    recipes: dict[str, tuple[Item, Flow]] = {
        name: (item, flow_of(item, (section, name)))
        for section, items in (("components", scenario.components), ("products", scenario.products))
        for name, item in items.items()
    }
    uses = nx.DiGraph([(taking.component, name) for name, (_, flow) in recipes.items() for taking in flow.takings])
    uses.add_nodes_from(recipes)
    items: dict[str, Declared] = {}
    steps: dict[StepKey, Declared] = {}
    for name in nx.topological_sort(uses):
        item, flow = recipes[name]
        held = _held(name, item, flow, known, items)
        steps |= {(name, entry.name, entry.round): held[entry.index] for entry in flow.steps}
        items[name] = held[flow.outlet]
    return Declarations({name: items[name] for name in recipes}, steps)


def _held(
    name: str, item: Item, flow: Flow, known: Mapping[str, Ingredient], items: Mapping[str, Declared]
) -> dict[int, Declared]:
    """What each step of an item has in hand, by its position in the flow."""
    everywhere = [_declared(ingredient, known) for ingredient in item.ingredients]
    everywhere += [items[component] for component in item.uses]
    before: dict[int, list[int]] = {entry.index: [] for entry in flow.steps}
    for link in flow.links:
        before[link.after].append(link.before)
    order = nx.DiGraph([(link.before, link.after) for link in flow.links])
    order.add_nodes_from(before)
    held: dict[int, Declared] = {}
    for index in nx.topological_sort(order):
        entry = flow.entries[index]
        goes_in = [*everywhere]
        if entry.round == 1:
            goes_in += [_declared(ingredient, known) for ingredient in entry.step.ingredients]
            goes_in += [items[component] for component in entry.step.uses]
        if not goes_in and not before[index]:
            # A step that begins with nothing has something in hand of which nothing is written.
            goes_in.append(Declared(silent=frozenset({name})))
        held[index] = reduce(Declared.__or__, [*goes_in, *(held[other] for other in before[index])])
    return held


def _declared(name: str, known: Mapping[str, Ingredient]) -> Declared:
    ingredient = known.get(name.casefold())
    if ingredient is None or ingredient.contains is None:
        return Declared(silent=frozenset({name}))
    return Declared(frozenset(of_ingredient(name, ingredient.contains)))


@dataclass(frozen=True, slots=True)
class Handover:
    """A batch that follows another on the same equipment and of which fewer allergens are declared.

    Attributes:
        station: the equipment.
        allergens: those declared of the earlier batch and not of the later.
        before: the earlier batch.
        until: when it leaves, minutes since midnight of the first day.
        after: the later batch.
        start: when it comes.
        washed: from when to when the station is washed in between, if it is.
        silent: what is in the later batch of which nothing is declared.
    """

    station: str
    allergens: tuple[str, ...]
    before: Batch
    until: int
    after: Batch
    start: int
    washed: tuple[int, int] | None
    silent: tuple[str, ...]


def handovers(plan: Plan) -> tuple[Handover, ...]:
    """Where a batch is next on equipment that has held more allergens than are declared of it.

    Args:
        plan: a plan that has passed the check.

    Returns:
        By station in the order of the plan, then by time; none where nothing is declared.
    """
    steps = declarations_of(from_plain(plan.scenario)).steps
    found: list[Handover] = []
    for station in plan.stations:
        if station.kind in TOUCHING:
            loads = [(seat, batch) for batch in plan.batches for seat in batch.seats if seat.station == station.name]
            loads.sort(key=lambda load: (load[0].start, load[0].end, load[1].label))
            found += _on_one(plan, loads, steps)
    return tuple(found)


def _on_one(plan: Plan, loads: list[tuple[Seat, Batch]], steps: Mapping[StepKey, Declared]) -> Iterator[Handover]:
    for seat, batch in loads:
        later = next((load for load in loads if load[0].start >= seat.end and load[1] is not batch), None)
        if later is None:
            continue
        held, wanted = (steps[one.item, one.step, one.round] for one in (batch, later[1]))
        more = held.allergens - wanted.allergens
        if more:
            washes = (
                (change.start, change.end)
                for change in plan.changes
                if (change.station, change.kind) == (seat.station, "wash")
                and seat.end <= change.start <= later[0].start
            )
            yield Handover(
                seat.station,
                told(more),
                batch,
                seat.end,
                later[1],
                later[0].start,
                next(washes, None),
                wanted.unsaid,
            )
