"""Recipes are found wherever the vocabulary of schema.org and JSON-LD allow them to stand."""

from __future__ import annotations

import json
from typing import Any

import pytest

from stationplan.scenario.imports.recipe import Instruction, Recipe, read_recipes
from stationplan.scenario.reading import UnreadableFile

from .recipe_data import SLOE_TART


def only(document: Any) -> Recipe:
    (recipe,) = read_recipes(json.dumps(document))
    return recipe


def instructions(value: Any) -> list[str]:
    return [one.text for one in only({"@type": "Recipe", "recipeInstructions": value}).instructions]


def test_a_recipe_says_what_its_properties_say() -> None:
    assert only(SLOE_TART) == Recipe(
        name="Sloe tart",
        yields=("12", "12 tartlets"),
        ingredients=("200 g plain flour, sifted", "1½ cups (355 ml) cream", "2 large eggs", "salt, to taste"),
        instructions=(
            Instruction("Rub the flour, salt and butter to crumbs. They look like sand.", "", "Base"),
            Instruction("Leave to rest in the fridge for 45 minutes.", "", "Base"),
            Instruction("Warm the cream to 82 C. It must not boil.", "Warm the cream", "Filling", "12 min"),
            Instruction("Bake at 170 C for 20 min, then cool on a rack.", "", "Filling"),
        ),
        times=(("prepTime", "30 min"), ("cookTime", "1 h 5 min")),
        tools=("stand mixer", "tart rings"),
    )


# JSON-LD 1.1 (W3C): @graph (section 4.9), several types for a node (3.5), compact and full names of a vocabulary (4.1),
# references by @id (3.3), value objects and lists (4.2 and 4.3).
@pytest.mark.parametrize(
    "document",
    [
        [{"@type": "WebPage"}, SLOE_TART],
        {"@context": "https://schema.org", "@graph": [{"@type": "Person", "name": "Ida"}, SLOE_TART]},
        {"@type": "WebPage", "mainEntity": SLOE_TART},
        {**SLOE_TART, "@type": ["Thing", "Recipe"]},
        {**SLOE_TART, "@type": "https://schema.org/Recipe"},
        {**SLOE_TART, "@type": "schema:Recipe"},
        {(key if key[0] == "@" else f"schema:{key}"): value for key, value in SLOE_TART.items()},
        {**SLOE_TART, "name": {"@value": "Sloe tart", "@language": "en"}},
        {**SLOE_TART, "recipeIngredient": {"@list": SLOE_TART["recipeIngredient"]}},
        [{**SLOE_TART, "name": {"@id": "#n"}}, {"@id": "#n", "name": "Sloe tart"}],
    ],
)
def test_a_recipe_is_found_wherever_it_stands(document: Any) -> None:
    assert only(document) == only(SLOE_TART)


def test_several_recipes_come_in_their_order() -> None:
    found = read_recipes(json.dumps({"@graph": [{"@type": "Recipe", "name": name} for name in "cab"]}))
    assert [recipe.name for recipe in found] == ["c", "a", "b"]


# https://schema.org/recipeInstructions: values may be of type CreativeWork, ItemList or Text.
@pytest.mark.parametrize(
    "value",
    [
        "Whip.\nFold.",
        "<ol><li>Whip.</li><li>Fold.</li></ol>",
        ["Whip.", "Fold."],
        [{"@type": "CreativeWork", "text": "Whip."}, {"@type": "HowToStep", "name": "Fold."}],
        {"@type": "ItemList", "itemListElement": ["Whip.", {"@type": "HowToStep", "text": "Fold."}]},
        {
            "@type": "ItemList",
            "itemListElement": [
                {"@type": "ListItem", "position": 1, "item": {"@type": "HowToStep", "text": "Whip."}},
                {"@type": "ListItem", "position": 2, "item": {"@type": "HowToStep", "text": "<b>Fold.</b>"}},
            ],
        },
    ],
)
def test_instructions_may_have_any_shape_of_the_standard(value: Any) -> None:
    assert instructions(value) == ["Whip.", "Fold."]


# https://schema.org/recipeYield: values may be of type QuantitativeValue or Text.
@pytest.mark.parametrize(
    ("value", "yields"),
    [
        ("24 tartlets", ("24 tartlets",)),
        (24, ("24",)),
        ({"@type": "QuantitativeValue", "value": 24, "unitText": "tartlets"}, ("24 tartlets",)),
        ({"@type": "QuantitativeValue", "value": 1.5, "unitText": "kg"}, ("1.5 kg",)),
        (None, ()),
        (True, ()),
    ],
)
def test_a_yield_may_be_a_text_a_number_or_a_quantity(value: Any, yields: tuple[str, ...]) -> None:
    assert only({"@type": "Recipe", "recipeYield": value}).yields == yields


def test_signs_of_a_web_page_become_text() -> None:
    recipe = only({"@type": "Recipe", "name": "Figs &amp; cr&egrave;me\n\u0007  <i>fine</i>", "prepTime": "half a day"})
    assert recipe.name == "Figs & crème"
    assert recipe.times == (("prepTime", "half a day"),)


def test_a_saved_page_is_read_through_its_scripts() -> None:
    page = (
        "<!doctype html><html><head><script>let a = '<b>';</script>\n"
        '<script type="application/ld+json">{"@type": "WebSite"}</script>\n'
        f'<SCRIPT TYPE="application/ld+json; charset=utf-8">{json.dumps(SLOE_TART)}</SCRIPT></head><body>&amp;</body>'
    )
    assert read_recipes(page) == (only(SLOE_TART),)


@pytest.mark.parametrize(
    ("text", "line", "gist"),
    [
        ("", 1, "this is neither JSON-LD nor a web page"),
        ('{"@type": "Recipe",\n "name": tart}', 2, "expecting value"),
        ("[" * 100_000, None, "nests too deeply"),
        ('{"@type": "Recipe", "recipeYield": 1' + "0" * 5000 + "}", None, "a number that is too long"),
        ("[]", None, "no recipe of schema.org"),
        ('{"@type": "HowTo"}', None, "no recipe of schema.org"),
        ("<html></html>", None, "this page carries no recipe data"),
        ('<html>\n<script type="application/ld+json">\n{"@type" "Recipe"}</script>', 3, "expecting ':' delimiter"),
    ],
)
def test_what_is_no_recipe_is_told_with_its_line(text: str, line: int | None, gist: str) -> None:
    with pytest.raises(UnreadableFile) as caught:
        read_recipes(text)
    assert (caught.value.line, gist in caught.value.sentence) == (line, True), caught.value.sentence


def test_what_refers_to_itself_ends() -> None:
    recipe = {"@type": "Recipe", "recipeInstructions": {"@id": "#s"}}
    loop = {"@id": "#s", "@type": "HowToStep", "itemListElement": [{"@id": "#s"}]}
    assert only([recipe, loop]).instructions == ()
    # Thirty million steps, if all of them were written out.
    chain = [{"@id": f"#{n}", "@type": "HowToStep", "itemListElement": [{"@id": f"#{n + 1}"}] * 32} for n in range(5)]
    recipe = {"@type": "Recipe", "recipeInstructions": {"@id": "#0"}}
    assert only([recipe, *chain, {"@id": "#5", "@type": "HowToStep", "text": "Fold."}]).instructions != ()
