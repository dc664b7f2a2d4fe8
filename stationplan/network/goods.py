"""Ingredients that come late."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stationplan.network.batches import Recipe
    from stationplan.network.flow import Entry
    from stationplan.scenario.models import Scenario


def all_there(recipe: Recipe, entry: Entry, scenario: Scenario) -> tuple[int, str]:
    """When the last of a step's ingredients is there, minutes after opening, and which one it is.

    Args:
        recipe: the item.
        entry: the step.
        scenario: the scenario with its late goods.
    """
    wanted = {name.casefold() for name, _ in recipe.ingredients_into(entry)}
    coming = [
        (goods.since - scenario.shift.opens, goods.ingredient)
        for goods in scenario.goods
        if goods.ingredient.casefold() in wanted
    ]
    return max([(0, ""), *coming])
