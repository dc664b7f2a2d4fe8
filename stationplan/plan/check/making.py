"""How much of each item the orders need, and how much is to be made."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import networkx

from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.plan.check.measure import MEASURED_UNITS, in_base
from stationplan.plan.check.recipe import Recipe
from stationplan.scenario.models import Scenario


@dataclass(frozen=True)
class Making:
    """Amounts of one item in its base unit.

    Attributes:
        need: what orders and users take, usable.
        least: what to make so that ``need`` remains after the loss; whole units unless it is weighed or measured.
        made: what the plan says is made; ``least`` where it says nothing.
    """

    need: Fraction
    least: Fraction
    made: Fraction


def work_out_amounts(
    scenario: Scenario, recipes: Mapping[str, Recipe], stated: Mapping[str, Fraction | None]
) -> dict[str, Making]:
    """Follow the orders through the uses down to every component.

    Args:
        scenario: the input.
        recipes: every item laid out.
        stated: what the plan says is made, by item.

    Returns:
        Amounts of every item that is needed, users before what they use.

    Raises:
        UnclearScenarioError: when an order or use names nothing, or uses go round in a circle.
    """
    needs = {name: Fraction(0) for name in recipes}
    for order in scenario.orders:
        if order.product not in scenario.products:
            raise UnclearScenarioError(f"An order asks for {order.product}, which is no product.")
        needs[order.product] += order.quantity
    making: dict[str, Making] = {}
    for name in _users_first(recipes):
        recipe, need = recipes[name], needs[name]
        if need <= 0:
            continue
        least = need / _kept(name, recipe.item.loss)
        if recipe.item.makes.unit not in MEASURED_UNITS:
            least = Fraction(math.ceil(least))
        said = stated.get(name)
        made = said if said is not None and said > 0 else least
        making[name] = Making(need, least, made)
        for taken in recipe.takes_up:
            used = recipes[taken.component]
            per_recipe = in_base(used.item, used.name, taken.use.amount) / _kept(name, taken.use.loss)
            needs[taken.component] += made / recipe.item.makes.amount * per_recipe
    return making


def _users_first(recipes: Mapping[str, Recipe]) -> list[str]:
    graph: networkx.DiGraph[str] = networkx.DiGraph()
    graph.add_nodes_from(recipes)
    for name, recipe in recipes.items():
        for taken in recipe.takes_up:
            if taken.component not in recipes or recipes[taken.component].is_product:
                raise UnclearScenarioError(f"{name} uses {taken.component}, which is no component.")
            graph.add_edge(name, taken.component)
    try:
        return list(networkx.topological_sort(graph))
    except networkx.NetworkXUnfeasible:
        raise UnclearScenarioError("Components use each other in a circle.") from None


def _kept(name: str, loss: Fraction) -> Fraction:
    if not 0 <= loss < 1:
        raise UnclearScenarioError(f"{name}: a loss must leave something over.")
    return 1 - loss
