"""Checks of what is said about ingredients."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.checks.entries import all_steps
from stationplan.scenario.fields import CONVERSIONS
from stationplan.scenario.pieces import grams_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.nodes import Path
    from stationplan.scenario.sentences import Finding
    from stationplan.scenario.units import Quantity


def ingredients_twice(draft: Draft) -> Iterator[Finding]:
    """Two descriptions whose names differ only in capitals."""
    seen: dict[str, str] = {}
    for name in draft.ingredients:
        earlier = seen.setdefault(name.casefold(), name)
        if earlier != name:
            yield ("ingredients", name), f"'{name}' and '{earlier}' differ only in capitals; keep one of them"


def weights_of_pieces(draft: Draft) -> Iterator[Finding]:
    """``weighs`` that is no weight of a piece or measure."""
    for name, ingredient in draft.ingredients.items():
        weighs = ingredient.weighs
        if weighs is None:
            continue
        if weighs.per is None or weighs.amount.unit != "g" or weighs.per.unit == "g" or weighs.amount.amount <= 0:
            sentence = f"'{weighs}' does not say what one weighs; write it like 50 g per egg or 1030 g per l"
            yield ("ingredients", name, "weighs"), sentence


def strengths_of_gelatin(draft: Draft) -> Iterator[Finding]:
    """Gelatin of another strength in the store, without all that is needed to convert it."""
    for name, ingredient in draft.ingredients.items():
        path = ("ingredients", name)
        if ingredient.in_store is None:
            if ingredient.convert is not None:
                yield (*path, "convert"), f"nothing is converted; say with in_store how strong the {name} you have is"
        elif ingredient.bloom is None:
            yield (*path, "in_store"), f"say with bloom which strength of {name} the recipes reckon with, such as 200"
        elif ingredient.in_store != ingredient.bloom and ingredient.convert is None:
            ways = " or ".join(f"convert: {way}" for way in CONVERSIONS)
            yield (
                (*path, "in_store"),
                f"there are two rules for {name} of another strength, and they differ; write {ways}",
            )


def amounts_of_gelatin(draft: Draft) -> Iterator[Finding]:
    """An amount that cannot be converted, since nothing tells its weight."""
    described = {name.casefold(): ingredient for name, ingredient in draft.ingredients.items()}
    for path, name, quantity in written_amounts(draft):
        known = described.get(name.casefold())
        if known is not None and known.in_store is not None and grams_of(name, quantity, known) is None:
            sentence = f"'{quantity}' of {name} cannot be converted: nothing tells its weight; write it in g"
            yield path, sentence


def written_amounts(draft: Draft) -> Iterator[tuple[Path, str, Quantity]]:
    """Every ingredient of a recipe: where it stands, its name, and how much."""
    for path, _, item in draft.items():
        for name, quantity in item.ingredients.items():
            yield (*path, "ingredients", name), name, quantity
    for _, _, step, path in all_steps(draft):
        for name, quantity in step.ingredients.items():
            yield (*path, "ingredients", name), name, quantity
