"""How much of each item the orders need, and how much is to be made, in how many batches."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from graphlib import CycleError, TopologicalSorter

from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.plan.check.joined import Load, finer_numbers
from stationplan.plan.check.measure import MEASURED_UNITS, in_base
from stationplan.plan.check.numbers import MOST_TURNS, Batching, batching_of
from stationplan.plan.check.recipe import Recipe, StageKey
from stationplan.scenario.models import Scenario


@dataclass(frozen=True)
class Making:
    """Amounts of one item in its base unit.

    Attributes:
        need: what orders and users take, usable.
        least: what to make so that ``need`` remains after the loss; whole units unless it is weighed or measured.
        wanted: what to make so that every bowl is filled enough, too.
        made: what the plan says is made; ``wanted`` where it says nothing.
        numbers: how many batches each stage is to be done in, by its index.
    """

    need: Fraction
    least: Fraction
    wanted: Fraction
    made: Fraction
    numbers: tuple[int, ...]


def work_out_amounts(
    scenario: Scenario, recipes: Mapping[str, Recipe], stated: Mapping[str, Fraction | None]
) -> dict[str, Making]:
    """Follow the orders through the uses down to every component, and split what is made into batches.

    Args:
        scenario: the input.
        recipes: every item laid out.
        stated: what the plan says is made, by item.

    Returns:
        Amounts of every item that is needed, users before what they use.

    Raises:
        UnclearScenarioError: when an order or use names nothing, uses go round in a circle, or no batches come of it.
    """
    orders = dict.fromkeys(recipes, Fraction(0))
    for order in scenario.orders:
        if order.product not in scenario.products:
            raise UnclearScenarioError(f"An order asks for {order.product}, which is no product.")
        orders[order.product] += order.quantity
    sequence = _users_first(recipes)
    batchings: dict[str, Batching] = {}
    joined: dict[StageKey, int] = {}
    for _ in range(MOST_TURNS):
        loads: dict[str, Load] = {}
        making: dict[str, Making] = {}
        needs = dict(orders)
        for name in sequence:
            if needs[name] <= 0:
                continue
            recipe = recipes[name]
            if name not in batchings:
                batchings[name] = batching_of(recipe, scenario.kitchen.equipment)
            least = needs[name] / _kept(name, recipe.item.loss)
            if recipe.item.makes.unit not in MEASURED_UNITS:
                least = Fraction(math.ceil(least))
            floor = {stage.index: joined.get(stage.key, 1) for stage in recipe.stages}
            wanted = batchings[name].filled(least, floor)
            loads[name] = Load(batchings[name], wanted, batchings[name].numbers(wanted, floor))
            said = stated.get(name)
            made = said if said is not None and said > 0 else wanted
            making[name] = Making(needs[name], least, wanted, made, loads[name].numbers)
            for taken in recipe.takes_up:
                used = recipes[taken.component]
                per_recipe = in_base(used.item, used.name, taken.use.amount) / _kept(name, taken.use.loss)
                needs[taken.component] += wanted / recipe.item.makes.amount * per_recipe
        finer = finer_numbers(loads)
        if not finer:
            return making
        joined.update(finer)
    raise UnclearScenarioError("The batches joined by short waits never come to agree in number.")


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
