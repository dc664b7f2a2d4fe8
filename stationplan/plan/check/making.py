"""How much of each item the orders need, and how much is to be made, in how many batches."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from graphlib import CycleError, TopologicalSorter
from string import ascii_uppercase

from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.plan.check.joined import Load, finer_numbers
from stationplan.plan.check.lettering import letters_at
from stationplan.plan.check.measure import MEASURED_UNITS, in_base
from stationplan.plan.check.numbers import MOST_TURNS, Batching, batching_of
from stationplan.plan.check.recipe import Recipe, StageKey
from stationplan.plan.check.stock import Stocked, stock_counted_on
from stationplan.plan.document import Past
from stationplan.scenario.models import Scenario


@dataclass(frozen=True)
class Making:
    """Amounts of one item in its base unit.

    Attributes:
        need: what orders and users take, usable.
        least: what to make, besides stock, so that ``need`` remains after the loss; whole units unless it is weighed or
            measured.
        wanted: what to make so that every bowl is filled enough, too.
        made: what the plan says is made; ``wanted`` where it says nothing.
        numbers: how many batches each stage is to be done in, by its index.
        stock: what is taken from stock.
    """

    need: Fraction
    least: Fraction
    wanted: Fraction
    made: Fraction
    numbers: tuple[int, ...]
    stock: tuple[Stocked, ...] = ()

    @property
    def stocked(self) -> Fraction:
        """How much is taken from stock."""
        return sum((part.size for part in self.stock), Fraction(0))


@dataclass(frozen=True)
class UnderWay:
    """A shift of which part was over when the plan was made.

    Attributes:
        past: what the plan was told of it.
        taken: what the batches of each stage take: more than is needed where some of it was lost, or where less is
            wanted than was begun.
        begun: when each of the batches of a stage began that had, and how much it takes.
        letters: those of items in labels, which need not go by the order of the file.
    """

    past: Past
    taken: Mapping[StageKey, Fraction]
    begun: Mapping[StageKey, tuple[tuple[int, Fraction], ...]]
    letters: Mapping[str, str]


def work_out_amounts(
    scenario: Scenario,
    recipes: Mapping[str, Recipe],
    stated: Mapping[str, Fraction | None],
    under_way: UnderWay | None = None,
) -> dict[str, Making]:
    """Follow the orders through the uses down to every component, and split what is made into batches.

    Args:
        scenario: the input.
        recipes: every item laid out.
        stated: what the plan says is made, by item.
        under_way: what is different where part of the shift was over when the plan was made.

    Returns:
        Amounts of every item that is needed, users before what they use.

    Raises:
        UnclearScenarioError: when an order or use names nothing, uses go round in a circle, or no batches come of it.
    """
    orders: dict[str, Fraction] = {}
    for order in scenario.orders:
        if order.product not in scenario.products:
            raise UnclearScenarioError(f"An order asks for {order.product}, which is no product.")
        orders[order.product] = orders.get(order.product, Fraction(0)) + order.quantity
    past, taken = (None, None) if under_way is None else (under_way.past, under_way.taken)
    sequence = _users_first(recipes)
    batchings: dict[str, Batching] = {}
    joined: dict[StageKey, int] = {}
    for _ in range(MOST_TURNS):
        loads: dict[str, Load] = {}
        making: dict[str, Making] = {}
        # What was begun is gone on with, even if nobody wants it any more.
        needs = {**{item: Fraction(0) for item, _, _ in taken or ()}, **orders}
        gone: dict[str, list[tuple[int, Fraction]]] = defaultdict(list)
        for name in sequence:
            if name not in needs:
                continue
            recipe = recipes[name]
            if name not in batchings:
                batchings[name] = batching_of(recipe, scenario.kitchen.equipment)
            least = needs[name] / _kept(name, recipe.item.loss)
            stock = stock_counted_on(scenario, name, recipe.item, least, past, sorted(gone[name]))
            least -= sum(part.size for part in stock)
            if recipe.item.makes.unit not in MEASURED_UNITS:
                least = Fraction(math.ceil(least))
            floor = {stage.index: joined.get(stage.key, 1) for stage in recipe.stages}
            wanted, numbers = least, (0,) * len(recipe.stages)
            if least:
                wanted = batchings[name].filled(least, floor)
                numbers = batchings[name].numbers(wanted, floor)
                loads[name] = Load(batchings[name], wanted, numbers)
            said = stated.get(name)
            made = said if said is not None and said > 0 else wanted
            making[name] = Making(needs[name], least, wanted, made, numbers, stock)
            for use in recipe.takes_up:
                used = recipes[use.component]
                per_recipe = in_base(used.item, used.name, use.use.amount) / _kept(name, use.use.loss)
                quantity = wanted if taken is None else taken.get(use.stage.key, Fraction(0))
                each = per_recipe / recipe.item.makes.amount
                needs[use.component] = needs.get(use.component, Fraction(0)) + quantity * each
                for start, size in () if under_way is None else under_way.begun.get(use.stage.key, ()):
                    gone[use.component].append((start, size * each / _kept(used.name, used.item.loss)))
        finer = finer_numbers(loads)
        if not finer:
            return _labelled(making, recipes, {} if under_way is None else under_way.letters)
        joined.update(finer)
    raise UnclearScenarioError("The batches joined by short waits never come to agree in number.")


def _labelled(
    making: Mapping[str, Making], recipes: Mapping[str, Recipe], letters: Mapping[str, str]
) -> dict[str, Making]:
    """With the labels of stock: the letters of its item, which go by the order of the file, and a nought."""
    stems = {name: letters_at(place, ascii_uppercase) for place, name in enumerate(n for n in recipes if n in making)}
    stems.update({name: letters[name] for name in making if name in letters})
    return {
        name: replace(
            entry,
            stock=tuple(
                replace(part, label=f"{stems[name]}0" + ("" if part.number == 1 else f".{part.number}"))
                for part in entry.stock
            ),
        )
        for name, entry in making.items()
    }


def _users_first(recipes: Mapping[str, Recipe]) -> list[str]:
    graph: TopologicalSorter[str] = TopologicalSorter(dict.fromkeys(recipes, ()))
    for name, recipe in recipes.items():
        for taken in recipe.takes_up:
            if taken.component not in recipes or recipes[taken.component].is_product:
                raise UnclearScenarioError(f"{name} uses {taken.component}, which is no component.")
            graph.add(taken.component, name)
    try:
        return list(graph.static_order())
    except CycleError:
        raise UnclearScenarioError("Components use each other in a circle.") from None


def _kept(name: str, loss: Fraction) -> Fraction:
    if not 0 <= loss < 1:
        raise UnclearScenarioError(f"{name}: a loss must leave something over.")
    return 1 - loss
