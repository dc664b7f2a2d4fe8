"""A recipe becomes a file that our loader complains about exactly at its blanks, and reads once they are filled."""

from __future__ import annotations

import copy
import json
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import example, given, settings
from hypothesis import strategies as st

from stationplan.scenario import load
from stationplan.scenario.imports.recipe import read_recipes
from stationplan.scenario.imports.recipes import recipes_from
from stationplan.scenario.imports.skeleton import skeleton
from stationplan.scenario.models import Step, Wait
from stationplan.scenario.reading import UnreadableFile

from .recipe_data import SLOE_TART, complaints, filled, lines_with_blanks

WRITTEN = """\
  Sloe tart:
    makes: 12 tartlets  # 12, 12 tartlets
    ingredients:
      plain flour: 200 g  # 200 g plain flour, sifted
      cream: 1.5 cups  # 1½ cups (355 ml) cream
      large eggs: 2 pieces  # 2 large eggs
      salt: ???  # salt, to taste
    # Times of the whole recipe, whoever and whatever does it: prepTime 30 min, cookTime 1 h 5 min
    # Tools: stand mixer, tart rings
    steps:
      # Section: Base
      # 1. Rub the flour, salt and butter to crumbs. They look like sand.
      - name: rub the flour
        takes: ???
        hands_on: ???  # all, none, or a part such as first 2 min
        equipment: ???  # such as mixer, or oven at 180 C; remove the line where hands do it
      # 2. Leave to rest in the fridge for 45 minutes.
      - wait: rest
        at_least: ???  # the recipe says: 45 minutes
        in: ???  # such as fridge, and below it fills: 1 tray per batch; or remove the line
      # Section: Filling
      # 3. Warm the cream to 82 C. It must not boil.
      - name: Warm the cream
        takes: 12 min
        hands_on: ???  # all, none, or a part such as first 2 min
        equipment: ???  # the recipe says: 82 C; such as mixer, or oven at 180 C; remove the line where hands do it
      # 4. Bake at 170 C for 20 min, then cool on a rack.
      - name: bake at 170 C
        takes: ???  # the recipe says: 20 min
        hands_on: ???  # all, none, or a part such as first 2 min
        equipment: ???  # the recipe says: 170 C; such as mixer, or oven at 180 C; remove the line where hands do it
      - wait: cool
        at_least: ???  # the recipe says: 20 min
        in: ???  # such as fridge, and below it fills: 1 tray per batch; or remove the line
"""


def written(document: Any) -> str:
    return skeleton(read_recipes(json.dumps(document)), "recipe.json")


def test_a_recipe_is_written_down_with_its_texts_and_blanks() -> None:
    assert written(SLOE_TART).partition("components:\n")[2] == WRITTEN


def test_the_loader_complains_at_every_blank_and_nowhere_else(tmp_path: Path) -> None:
    text = written(SLOE_TART)
    told = complaints(tmp_path, text)
    assert [int(line.partition(":")[0]) for line in told] == lines_with_blanks(text)
    assert all("there is still a blank (???) behind '" in line for line in told)
    assert len(told) == 13


def test_the_loader_complains_of_a_filled_blank_that_is_wrong_and_of_those_that_are_left(tmp_path: Path) -> None:
    text = written(SLOE_TART).replace("takes: ???", "takes: soon", 1)
    told = complaints(tmp_path, text)
    assert len(told) == 13
    assert sum("'soon' is not a time" in line for line in told) == 1


def test_once_the_blanks_are_filled_the_file_is_read(tmp_path: Path) -> None:
    assert complaints(tmp_path, filled(written(SLOE_TART))) == []
    tart = load(tmp_path).scenario.components["Sloe tart"]
    assert str(tart.makes) == "12 tartlets"
    assert {name: str(amount) for name, amount in tart.ingredients.items()}["cream"] == "1.5 cups"
    assert [entry.name if isinstance(entry, Step) else isinstance(entry, Wait) for entry in tart.steps] == [
        "rub the flour",
        True,
        "Warm the cream",
        "bake at 170 C",
        True,
    ]


def test_an_ingredient_that_stands_twice_is_added_up_where_it_can_be() -> None:
    lines = ["50 g sugar", "1 tbsp Sugar", "30 g sugar", "sugar for dusting"]
    text = written({"@type": "Recipe", "name": "x", "recipeIngredient": lines})
    assert "\n      sugar: 80 g  # 50 g sugar; 30 g sugar\n" in text
    assert "\n      Sugar 2: 1 tbsp  # 1 tbsp Sugar\n" in text


