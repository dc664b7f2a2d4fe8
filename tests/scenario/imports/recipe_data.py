"""Recipes written by us in the vocabulary of schema.org, and what to fill into their blanks."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from stationplan.scenario import InvalidScenario, load

# https://schema.org/Recipe: recipeYield, recipeIngredient, recipeInstructions ("an ordered list with HowToStep and/or
# HowToSection items"), prepTime and cookTime as ISO 8601 durations. https://schema.org/HowToSection and
# https://schema.org/HowToStep: name, text, itemListElement. https://schema.org/HowToDirection: text, performTime.
SLOE_TART: dict[str, Any] = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Sloe tart",
    "recipeYield": ["12", "12 tartlets"],
    "prepTime": "PT30M",
    "cookTime": "PT1H5M",
    "recipeIngredient": ["200 g plain flour, sifted", "1½ cups (355 ml) cream", "2 large eggs", "salt, to taste"],
    "tool": ["stand mixer", {"@type": "HowToTool", "name": "tart rings"}],
    "recipeInstructions": [
        {
            "@type": "HowToSection",
            "name": "Base",
            "itemListElement": [
                {"@type": "HowToStep", "text": "Rub the flour, salt and butter to crumbs. They look like sand."},
                {"@type": "HowToStep", "name": "Step 2", "text": "Leave to rest in the fridge for 45 minutes."},
            ],
        },
        {
            "@type": "HowToSection",
            "name": "Filling",
            "itemListElement": [
                {
                    "@type": "HowToStep",
                    "name": "Warm the cream",
                    "itemListElement": [
                        {"@type": "HowToDirection", "text": "Warm the cream to 82 C.", "performTime": "PT12M"},
                        {"@type": "HowToTip", "text": "It must not boil."},
                    ],
                },
                {"@type": "HowToStep", "text": "Bake at 170 C for 20 min, then cool on a rack."},
            ],
        },
    ],
}

HEAD = """\
name: Trial
shift: {opens: "06:00", closes: "20:00"}
kitchen:
  people: [{name: Ida}]
  equipment: [{name: table, kind: bench}, {name: shelf, kind: rack}]
recipes: recipes.yaml
products: {box: {steps: [{name: fold, takes: 1 min}]}}
orders: [{product: box, quantity: 1}]
"""
_FILLINGS = {
    "makes": "12 pieces",
    "name": "mix",
    "takes": "5 min",
    "hands_on": "all",
    "equipment": "table",
    "at_least": "10 min",
    "in": "shelf\n        fills: 1 place per batch",
}


_KEY_WITH_A_BLANK = re.compile(r'^( *(?:- )?)("(?:[^"\\]|\\.)*"|[^#"\n]*): \?\?\?', re.MULTILINE)


def filled(text: str) -> str:
    """A recipe file with something in each blank; what has no key of the format is an ingredient."""

    def fill(match: re.Match[str]) -> str:
        return f"{match[1]}{match[2]}: {_FILLINGS.get(match[2], '1 g')}"

    return _KEY_WITH_A_BLANK.sub(fill, text)


def lines_with_blanks(text: str) -> list[int]:
    return [line for line, words in enumerate(text.split("\n"), 1) if _KEY_WITH_A_BLANK.match(words)]


def complaints(folder: Path, recipes: str) -> list[str]:
    """What is said of a scenario with these recipes, below their file's name."""
    (folder / "scenario.yaml").write_text(HEAD, encoding="utf-8")
    (folder / "recipes.yaml").write_text(recipes, encoding="utf-8")
    try:
        load(folder)
    except InvalidScenario as error:
        return [str(problem).removeprefix(f"{folder / 'recipes.yaml'}:") for problem in error.problems]
    return []
