"""Taking things and people away: what becomes of the plain data, and how it is told."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from altered import changed
from planned import step, wait
from readable import raw

from stationplan.network import build
from stationplan.network.network import Crew
from stationplan.plan.alteration import Alteration
from stationplan.plan.reductions import fewer_people, fewer_stations, is_the_last, only_what_is_made
from stationplan.scenario import InvalidScenario, from_plain


def without(data: dict[str, Any], change: Alteration, size: int = 1) -> dict[str, Any]:
    copy = deepcopy(data)
    change.apply(copy, size)
    return copy


def crews(data: dict[str, Any]) -> list[Alteration]:
    scenario = from_plain(data)
    return [fewer_people(group, scenario) for group in build(scenario).resources if isinstance(group, Crew)]


def test_there_may_be_fewer_of_an_equipment() -> None:
    data = raw(step("bake", equipment="oven at 180 C"))
    change = fewer_stations(from_plain(data), 0)
    assert [change.tell(size) for size in range(1, change.most + 1)] == ["one oven fewer", "without the ovens"]
    assert changed(data, change, 1)["kitchen"]["equipment"][0]["count"] == 1


def test_without_the_last_of_what_a_step_needs_the_scenario_cannot_be_read() -> None:
    data = raw(step("bake", equipment="oven at 180 C"), wait("cool", "5 min", **{"in": "rack"}))
    for position, name in ((0, "oven"), (1, "rack")):
        change = fewer_stations(from_plain(data), position)
        gone = without(data, change, change.most)
        assert name not in [machine["name"] for machine in gone["kitchen"]["equipment"]]
        with pytest.raises(InvalidScenario):
            from_plain(gone)


RACK = {"name": "rack", "kind": "rack", "holds": "4 trays"}
KITCHEN = [
    {"name": "deck oven", "kind": "oven", "holds": "2 trays"},
    {"name": "fan oven", "kind": "oven", "holds": "4 trays"},
]


@pytest.mark.parametrize(
    ("written", "left"),
    [
        ("deck oven at 180 C or fan oven at 170 C", ["fan oven at 170 C"]),
        (["Deck oven at 180 C", {"use": "fan oven", "at": "170 C"}], [{"use": "fan oven", "at": "170 C"}]),
        ("oven at 180 C", "oven at 180 C"),
    ],
)
def test_a_step_that_may_be_done_elsewhere_is_done_there(written: object, left: object) -> None:
    inside = {"repeat": 2, "steps": [step("bake again", equipment=written)]}
    data = raw(step("bake", equipment=written), inside, equipment=KITCHEN)
    after = changed(data, fewer_stations(from_plain(data), 0), 1)
    assert after["products"]["tart"]["steps"][0]["equipment"] == left
    assert after["products"]["tart"]["steps"][1]["steps"][0]["equipment"] == left


def test_of_people_who_are_alike_the_last_leave_first() -> None:
    people = [{"name": "Ines"}, {"name": "Odo", "skills": ["pastry"]}, {"name": "Ada"}]
    alike, other = crews(raw(step("mix"), people=people))
    assert [alike.tell(1), alike.tell(2), other.tell(1)] == [
        "without one of Ines and Ada",
        "without Ines and Ada",
        "without Odo",
    ]
    data = raw(step("mix"), people=people)
    assert [person["name"] for person in without(data, alike)["kitchen"]["people"]] == ["Ines", "Odo"]
    assert [person["name"] for person in without(data, alike, 2)["kitchen"]["people"]] == ["Odo"]
    assert alike.most == 2


def test_what_nobody_ordered_is_left_out_with_the_washing_times_that_are_for_it() -> None:
    mixer = {
        "name": "bowl mixer",
        "kind": "mixer",
        "changeovers": [
            {"before": "anything", "after": "tart", "takes": "2 min"},
            {"before": "tart", "after": "bread", "takes": "4 min"},
        ],
    }
    filling = {"makes": "1 kg", "steps": [step("stir", equipment="bowl mixer")]}
    data = raw(
        step("mix", equipment="bowl mixer", uses={"cream": "1 kg"}),
        components={"cream": filling, "dough": filling},
        equipment=[mixer],
    )
    data["products"]["bread"] = {"makes": "1 loaf", "steps": [step("shape", uses={"dough": "1 kg"})]}
    scenario = from_plain(data)
    left = only_what_is_made(build(scenario), scenario, data)
    assert (list(left["components"]), list(left["products"])) == (["cream"], ["tart"])
    assert left["kitchen"]["equipment"][0]["changeovers"] == mixer["changeovers"][:1]
    assert build(from_plain(left)).tasks == build(scenario).tasks
    assert list(data["products"]) == ["tart", "bread"]


def test_only_the_last_thing_that_will_do_proves_anything() -> None:
    data = raw(
        step("bake", equipment="deck oven at 180 C or fan oven at 170 C"),
        step("brown", equipment="fan oven at 200 C"),
        equipment=[*KITCHEN, RACK],
    )
    assert [is_the_last(build(from_plain(data)), position) for position in range(3)] == [False, True, False]
    data = raw(step("bake"), wait("cool", "5 min", **{"in": "rack"}), step("box"), equipment=[RACK])
    assert is_the_last(build(from_plain(data)), 0)


def test_what_is_in_the_bowl_is_not_said_where_there_is_no_bowl_any_more() -> None:
    kitchen = [{"name": "planetary", "kind": "mixer"}, {"name": "whisk", "kind": "tool"}]
    data = raw(step("whip", equipment="planetary or whisk", holding="meringue"), equipment=kitchen)
    [mixed] = changed(data, fewer_stations(from_plain(data), 0), 1)["products"]["tart"]["steps"]
    assert "holding" not in mixed
    [whisked] = changed(data, fewer_stations(from_plain(data), 1), 1)["products"]["tart"]["steps"]
    assert whisked["holding"] == "meringue"
