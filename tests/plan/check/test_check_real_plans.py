"""Plans that the package makes pass the check, whatever the scenario asks for.

The check and what makes the plans read a scenario each on its own, so each variant here is one question to which both
give the same answer.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from pathlib import Path
from typing import Any, Literal

import pytest

from stationplan.engine import solve
from stationplan.network import build
from stationplan.plan.check import check_plan
from stationplan.plan.make import make
from stationplan.scenario.loader import from_plain, load

from .hand_made import SCENARIO

SCENARIOS = Path(__file__).parents[3] / "scenarios"
# Enough work for a first plan; how good it is does not matter here.
EFFORT = 0.3

Change = Callable[[dict[str, Any]], object]


def faults_of_a_plan_made(
    raw: dict[str, Any], durations: Literal["longest", "typical", "shortest"] = "longest"
) -> list[str]:
    network = build(from_plain(raw), durations=durations)
    result = solve(network.problem, effort=EFFORT, workers=1)
    plan = make(network, result, raw, durations=durations, seed=0)
    return [fault.sentence for fault in check_plan(plan)]


def item(raw: dict[str, Any], name: str) -> Any:
    return {**raw["components"], **raw["products"]}[name]


def entry(raw: dict[str, Any], of: str, name: str) -> Any:
    return next(entry for entry in item(raw, of)["steps"] if name in (entry.get("name"), entry.get("wait")))


def equipment(raw: dict[str, Any], name: str) -> Any:
    return next(entry for entry in raw["kitchen"]["equipment"] if entry["name"] == name)


def bring_in(raw: dict[str, Any], **more: Any) -> None:
    raw["kitchen"]["equipment"].append(more)


def rest_of_cream(raw: dict[str, Any]) -> Any:
    return item(raw, "cream")["steps"][1]["steps"][1]


def order(raw: dict[str, Any], *quantities: int) -> None:
    for place, quantity in enumerate(quantities):
        raw["orders"][place]["quantity"] = quantity


def small_batches(raw: dict[str, Any]) -> None:
    """Cream for many small batches of slices and cups."""
    order(raw, 40, 12, 30)
    entry(raw, "slice", "assemble")["batch"] = "9 pieces"
    entry(raw, "cup", "fill")["batch"] = "7 pieces"
    equipment(raw, "blast freezer")["holds"] = "30 trays"
    equipment(raw, "rack")["holds"] = "30 trays"


SYRUP = {"makes": "300 g", "loss": "5 %", "steps": [{"name": "boil", "takes": "5 min", "batch": "150 g"}]}


def with_syrup(raw: dict[str, Any]) -> None:
    raw["components"]["syrup"] = SYRUP
    item(raw, "cream")["uses"] = {"syrup": {"amount": "130 g", "loss": "7 %"}}
    item(raw, "cup")["uses"]["syrup"] = "3 g"


def repeat_from_the_start(raw: dict[str, Any]) -> None:
    with_syrup(raw)
    item(raw, "cream")["steps"].pop(0)


def chained_waits_for_delivery(raw: dict[str, Any]) -> None:
    cool = {"wait": "cool", "at_least": "3 min", "in": "rack", "fills": "1 tray per 12 pieces"}
    item(raw, "slice")["steps"].insert(2, cool)


def chained_waits_of_cream(raw: dict[str, Any]) -> None:
    small_batches(raw)
    item(raw, "cream")["steps"] += [
        {"wait": "chill", "at_least": "4 min", "in": "rack", "fills": "1 tray per 300 g"},
        {"wait": "firm", "at_least": "9 min", "in": "freezer", "fills": "1 tray per 700 g"},
    ]


def through_the_night(raw: dict[str, Any]) -> None:
    raw["shift"] = {"opens": "22:00", "closes": "06:00"}
    raw["kitchen"]["people"] = [
        {
            "name": "Ada",
            "skills": ["pastry", "chocolate"],
            "hours": ["22:00-23:30", "day 2 00:00-day 2 06:00"],
            "breaks": "day 2 01:00-day 2 01:30",
        },
        {"name": "Bo", "skills": ["chocolate", "pastry"]},
    ]
    for ordered in raw["orders"]:
        ordered.pop("due", None)


def many_dues(raw: dict[str, Any]) -> None:
    raw["orders"] = [
        {"product": "slice", "quantity": 25, "due": "10:00"},
        {"product": "cup", "quantity": 12, "due": "09:00"},
        {"product": "slice", "quantity": 14},
        {"product": "slice", "quantity": 7, "due": "08:30"},
    ]
    entry(raw, "nut base", "cut")["batch"] = "1 tray"
    entry(raw, "cream", "mix")["batch"] = "700 g"
    entry(raw, "slice", "assemble")["batch"] = "9 pieces"


def many_machines(raw: dict[str, Any]) -> None:
    equipment(raw, "deck oven").update(count=2, chambers=2, holds="2 trays")
    equipment(raw, "planetary mixer")["count"] = 2
    order(raw, 40)


def stock_of_everything(raw: dict[str, Any]) -> None:
    """Stock in a place and nowhere, late and early, of one use that rests first, and of a product."""
    small_batches(raw)
    item(raw, "nut base")["shelf_life"] = "90 min"
    item(raw, "slice")["uses"]["nut base"] = {"amount": "1 disc", "at_least": "10 min", "at_most": "1 h", "in": "rack"}
    raw["stock"] = [
        {"item": "nut base", "quantity": "1 tray", "from": "07:00", "use_by": "12:00", "in": "blast freezer"},
        {"item": "nut base", "quantity": "7 discs", "use_by": "11:00", "in": "freezer", "fills": "1 tray per batch"},
        {"item": "nut base", "quantity": "5 discs", "use_by": "10:00"},
        {"item": "cream", "quantity": "400 g"},
        {"item": "slice", "quantity": "11 pieces", "from": "07:30", "in": "rack", "fills": "1 tray per 12 pieces"},
    ]


def stock_of_all(raw: dict[str, Any]) -> None:
    """More of a component than is needed, and all of a product; the other component is left for the cups alone."""
    raw["stock"] = [
        {"item": "nut base", "quantity": "9 trays"},
        {"item": "slice", "quantity": "500 pieces", "from": "07:50"},
    ]


def machines_out_of_use(raw: dict[str, Any]) -> None:
    """One of two ovens for a while, the bowl between two contents, a bench, and the freezer late in the day."""
    order(raw, 30)
    equipment(raw, "deck oven").update(count=2, out_of_use=[{"between": "06:10-07:10", "unit": 2}])
    equipment(raw, "planetary mixer").update(out_of_use="06:08-06:30", slower="30 %")
    equipment(raw, "bench")["out_of_use"] = [{"between": "06:00-06:20", "unit": 1}]
    equipment(raw, "blast freezer")["out_of_use"] = "13:00-"


def oven_back_at_another_heat(raw: dict[str, Any]) -> None:
    equipment(raw, "deck oven").update(starts_at="180 C", out_of_use="06:20-06:50")
    raw["goods"] = [{"ingredient": "Hazelnuts", "from": "06:07"}]
    item(raw, "nut base")["ingredients"] = {"hazelnuts": "200 g"}


def changeovers(raw: dict[str, Any]) -> None:
    equipment(raw, "planetary mixer")["changeovers"] = [
        {"before": "nut foam", "after": "anything", "takes": "20 min"},
        {"before": "cream", "after": "cream", "takes": "3 min"},
        {"before": "nut foam", "after": "nut foam", "takes": "1 min"},
    ]
    entry(raw, "cream", "mix")["batch"] = "500 g"


def a_proved_dough(raw: dict[str, Any]) -> None:
    bring_in(raw, name="proving cabinet", kind="prover", holds="20 trays", starts_at="28 C")
    prove = {"name": "prove", "takes": "30 min", "equipment": "prover at 28 C"}
    item(raw, "nut base")["steps"].insert(2, prove)


def whipped_by_hand_or_by_machine(raw: dict[str, Any]) -> None:
    bring_in(raw, name="tub", kind="tool", count=2)
    by_hand = {"use": "tub", "fills": "1 place per batch", "takes": "9 min"}
    entry(raw, "nut base", "whip")["equipment"] = ["mixer", by_hand]
    order(raw, 40)


def boxes_in_the_meantime(raw: dict[str, Any]) -> None:
    item(raw, "slice")["steps"].insert(1, {"name": "boxes", "takes": "10 min", "after": "none"})
    entry(raw, "slice", "toast")["after"] = ["assemble", "boxes"]


def a_kilogram_product(raw: dict[str, Any]) -> None:
    cook = {"name": "cook", "takes": "10 min per kg", "batch": "700 g"}
    raw["products"]["jam"] = {"makes": "2 kg", "steps": [cook]}
    raw["orders"].append({"product": "jam", "quantity": 1500})


VARIANTS: dict[str, Change] = {
    "as it is": lambda raw: None,
    "more of it": lambda raw: order(raw, 60, 20, 30),
    "losses of products": lambda raw: (item(raw, "slice").update(loss="7 %"), item(raw, "cup").update(loss="3 %")),
    "components of components": with_syrup,
    "a product by weight": a_kilogram_product,
    "surplus for a full bowl": lambda raw: (
        equipment(raw, "planetary mixer").update(least_fill="30 %"),
        entry(raw, "nut base", "whip").pop("batch"),
    ),
    "surplus of something weighed": lambda raw: (
        equipment(raw, "planetary mixer").update(least_fill="50 %"),
        entry(raw, "nut base", "whip").update(fills="2.8 l per tray"),
        entry(raw, "nut base", "whip").pop("batch"),
        entry(raw, "cream", "mix").update(fills="1.7 l per kg"),
    ),
    "batches against full bowls": lambda raw: equipment(raw, "planetary mixer").update(least_fill="15 %"),
    "a bowl that nothing measures": lambda raw: (
        entry(raw, "nut base", "whip").pop("fills"),
        equipment(raw, "planetary mixer").update(least_fill=0),
    ),
    "a bowl without size": lambda raw: (
        equipment(raw, "planetary mixer").pop("holds"),
        equipment(raw, "planetary mixer").update(usable=1, least_fill=0),
    ),
    "an oven without size": lambda raw: (
        equipment(raw, "mini oven").pop("holds"),
        entry(raw, "nut base", "bake").update(equipment="mini oven at 170 C fan"),
    ),
    "degrees in Fahrenheit": lambda raw: (
        entry(raw, "nut base", "bake").update(equipment="deck oven at 350 F"),
        equipment(raw, "deck oven").update(heats="7 F/min"),
    ),
    "an oven that is warm": lambda raw: equipment(raw, "deck oven").update(starts_at="180 C"),
    "an oven that is warm in another mode": lambda raw: equipment(raw, "deck oven").update(starts_at="220 C"),
    "many machines": many_machines,
    "stock of components and of a product": stock_of_everything,
    "stock of all that is needed": stock_of_all,
    "machines out of use for a while": machines_out_of_use,
    "an oven that was out of use, at another heat": oven_back_at_another_heat,
    "changeovers of a bowl": changeovers,
    "a prover": a_proved_dough,
    "steps on a bench": lambda raw: (
        entry(raw, "slice", "assemble").update(equipment="bench"),
        entry(raw, "cup", "fill").update(also={"bench": "2 places"}),
    ),
    "two kinds of equipment for a step": whipped_by_hand_or_by_machine,
    "two freezers": lambda raw: (bring_in(raw, name="cold room", kind="freezer", holds="3 trays"), order(raw, 40)),
    "seconds": lambda raw: (
        entry(raw, "nut base", "cool").update(at_least="630 s"),
        entry(raw, "nut base", "freeze").update(at_most="3601 s"),
        entry(raw, "nut base", "bake").update(load="90 s"),
        entry(raw, "nut base", "whip").update(hands_on="first 100 s"),
    ),
    "hands for all of it": lambda raw: (
        entry(raw, "nut base", "whip").update(hands_on="first 2 min and last 3 min"),
        entry(raw, "nut base", "bake").update(hands_on="all"),
    ),
    "two people to load": lambda raw: entry(raw, "nut base", "bake").update(people="2", hands_on="first 1 min"),
    "through the night": through_the_night,
    "a single round": lambda raw: item(raw, "cream")["steps"][1].update(repeat=1),
    "five rounds": lambda raw: item(raw, "cream")["steps"][1].update(repeat=5),
    "a repeat from the start": repeat_from_the_start,
    "several things before a step": lambda raw: entry(raw, "nut base", "cut").update(
        after=["freeze", {"step": "whip", "at_least": "1 h"}]
    ),
    "something in the meantime": boxes_in_the_meantime,
    "a component that stands before it is used": lambda raw: item(raw, "slice")["uses"].update(
        {"nut base": {"amount": "1 disc", "in": "rack", "at_least": "5 min", "at_most": "2 h"}}
    ),
    "a component within minutes": lambda raw: (
        item(raw, "slice")["uses"].update({"nut base": {"amount": "1 disc", "at_least": "5 min", "at_most": "7 min"}}),
        entry(raw, "slice", "assemble").pop("batch"),
    ),
    "a component that stands after its own wait": lambda raw: item(raw, "cup")["uses"].update(
        cream={"amount": "20 g", "in": "bench", "fills": "1 place per batch", "at_least": "7 min", "at_most": "1 h"}
    ),
    "a component with limits after its own wait": lambda raw: item(raw, "cup")["uses"].update(
        cream={"amount": "20 g", "at_least": "7 min", "at_most": "1 h"}
    ),
    "waits in a row for delivery": chained_waits_for_delivery,
    "trays shared by lots": lambda raw: (
        small_batches(raw),
        rest_of_cream(raw).update({"in": "freezer", "fills": "1 tray per 400 g"}),
    ),
    "room for a batch as such": lambda raw: (
        small_batches(raw),
        rest_of_cream(raw).update({"in": "freezer", "fills": "2 trays per batch"}),
    ),
    "trays shared by some of the lots": lambda raw: (
        small_batches(raw),
        item(raw, "cup")["uses"].update(cream={"amount": "20 g", "in": "rack", "fills": "1 tray per 130 g"}),
    ),
    "trays shared in a row of waits": chained_waits_of_cream,
    "many due times": many_dues,
    "orders on the same terms": lambda raw: raw["orders"].append(raw["orders"][0]),
    "late by weight": lambda raw: (
        raw["orders"][1].update(weight=7, due="06:40"),
        raw["orders"][2].update(due="06:10"),
    ),
}


@pytest.mark.parametrize("name", VARIANTS)
def test_what_is_made_of_a_variant_of_the_small_scenario_has_no_fault(name: str) -> None:
    raw = deepcopy(SCENARIO)
    VARIANTS[name](raw)

    assert faults_of_a_plan_made(raw) == []


@pytest.mark.parametrize("durations", ["typical", "shortest"])
def test_what_is_made_by_other_durations_has_no_fault(durations: Literal["typical", "shortest"]) -> None:
    assert faults_of_a_plan_made(SCENARIO, durations) == []


def test_what_is_made_of_a_scenario_that_comes_along_has_no_fault() -> None:
    assert faults_of_a_plan_made(load(SCENARIOS / "first-shift").raw) == []
