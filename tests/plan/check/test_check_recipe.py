"""Recipes are laid out as they are meant: rounds, what follows what, and the waits in between."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.plan.check.recipe import Recipe, Stage, lay_out
from stationplan.scenario.models import Scenario


def laid_out(*steps: Any, **item: Any) -> Recipe:
    """A product of these entries, laid out."""
    raw = {
        "name": "test",
        "shift": {"opens": "06:00", "closes": "14:00"},
        "kitchen": {"people": [], "equipment": []},
        "products": {"tart": {"steps": list(steps), **item}},
        "orders": [{"product": "tart", "quantity": 1}],
    }
    return lay_out(Scenario.model_validate(raw))["tart"]


def do(name: str, **more: Any) -> dict[str, Any]:
    return {"name": name, "takes": "1 min", **more}


def name_of(stage: Stage | None) -> str:
    assert stage is not None
    return f"{stage.step.name} {stage.round}" if stage.repeated else stage.step.name


def links_of(recipe: Recipe) -> list[tuple[str, str, list[str]]]:
    """Stage before, stage after, waits between."""
    return [(name_of(link.before), name_of(link.after), [wait.name for wait in link.waits]) for link in recipe.links]


def test_each_entry_follows_the_one_above_it() -> None:
    assert links_of(laid_out(do("roll"), do("line"), do("fill"))) == [("roll", "line", []), ("line", "fill", [])]


def test_a_wait_stands_on_the_link_between_the_steps_around_it() -> None:
    recipe = laid_out(
        do("bake"), {"wait": "cool", "at_least": "90 s", "at_most": "270 s"}, {"wait": "chill"}, do("cut")
    )

    assert links_of(recipe) == [("bake", "cut", ["cool", "chill"])]
    # Whole minutes within the limits: 1 1/2 rounded up, 4 1/2 rounded down.
    assert [(wait.least, wait.most) for wait in recipe.links[0].waits] == [(2, 4), (0, None)]


def test_the_limits_of_a_link_are_the_sums_over_its_waits() -> None:
    cool = {"wait": "cool", "at_least": "10 min", "at_most": "20 min"}
    chill = {"wait": "chill", "at_least": "5 min"}

    endless = laid_out(do("bake"), cool, chill, do("cut")).links[0]
    ending = laid_out(do("bake"), cool, {**chill, "at_most": "8 min"}, do("cut")).links[0]

    assert (endless.least_gap, endless.most_gap) == (15, None)
    assert (ending.least_gap, ending.most_gap) == (15, 28)


def test_limits_behind_after_are_the_limits_of_a_link_without_waits() -> None:
    link = laid_out(do("whip"), do("fold", after={"step": "whip", "at_least": "1 min", "at_most": "5 min"})).links[0]

    assert (link.least_gap, link.most_gap) == (1, 5)


def test_rounds_follow_one_another() -> None:
    recipe = laid_out(do("mix"), {"repeat": 2, "steps": [do("fold"), {"wait": "rest"}]}, do("shape"))

    assert links_of(recipe) == [
        ("mix", "fold 1", []),
        ("fold 1", "fold 2", ["rest"]),
        ("fold 2", "shape", ["rest"]),
    ]


def test_after_inside_a_repeat_means_the_same_round_and_from_outside_the_last() -> None:
    group = [do("roll"), do("butter", after="roll"), do("fold", after=["roll", "butter"])]
    recipe = laid_out(do("mix"), {"repeat": 2, "steps": group}, do("shape", after=["fold", "mix"]))

    assert links_of(recipe) == [
        ("mix", "roll 1", []),
        ("roll 1", "butter 1", []),
        ("roll 1", "fold 1", []),
        ("butter 1", "fold 1", []),
        ("fold 1", "roll 2", []),
        ("roll 2", "butter 2", []),
        ("roll 2", "fold 2", []),
        ("butter 2", "fold 2", []),
        ("fold 2", "shape", []),
        ("mix", "shape", []),
    ]


def test_after_inside_a_repeat_may_name_what_stands_outside() -> None:
    recipe = laid_out(
        do("soften"),
        do("mix", after="none"),
        {"repeat": 2, "steps": [do("fold"), do("turn", after=["fold", "soften", "rest"])]},
        do("rest", after="none"),
        do("shape", after="turn"),
    )

    assert links_of(recipe) == [
        ("mix", "fold 1", []),
        ("fold 1", "turn 1", []),
        ("soften", "turn 1", []),
        ("rest", "turn 1", []),
        ("turn 1", "fold 2", []),
        ("fold 2", "turn 2", []),
        ("soften", "turn 2", []),
        ("rest", "turn 2", []),
        ("turn 2", "shape", []),
    ]


def test_a_step_after_none_follows_nothing() -> None:
    recipe = laid_out(do("bake"), do("boxes", after="none"), do("pack", after=["bake", "boxes"]))

    assert links_of(recipe) == [("bake", "pack", []), ("boxes", "pack", [])]


def test_waits_at_the_end_are_trailing() -> None:
    recipe = laid_out(do("glaze"), {"wait": "set"}, {"wait": "thaw"})

    assert (name_of(recipe.last), [wait.name for wait in recipe.trailing]) == ("glaze", ["set", "thaw"])
    assert recipe.links == ()


def test_an_item_takes_up_its_own_uses_at_its_first_step_and_a_steps_uses_there_in_the_first_round() -> None:
    recipe = laid_out(
        do("line"),
        {"repeat": 2, "steps": [do("layer", uses={"cream": "1 g"})]},
        uses={"shell": "1 piece"},
    )

    assert [(taken.component, name_of(taken.stage)) for taken in recipe.takes_up] == [
        ("shell", "line"),
        ("cream", "layer 1"),
    ]


@pytest.mark.parametrize(
    "steps",
    [
        (do("bake"), do("boxes", after="none")),
        (do("bake"), do("pack", after="glaze")),
        ({"wait": "rest"},),
        ({"wait": "rest"}, {"wait": "cool"}),
        (do("bake"), {"wait": "cool", "after": "chill"}, {"wait": "chill", "after": "cool"}, do("cut", after="chill")),
        (do("bake"), do("mix", after="none"), {"wait": "cool", "after": ["bake", "mix"]}),
    ],
    ids=["two ends", "after nothing there", "a wait alone", "waits alone", "waits in a circle", "a wait after two"],
)
def test_a_recipe_without_a_single_meaning_is_refused(steps: tuple[Any, ...]) -> None:
    with pytest.raises(UnclearScenarioError):
        laid_out(*steps)