def test_a_yield_in_words_is_a_quantity_where_it_is_clear() -> None:
    said = {
        "Serves 8": "8 servings",
        "Makes about 2 trays": "2 trays",
        "1 kg": "1 kg",
        "6-8 servings": "???",
        "9": "???",
    }
    for told, makes in said.items():
        assert f"\n    makes: {makes}  # {told}\n" in written({"@type": "Recipe", "name": "x", "recipeYield": told})


def test_the_rest_of_something_is_no_rest() -> None:
    steps = ["Mix.", "Add the rest of the sugar.", "Heat the set honey."]
    assert "wait:" not in written({"@type": "Recipe", "name": "x", "recipeInstructions": steps})


def test_a_text_that_does_more_than_rest_is_a_step_too() -> None:
    text = written({"@type": "Recipe", "name": "x", "recipeInstructions": ["Chill it.", "Chill, then roll it out."]})
    assert text.count("- name: ") == 2
    assert text.count("- wait: ") == 2


def test_recipes_of_one_name_are_told_apart(tmp_path: Path) -> None:
    text = written([SLOE_TART, SLOE_TART])
    assert "\n  Sloe tart 2:\n" in text
    assert complaints(tmp_path, filled(text)) == []


def test_a_file_is_read_from_disk_with_its_name_in_the_first_line(tmp_path: Path) -> None:
    path = tmp_path / "sloe.json"
    path.write_text(json.dumps(SLOE_TART), encoding="utf-8")
    assert recipes_from(path).startswith("# From sloe.json. ??? marks what such a recipe does not say.")


ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 10**12),
    st.floats(),
    st.text(max_size=30),
    st.sampled_from(
        [
            *(
                "???",
                "- a: b",
                "# x",
                "null",
                "{a",
                "'",
                '"',
                "\u2028",
                "\ud800",
                "Chill",
                "a" * 200,
                "1 kg salt: fine",
            ),
            *("<li>Chill</li>", "&#0;", "PT5M", "1 g x # y", "2 x y", "*a", "&b", "!c", "%d", "true", "12 s", "? : -"),
        ]
    ),
    st.just([]),
    st.just({}),
    st.just({"@type": "HowToStep"}),
    st.just({"@type": "HowToSection", "name": "?", "itemListElement": "x"}),
)


def places(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [inner for key, part in pairs for inner in [(*path, key), *places(part, (*path, key))]]


@st.composite
def odd_recipes(draw: st.DrawFn) -> dict[str, Any]:
    recipe = copy.deepcopy(SLOE_TART)
    for _ in range(draw(st.integers(1, 5))):
        path = draw(st.sampled_from([place for place in places(recipe) if place != ("@type",)]))
        around: Any = recipe
        for part in path[:-1]:
            around = around[part]
        around[path[-1]] = copy.deepcopy(draw(ODD))
    return recipe


@settings(max_examples=60, deadline=None)
@given(odd_recipes())
@example({"@type": "Recipe"})
@example({"@type": "Recipe", "name": "???", "recipeIngredient": ["???", "1 g ???"], "recipeInstructions": ["???", "x"]})
@example({"@type": "Recipe", "recipeInstructions": ["Chill", "chill", "chill 2", "Mix. Chill"]})
@example({"@type": "Recipe", "recipeInstructions": ["NONE", "none"]})
@example({"@type": "Recipe", "recipeIngredient": ["1 g a, b", "1 ml a", "2 pieces a 2", "1 g A"]})
def test_however_odd_a_recipe_is_its_file_has_complaints_at_its_blanks_only(document: dict[str, Any]) -> None:
    text = written(document)
    with tempfile.TemporaryDirectory() as folder:
        told = complaints(Path(folder), text)
        assert [int(line.partition(":")[0]) for line in told] == lines_with_blanks(text)
        assert complaints(Path(folder), filled(text)) == []


@settings(max_examples=150, deadline=None)
@given(st.integers(0, 2000), st.integers(0, 20), st.text(max_size=4), st.booleans())
def test_damaged_json_is_read_or_refused(start: int, length: int, new: str, in_a_page: bool) -> None:
    text = json.dumps(SLOE_TART)
    text = text[:start] + new + text[start + length :]
    if in_a_page:
        text = f'<html><script type="application/ld+json">{text}</script>'
    try:
        recipes = read_recipes(text)
    except UnreadableFile:
        return
    assert skeleton(recipes, "x").startswith("# From x.")
