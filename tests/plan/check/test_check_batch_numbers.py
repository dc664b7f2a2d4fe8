"""The check works out by itself how many batches there are: what docs/format/batches.md says, reckoned by hand."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st

from stationplan.engine import solve
from stationplan.network import build
from stationplan.network.quantities import productions
from stationplan.plan.check import FaultKind, check_plan
from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.plan.check.making import work_out_amounts
from stationplan.plan.check.recipe import lay_out
from stationplan.plan.make import make
from stationplan.scenario.loader import from_plain, load
from stationplan.scenario.models import Scenario

from .hand_made import SCENARIO

PROJECT = Path(__file__).parents[3]
ALONG = sorted([*(PROJECT / "scenarios").iterdir(), *(PROJECT / "docs" / "examples").iterdir()])
Change = Callable[[dict[str, Any]], object]
Amounts = dict[str, tuple[Fraction, Fraction, Fraction, tuple[int, ...]]]

EQUIPMENT = [
    {"name": "planetary mixer", "kind": "mixer", "holds": "10 l", "least_fill": "40 %"},
    {"name": "deck oven", "kind": "oven", "holds": "2 trays"},
    {"name": "large oven", "kind": "oven", "holds": "5/2 trays", "range": "100..200 C"},
    {"name": "stove", "kind": "hob", "count": 4},
]
MANY = 2000
BAKE = {"equipment": "deck oven at 180 C"}


def step(name: str, takes: str = "10 min", **more: Any) -> dict[str, Any]:
    return {"name": name, "takes": takes, **more}


def raw(
    *steps: dict[str, Any], quantity: int = 1, components: dict[str, Any] | None = None, equipment: Any = EQUIPMENT
) -> dict[str, Any]:
    """A scenario that makes trays of 'tart'."""
    return {
        "name": "trays of tart",
        "shift": {"opens": "06:00", "closes": "20:00"},
        "kitchen": {"people": [{"name": "Ada"}], "equipment": equipment},
        "components": components or {},
        "products": {"tart": {"makes": "1 tray", "steps": list(steps)}},
        "orders": [{"product": "tart", "quantity": quantity}],
    }


def as_the_check_reads(scenario: Scenario) -> Amounts:
    """Needed, least, made and the batches of every step, by item."""
    making = work_out_amounts(scenario, lay_out(scenario), {})
    return {name: (amount.need, amount.least, amount.wanted, amount.numbers) for name, amount in making.items()}


def as_plans_are_made(scenario: Scenario) -> Amounts:
    return {
        name: (item.need, item.least, item.made, tuple(len(item.batches[index]) for index in sorted(item.batches)))
        for name, item in productions(scenario).items()
    }


def made_and_numbers(plain: dict[str, Any], item: str = "tart") -> tuple[int, list[int]]:
    _, _, made, numbers = as_the_check_reads(Scenario.model_validate(plain))[item]
    assert made.denominator == 1
    return int(made), list(numbers)


def test_the_equipment_demands_them_and_what_follows_goes_on_in_them() -> None:
    assert made_and_numbers(raw(step("line"), step("bake", **BAKE), step("cut"), quantity=7)) == (7, [4, 4, 4])


def test_a_larger_oven_is_followed_in_the_batches_of_what_came_before() -> None:
    kitchen = [*EQUIPMENT, {"name": "freezer", "kind": "freezer", "holds": "6 trays"}]
    plain = raw(step("bake", **BAKE), step("set", equipment="freezer"), equipment=kitchen, quantity=7)

    assert made_and_numbers(plain) == (7, [4, 4])


def test_the_largest_of_several_pieces_of_equipment_counts_in_whole_trays() -> None:
    plain = raw(step("bake", equipment="deck oven at 180 C or large oven at 150 C"), equipment=EQUIPMENT, quantity=5)

    assert made_and_numbers(plain) == (5, [3])


def test_an_oven_that_cannot_be_that_hot_sets_no_limit() -> None:
    tall = {"name": "tall oven", "kind": "oven", "holds": "9 trays", "range": "100..170 C"}
    plain = raw(step("bake", equipment=["deck oven at 180 C", "tall oven at 180 C"]), equipment=[*EQUIPMENT, tall])
    plain["orders"][0]["quantity"] = 9

    assert made_and_numbers(plain) == (9, [5])


def test_a_batch_the_cook_wants_puts_batches_together_again() -> None:
    plain = raw(step("bake", **BAKE), step("box", batch="8 trays"), step("tie"), quantity=7)

    assert made_and_numbers(plain) == (7, [4, 1, 1])


def test_of_several_steps_that_it_follows_the_first_in_the_list_counts() -> None:
    fine, coarse = step("toast", batch="1 tray", after="none"), step("line", batch="3 trays")

    for first, second, number in ((coarse, fine, 2), ({**fine, "after": None}, {**coarse, "after": "none"}, 6)):
        plain = raw(first, second, step("join", after=["toast", "line"]), quantity=6)
        assert made_and_numbers(plain)[1][-1] == number


def test_a_bowl_that_would_not_be_full_enough_puts_batches_together() -> None:
    plain = raw(
        step("bake", **BAKE),
        step("fold", equipment="mixer", fills="1 l per tray"),
        step("set"),
        equipment=EQUIPMENT,
        quantity=9,
    )

    # Nine trays in a bowl that needs four: two batches, not five.
    assert made_and_numbers(plain) == (9, [5, 2, 2])


def test_more_is_made_where_one_batch_does_not_fill_the_bowl() -> None:
    plain = raw(step("whip", equipment="mixer", fills="3/2 l per tray"), equipment=EQUIPMENT, quantity=2)

    # 4 l at 1.5 l per tray are three whole trays.
    assert made_and_numbers(plain) == (3, [1])


def test_a_short_most_inside_an_item_raises_the_coarser_side() -> None:
    steps = [step("whip", "4 min"), {"wait": "stand", "at_most": "9 min"}, step("pipe", "5 min", batch="1 tray")]

    # The third of three batches begins ten minutes after the first.
    assert made_and_numbers(raw(*steps, quantity=2)) == (2, [2, 2])  # whipping takes over the number of piping
    after_rolling = [step("roll", batch="3 trays"), *steps]
    assert made_and_numbers(raw(*after_rolling, quantity=3)) == (3, [1, 3, 3])
    after_rolling[2] = {"wait": "stand", "at_most": "10 min"}
    assert made_and_numbers(raw(*after_rolling, quantity=3)) == (3, [1, 1, 3])


@pytest.mark.parametrize(("at_most", "boils"), [("35 min", 5), ("36 min", 1)])
def test_a_short_most_between_items_counts_all_who_take_it_up(at_most: str, boils: int) -> None:
    glaze = {"makes": "1 kg", "steps": [step("boil")]}
    pour = {"uses": {"glaze": {"amount": "100 g", "at_most": at_most}}}
    plain = raw(step("pour", "7..9 min", batch="1 tray", **pour), quantity=3, components={"glaze": glaze})
    plain["products"]["bun"] = {
        "steps": [step("dip", "1 min", batch="1 piece", uses={"glaze": {"amount": "10 g", "at_most": "2 h"}})]
    }
    plain["orders"].append({"product": "bun", "quantity": 2})

    # The fifth of five batches, at the longest nine minutes each, begins after 36 minutes.
    assert made_and_numbers(plain, "glaze") == (320, [boils])


@pytest.mark.parametrize("folder", ALONG, ids=lambda folder: folder.name)
def test_it_comes_to_the_numbers_that_plans_are_made_by(folder: Path) -> None:
    scenario = load(folder).scenario

    assert as_the_check_reads(scenario) == as_plans_are_made(scenario)


DONE_ON: list[dict[str, Any]] = [
    {},
    {"equipment": "deck oven at 180 C"},
    {"equipment": ["deck oven at 180 C", {"use": "large oven at 150 C", "takes": "9 min + 1 min per tray"}]},
    {"equipment": "deck oven at 180 C", "fills": "1 tray per 20 discs"},
    {"equipment": "planetary mixer"},
    {"equipment": "planetary mixer", "fills": "5 l"},
    {"equipment": "planetary mixer", "fills": "1 l per 7 discs"},
    {"equipment": ["planetary mixer", {"use": "stove", "fills": "1 place per tray"}], "fills": "3/2 l per tray"},
    {"equipment": ["planetary mixer", "stove"], "fills": "2 l per tray"},
    {"equipment": "stove", "fills": "1 place per batch"},
]


def some_step(name: str) -> st.SearchStrategy[dict[str, Any]]:
    chosen = {
        "takes": st.sampled_from(["3..5 min", "1 min per tray", "10 min + 2 min per tray", "40 min"]),
        "batch": st.sampled_from([None, None, "1 tray", "3 trays", "40 discs"]),
        "load": st.sampled_from([None, "90 s"]),
    }
    return st.tuples(st.fixed_dictionaries(chosen), st.sampled_from(DONE_ON)).map(
        lambda parts: {"name": name, **parts[0], **parts[1]}
    )


@st.composite
def some_steps(draw: st.DrawFn) -> list[dict[str, Any]]:
    steps: list[dict[str, Any]] = []
    for place in range(draw(st.integers(1, 4))):
        most = draw(st.sampled_from([None, None, "3 min", "15 min", "1 h"]))
        if place and most:
            steps.append({"wait": f"wait {place}", "at_most": most})
        steps.append(draw(some_step(f"step {place}")))
    if draw(st.booleans()):
        steps.insert(0, {"name": "beside", "takes": "2 min", "batch": draw(st.sampled_from([None, "2 trays"]))})
        steps[1] = {**steps[1], "after": "none"}
        end = [entry for entry in steps if "name" in entry][-1]
        if end is not steps[1]:
            before = steps[-2].get("name") or steps[-2].get("wait")
            end["after"] = draw(st.permutations(["beside", before]))
        else:
            end["after"] = "beside"
    return steps


@st.composite
def some_scenario(draw: st.DrawFn) -> dict[str, Any]:
    def item(**more: Any) -> dict[str, Any]:
        pieces = {"makes": "2 trays", "pieces": "12 discs per tray", "steps": draw(some_steps())}
        return {**pieces, "loss": draw(st.sampled_from([0, "7 %"])), **more}

    def use() -> dict[str, Any]:
        amount = draw(st.sampled_from(["1/3 tray", "1 tray", "30 discs"]))
        return {"amount": amount, "at_most": draw(st.sampled_from([None, "3 min", "20 min", "2 h"]))}

    components = {"base": item(), "top": item(uses={"base": use()})}
    products = {"slab": item(uses={"top": use()}), "block": item(uses={"base": use(), "top": use()})}
    orders = [{"product": name, "quantity": draw(st.integers(1, 30))} for name in products]
    return {**raw(step("none"), equipment=EQUIPMENT), "components": components, "products": products, "orders": orders}


@given(plain=some_scenario())
@settings(max_examples=50, deadline=None, derandomize=True)
def test_it_reads_any_scenario_as_plans_are_made(plain: dict[str, Any]) -> None:
    scenario = Scenario.model_validate(plain)
    try:
        read = as_the_check_reads(scenario)
    except UnclearScenarioError:
        # Not to be compared: where short waits and least fills drive each other up, the numbers have no end.
        reject()
    assume(all(max(numbers) < MANY for *_, numbers in read.values()))
    assert as_plans_are_made(scenario) == read


def entry(plain: dict[str, Any], of: str, name: str) -> Any:
    items = {**plain["components"], **plain["products"]}
    return next(entry for entry in items[of]["steps"] if entry.get("name") == name)


# What the plan is made of, what it is checked against, and the step that is done in a wrong number of batches.
REFUSED: dict[str, tuple[Change, Change, str]] = {
    "one too many of the first step": (
        lambda p: entry(p, "cup", "fill").update(batch="5 pieces"),
        lambda p: entry(p, "cup", "fill").pop("batch", None),
        "fill of cup is done in 2 batches, but should be in 1 batch.",
    ),
    "one too many of a later step": (
        lambda p: None,
        lambda p: entry(p, "nut base", "cut").update(batch="3 trays"),
        "cut of nut base is done in 2 batches, but should be in 1 batch.",
    ),
    "one too few of a step without a limit": (
        lambda p: entry(p, "nut base", "cut").update(batch="3 trays"),
        lambda p: entry(p, "nut base", "cut").pop("batch", None),
        "cut of nut base is done in 1 batch, but should be in 2 batches.",
    ),
}


def faults_against_another_scenario(made_of: Change, against: Change) -> list[tuple[FaultKind, str]]:
    plain, other = deepcopy(SCENARIO), deepcopy(SCENARIO)
    made_of(plain)
    against(other)
    network = build(from_plain(plain))
    plan = make(network, solve(network.problem, effort=0.3, workers=1), plain, durations="longest", seed=0)
    return [(fault.kind, fault.sentence) for fault in check_plan(plan, from_plain(other))]


@pytest.mark.parametrize("name", REFUSED)
def test_a_plan_with_another_number_of_batches_is_refused(name: str) -> None:
    made_of, against, sentence = REFUSED[name]

    assert faults_against_another_scenario(made_of, against) == [(FaultKind.BATCH_NUMBER, sentence)]
