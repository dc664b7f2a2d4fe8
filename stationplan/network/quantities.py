"""From orders to what is needed and made of every item, and its batches."""

from __future__ import annotations

from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

import networkx as nx

from stationplan.network.batches import Recipe, batch_numbers, raised_to_least_fill, read_recipe, split
from stationplan.network.errors import QuantityError
from stationplan.network.harmonising import harmonised
from stationplan.network.network import AmountMade
from stationplan.network.production import Production
from stationplan.network.remaining import continued
from stationplan.network.stock import stock_taken

if TYPE_CHECKING:
    from collections.abc import Mapping

    from stationplan.network.so_far import SoFar
    from stationplan.scenario.models import Scenario


# Batches joined by short waits agree after a few turns, unless something drives them apart.
MOST_TURNS = 30


def productions(scenario: Scenario, so_far: SoFar | None = None) -> dict[str, Production]:
    """Work out every item that is made, components first, in the order of the file.

    Args:
        scenario: a valid scenario.
        so_far: what has happened of it already.

    Raises:
        NetworkError: when items use each other in a circle, units clash, or a batch fits nowhere.
    """
    recipes = _recipes(scenario)
    order = _users_first(recipes)
    forced: dict[str, dict[int, int]] = {name: {} for name in recipes}
    for _ in range(MOST_TURNS):
        made = _made(scenario, recipes, order, forced)
        finer = harmonised(made)
        if not finer:
            if so_far is not None:
                made = _made(scenario, recipes, order, forced, so_far)
            return {name: made[name] for name in recipes if name in made}
        for name, numbers in finer.items():
            forced[name].update(numbers)
    raise QuantityError(
        "a short wait asks for ever smaller batches, and a mixer's least fill for ever larger ones: "
        "allow a longer wait, or a smaller least fill"
    )


def _recipes(scenario: Scenario) -> dict[str, Recipe]:
    equipment = scenario.kitchen.equipment
    return {
        name: read_recipe(name, item, (section, name), equipment)
        for section, items in (("components", scenario.components), ("products", scenario.products))
        for name, item in items.items()
    }


def _users_first(recipes: Mapping[str, Recipe]) -> list[str]:
    """Names so that every item stands before the components it uses."""
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(recipes)
    for name, recipe in recipes.items():
        for taking in recipe.flow.takings:
            if taking.component not in recipes:
                raise QuantityError(f"{name} uses {taking.component!r}, but there is no such component", taking.path)
            graph.add_edge(name, taking.component)
    if not nx.is_directed_acyclic_graph(graph):
        circle = [edge[0] for edge in nx.find_cycle(graph)]
        raise QuantityError(f"these use each other in a circle: {', '.join(circle)}", recipes[circle[0]].path)
    return list(nx.topological_sort(graph))


def _made(
    scenario: Scenario,
    recipes: Mapping[str, Recipe],
    order: list[str],
    forced: Mapping[str, Mapping[int, int]],
    so_far: SoFar | None = None,
) -> dict[str, Production]:
    need: dict[str, Fraction] = {}
    for order_line in scenario.orders:
        need[order_line.product] = need.get(order_line.product, Fraction(0)) + order_line.quantity
    for run in () if so_far is None else so_far.runs:
        # What has begun goes on, even if nobody wants it any more, as far as it has to.
        need.setdefault(run.item, Fraction(0))
    made: dict[str, Production] = {}
    for name in order:
        if name not in need:
            continue
        recipe = recipes[name]
        wanted = need[name] / (1 - recipe.item.loss)
        draughts = () if so_far is None else _draughts(recipe, made, so_far, scenario.shift.opens)
        stock = stock_taken(recipe, wanted, scenario, so_far, draughts)
        least = wanted - sum(part.size for part in stock)
        if recipe.counted:
            least = Fraction(ceil(least))
        if least:
            quantity = raised_to_least_fill(recipe, least, forced[name])
            numbers = batch_numbers(recipe, quantity, forced[name])
            batches = {index: split(quantity, number, counted=recipe.counted) for index, number in numbers.items()}
        else:
            quantity, batches = least, {entry.index: () for entry in recipe.flow.steps}
        production = Production(recipe, need[name], least, quantity, batches, stock)
        made[name] = production if so_far is None else continued(production, so_far)
        for taking in recipe.flow.takings:
            # Also what nothing is needed of keeps its place among the items, whatever is in stock.
            taken = made[name].taken(taking, recipes[taking.component], made[name].total(taking.entry))
            need[taking.component] = need.get(taking.component, Fraction(0)) + taken
    return made


def _draughts(
    component: Recipe, made: Mapping[str, Production], so_far: SoFar, opens: int
) -> tuple[tuple[int, Fraction], ...]:
    """When batches that have begun took up a component, minutes after opening, and how much of it with its loss."""
    found = []
    for user in made.values():
        for taking in user.recipe.flow.takings:
            if taking.component == component.name:
                entry = user.recipe.flow.entries[taking.entry]
                for run in so_far.begun((user.recipe.name, entry.name, entry.round)):
                    size = user.taken(taking, component, run.size) / (1 - component.item.loss)
                    found.append((run.start - opens, size))
    return tuple(sorted(found))


def amounts_of(made: Mapping[str, Production]) -> tuple[AmountMade, ...]:
    """How much of each item is made.

    Args:
        made: every item.
    """
    return tuple(
        AmountMade(
            name,
            production.recipe.item.makes.unit,
            production.made,
            production.least,
            production.made / production.recipe.item.makes.amount,
            production.stocked,
        )
        for name, production in made.items()
    )
