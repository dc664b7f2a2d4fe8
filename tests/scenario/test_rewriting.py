"""Values are changed in a file of which everything else stays byte for byte as it is."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from stationplan.scenario import InvalidScenario
from stationplan.scenario.nodes import plain
from stationplan.scenario.reading import UnreadableFile, read_text, read_yaml
from stationplan.scenario.rewriting import Change, Rewritten, rewrite

SCENARIOS = Path(__file__).parents[2] / "scenarios"

RECIPES = """\
# Ours, do not touch.
components:
  plum jam:   # for the tart
    makes: 1 kg
    steps:
      - {name: stone, takes: 5 min per kg,people: 1}   # by hand
      - name: boil
        takes: "20..25 min"    # until it sets
        equipment:
          - {use: ring}
          - {use: kettle, takes: 15 min}
      - {wait: cool, at_least: 1 h}
      - repeat: 2
        steps:
          - { name: stir ,  takes:   2 min }
products: {}
"""
STONE = {"name": "stone", "takes": "5 min per kg", "people": 1}
KETTLE = [{"use": "ring"}, {"use": "kettle", "takes": "15 min"}]
BOIL = {"name": "boil", "takes": "20..25 min", "equipment": KETTLE}
JAM = ("components", "plum jam", "steps")


def change(number: int, written: Any, becomes: str, *tail: str | int) -> Change:
    return Change((*JAM, number, *(tail or ("takes",))), 4, written, becomes)


def rewritten(text: str, *changes: Change) -> Rewritten:
    return rewrite(text, "recipes.yaml", changes)


def refused(text: str, *changes: Change) -> list[str]:
    with pytest.raises(InvalidScenario) as caught:
        rewritten(text, *changes)
    return [str(problem) for problem in caught.value.problems]


def test_only_the_value_is_replaced() -> None:
    new = rewritten(RECIPES, change(0, STONE, "6..8 min per kg"))
    assert new.text == RECIPES.replace("5 min per kg", "6..8 min per kg")
    assert (len(new.made), new.elsewhere) == (1, ())


def test_quotes_stay_and_so_does_what_stands_behind() -> None:
    new = rewritten(RECIPES, change(1, BOIL, "22..30 min"), change(1, BOIL, "16..18 min", "equipment", 1, "takes"))
    assert new.text == RECIPES.replace('"20..25 min"', '"22..30 min"').replace("takes: 15 min", "takes: 16..18 min")


def test_a_step_in_a_repeat_is_found() -> None:
    path = (*JAM, 3, "steps", 0, "takes")
    new = rewritten(RECIPES, Change(path, 6, {"name": "stir", "takes": "2 min"}, "3 min"))
    assert new.text == RECIPES.replace("takes:   2 min }", "takes:   3 min }")


def test_line_ends_of_other_systems_stay() -> None:
    text = RECIPES.replace("\n", "\r\n")
    assert rewritten(text, change(0, STONE, "6 min per kg")).text == text.replace("5 min per kg", "6 min per kg")


def test_signs_of_more_than_one_byte_are_counted_as_one() -> None:
    text = RECIPES.replace("Ours", "Für uns 🍐")
    assert rewritten(text, change(0, STONE, "6 min per kg")).text == text.replace("5 min per kg", "6 min per kg")


def test_a_recipe_of_another_file_is_left_to_it() -> None:
    other = Change(("components", "sponge", "steps", 0, "takes"), 4, {}, "6 min")
    new = rewritten(RECIPES, other, Change(("products", "tart", "steps", 0, "takes"), 4, {}, "6 min"))
    assert (new.text, new.made, len(new.elsewhere)) == (RECIPES, (), 2)


def test_a_step_that_has_changed_is_refused_with_its_line() -> None:
    found = refused(
        RECIPES.replace("20..25 min", "21..25 min"), change(0, STONE, "6 min per kg"), change(1, BOIL, "9 min")
    )
    assert found == [
        "recipes.yaml:8: 'boil' of plum jam is not written as it was in the plan; bring the two together first"
    ]


def test_a_step_that_is_gone_is_refused() -> None:
    [found] = refused(RECIPES, change(7, STONE, "6 min per kg"))
    assert found.startswith("recipes.yaml:5: 'stone' of plum jam is not written as it was in the plan")


def test_of_two_versions_of_a_step_the_one_in_the_file_counts() -> None:
    old = {**STONE, "takes": "4 min per kg"}
    new = rewritten(RECIPES, change(0, old, "9 min per kg"), change(0, STONE, "6 min per kg"))
    assert new.text == RECIPES.replace("5 min per kg", "6 min per kg")


def test_what_an_alias_repeats_is_refused() -> None:
    text = RECIPES.replace("- {name: stone", "- &stone {name: stone").replace(
        "products: {}", "products: {tart: {steps: [*stone]}}"
    )
    [found] = refused(text, change(0, STONE, "6 min per kg"))
    assert found.startswith("recipes.yaml:6: 'stone' of plum jam stands in several places through an alias (*)")
    marked = RECIPES.replace("takes: 5 min", "takes: &five 5 min")
    [found] = refused(marked, change(0, STONE, "6 min per kg"))
    assert found == "recipes.yaml:6: the time of 'stone' of plum jam is marked with &; take the mark away first"


def test_a_time_in_a_block_is_refused() -> None:
    text = RECIPES.replace('"20..25 min"    # until it sets', ">-\n          20..25 min")
    [found] = refused(text, change(1, BOIL, "9 min"))
    assert found == "recipes.yaml:8: 'boil' of plum jam has its time on lines of their own; write it behind takes"


def test_what_is_no_file_with_recipes_is_refused() -> None:
    assert refused("- one\n- two\n", change(0, STONE, "9 min")) == [
        "recipes.yaml:1: this is not a scenario, nor a file with recipes"
    ]
    [found] = refused("components: {}\ncomponents: {}\n", change(0, STONE, "9 min"))
    assert "stands here twice" in found
    with pytest.raises(UnreadableFile):
        rewritten("components: [", change(0, STONE, "9 min"))


@pytest.mark.parametrize("path", sorted(SCENARIOS.glob("*/*.yaml")), ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_every_time_of_our_scenarios_can_be_changed_and_nothing_else_is(path: Path) -> None:
    text = read_text(path)
    before = plain(read_yaml(text, str(path), 0, []))
    changes = list(_times(before, ()))
    after = plain(read_yaml(rewrite(text, str(path), changes).text, str(path), 0, []))
    assert list(_times(after, ())) == [
        Change(change.path, change.depth, {**change.written, "takes": "7..9 min"}, "7..9 min") for change in changes
    ]
    for change in changes:
        _step(after, change)["takes"] = change.written["takes"]
    assert after == before
    kept = [line for line in text.splitlines(keepends=True) if "takes:" not in line]
    new = rewrite(text, str(path), changes).text
    assert [line for line in new.splitlines(keepends=True) if "takes:" not in line] == kept


def _times(value: Any, path: tuple[str | int, ...]) -> Any:
    if isinstance(value, dict):
        if "takes" in value and "name" in value:
            yield Change((*path, "takes"), len(path), dict(value), "7..9 min")
        for key, inner in value.items():
            yield from _times(inner, (*path, key))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from _times(inner, (*path, number))


def _step(value: Any, change: Change) -> Any:
    for part in change.path[: change.depth]:
        value = value[part]
    return value
