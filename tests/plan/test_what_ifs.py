"""Which changes there are to try, and how they are told."""

from __future__ import annotations

from typing import Any

import pytest
from planned import step
from readable import raw

from stationplan.network import build
from stationplan.plan.what_ifs import Choice, WhatIf, what_ifs
from stationplan.scenario import from_plain


def tried(data: dict[str, Any], *choices: Choice) -> list[WhatIf]:
    scenario = from_plain(data)
    return what_ifs(build(scenario), scenario, data, choices)


def sentences(data: dict[str, Any], *choices: Choice) -> list[str]:
    return [change.sentence for change in tried(data, *choices)]


def test_only_what_the_orders_have_a_use_for_is_added_or_taken_away() -> None:
    data = raw(step("bake", equipment="oven at 180 C", people="1 pastry"))
    assert sentences(data, *Choice) == [
        "one more oven",
        "one more person like Ines",
        "ovens of 3 trays, not 2",
        "open as long as it takes",
        "one oven fewer",
        "without one of Ines and Odo",
    ]


def test_people_of_equal_skill_are_one_kind_to_add_one_like_whoever_is_there_longest() -> None:
    people = [
        {"name": "Ines", "skills": ["pastry"], "hours": "06:00-10:00"},
        {"name": "Odo", "skills": ["pastry"], "breaks": ["08:00-08:30"]},
        {"name": "Ada"},
    ]
    data = raw(step("mix"), people=people)
    assert sentences(data, Choice.MORE_PEOPLE) == ["one more person like Odo", "one more person like Ada"]
    assert sentences(data, Choice.FEWER_PEOPLE) == ["without Ines", "without Odo", "without Ada"]


def test_a_larger_oven_has_room_for_one_more() -> None:
    [change] = tried(raw(step("bake", equipment="oven at 180 C")), Choice.LARGER_OVEN)
    assert change.scenario["kitchen"]["equipment"][0]["holds"] == "3 trays"
    assert change.path == ("kitchen", "equipment", 0, "holds")


@pytest.mark.parametrize("oven", [{"name": "oven", "kind": "oven"}, {"name": "oven", "kind": "oven", "holds": "4 kg"}])
def test_an_oven_whose_room_is_not_counted_has_no_next_size(oven: dict[str, str]) -> None:
    assert tried(raw(step("bake", equipment="oven at 180 C", fills="1 kg"), equipment=[oven]), Choice.LARGER_OVEN) == []


def test_every_change_is_a_scenario_of_its_own() -> None:
    data = raw(step("bake", equipment="oven at 180 C"))
    before = repr(data)
    changes = tried(data, *Choice)
    assert repr(data) == before
    assert len({repr(change.scenario) for change in changes}) == len(changes)
