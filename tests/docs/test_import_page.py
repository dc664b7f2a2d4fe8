"""The component that the page of commands shows is what `import recipe` makes of such a recipe."""

from __future__ import annotations

import json

from stationplan.scenario.imports.recipe import read_recipes
from stationplan.scenario.imports.skeleton import skeleton

from .pages import DOCS, blocks

SLOE_JELLY = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "sloe jelly",
    "recipeYield": "1 kg",
    "cookTime": "PT20M",
    "recipeIngredient": ["500 g sloes, frozen", "lemon juice, to taste"],
    "recipeInstructions": [
        {"@type": "HowToStep", "text": "Simmer the sloes for 20 minutes."},
        {"@type": "HowToStep", "text": "Leave to cool."},
    ],
}


def test_the_component_on_the_page_is_what_comes_out() -> None:
    [shown] = [block for block in blocks(DOCS / "commands.md", "yaml") if "sloe jelly" in block]
    written = skeleton(read_recipes(json.dumps(SLOE_JELLY)), "sloe-jelly.json")
    assert written.endswith(f"\n{shown}")
