"""An exam as one kitchen: whose equipment, whose hands, and everything else as the recipes say."""

from __future__ import annotations

from typing import Any

import pytest
from exams import raw

from stationplan.plan.exam.kitchen import Place, as_plain, one_kitchen
from stationplan.scenario.loader import from_plain
from stationplan.scenario.models import Repeat, Scenario, Step
from stationplan.scenario.units import HandsOn

AGAIN = {"before": "cake", "after": "cake", "takes": "2 min"}
EQUIPMENT = [
    {"name": "deck oven", "kind": "oven", "holds": "1 tray"},
    {"name": "small oven", "kind": "oven", "holds": "1 tray"},
    {"name": "whisk", "kind": "mixer", "holds": "5 l", "changeovers": [AGAIN]},
    {"name": "shelf", "kind": "rack", "holds": "4 trays"},
]  # fmt: skip
STEPS: list[dict[str, Any]] = [
    {"name": "whip", "takes": "5 min", "equipment": "whisk", "fills": "1 l"},
    {"repeat": 2, "steps": [{"name": "fold", "takes": "2 min"}, {"wait": "rest", "at_least": "5 min", "in": "rack"}]},
    {"name": "bake", "takes": "20 min", "equipment": "oven at 200 C", "load": "1 min"},
    {"name": "carry", "takes": "2 min", "people": "1 porter"},
]


@pytest.fixture(name="kitchen")
def expanded() -> Scenario:
    helper = {"name": "Bram", "skills": "porter"}
    plain = raw(equipment=EQUIPMENT, people=[helper], candidates=["Ada", "Odo"], own=["small oven", "shelf", "whisk"])
    plain["components"] = {"cake": {"makes": "1 tray", "steps": STEPS}}
    plain["products"] = {"tart": {"uses": {"cake": "1 tray"}, "steps": [{"name": "plate", "takes": "3 min"}]}}
    return one_kitchen(from_plain(plain), [Place("Ada", 480), Place("Odo", 490)], 960)


def step(kitchen: Scenario, name: str) -> Step:
    cake = kitchen.components["cake of Odo"]
    entries = [part for entry in cake.steps for part in (entry.steps if isinstance(entry, Repeat) else (entry,))]
    return next(part for part in entries if isinstance(part, Step) and part.name == name)


def test_everybody_has_what_is_their_own_and_all_have_the_rest(kitchen: Scenario) -> None:
    assert [entry.name for entry in kitchen.kitchen.equipment] == [
        "deck oven",
        *(f"{name} of {owner}" for owner in ("Ada", "Odo") for name in ("small oven", "whisk", "shelf")),
    ]


def test_candidates_are_in_for_their_own_time_of_cooking(kitchen: Scenario) -> None:
    assert [(person.name, *map(str, person.hours)) for person in kitchen.kitchen.people] == [
        ("Bram",),
        ("Ada", "08:00-09:00"),
        ("Odo", "08:10-09:10"),
    ]


def test_a_kind_that_is_partly_shared_is_written_out(kitchen: Scenario) -> None:
    assert [need.use for need in step(kitchen, "bake").equipment] == ["deck oven", "small oven of odo"]


def test_a_place_of_ones_own_is_meant_by_its_kind(kitchen: Scenario) -> None:
    repeat = kitchen.components["cake of Odo"].steps[1]
    assert isinstance(repeat, Repeat)
    assert [getattr(entry, "place", None) for entry in repeat.steps] == [None, "shelf of odo"]


def test_work_is_for_the_candidate_unless_a_helper_has_the_skill(kitchen: Scenario) -> None:
    assert [need.skill for need in step(kitchen, "fold").people] == ["candidate 2"]
    assert [need.skill for need in step(kitchen, "carry").people] == ["porter"]


def test_to_name_who_does_it_makes_nothing_hands_on_that_was_not(kitchen: Scenario) -> None:
    assert step(kitchen, "bake").hands() == HandsOn(all=False)
    assert step(kitchen, "whip").people == ()


def test_what_is_in_a_bowl_keeps_its_name(kitchen: Scenario) -> None:
    assert step(kitchen, "whip").holding == "cake"
    assert step(kitchen, "bake").holding is None


def test_the_kitchen_reads_back_as_it_was_written(kitchen: Scenario) -> None:
    assert Scenario.model_validate(as_plain(kitchen)) == kitchen
    assert from_plain(as_plain(kitchen)) == kitchen
