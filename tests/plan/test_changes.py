"""Ovens that heat and cool, bowls that are washed."""

from __future__ import annotations

from typing import Any

import pytest
from planned import by_hand, plan_by_hand, raw, step

from stationplan.network import build
from stationplan.plan.changes import changes_of
from stationplan.plan.check import check_plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario.models import Scenario

OPENS = 360


def bake(name: str, setting: str, **more: Any) -> dict[str, Any]:
    return step(name, "20 min", equipment=f"oven at {setting}", **more)


def changes(
    scenario: dict[str, Any], on: dict[str, tuple[str, ...]] | None = None, **starts: int
) -> list[tuple[Any, ...]]:
    found = changes_of(by_hand(scenario, on, **starts))
    return [(c.station, c.start - OPENS, c.end - OPENS, c.kind, c.before, c.after) for c in found]


def test_an_oven_heats_just_before_its_first_load() -> None:
    assert changes(raw(bake("bake", "180 C")), Aa1=40) == [("oven 1", 24, 40, "heat", "20 C", "180 C")]


@pytest.mark.parametrize(
    ("second", "starts", "expected"),
    [
        ("200 C", 70, (68, 70, "heat", "180 C", "200 C")),
        ("160 C", 70, (66, 70, "cool", "180 C", "160 C")),
        ("180 C fan", 70, (69, 70, "setting", "180 C", "180 C fan")),
    ],
)
def test_between_two_settings_it_changes_just_before_the_second(
    second: str, starts: int, expected: tuple[Any, ...]
) -> None:
    found = changes(raw(bake("bake", "180 C"), bake("dry", second)), Aa1=16, Ab1=starts)
    assert found[1:] == [("oven 1", *expected)]


def test_loads_at_one_setting_need_no_change() -> None:
    found = changes(raw(bake("bake", "180 C", batch="1 tray"), quantity=2), Aa1=16, Aa2=20)
    assert len(found) == 1


def test_an_oven_that_is_hot_when_the_shift_opens_need_not_heat() -> None:
    hot = [{"name": "oven", "kind": "oven", "holds": "2 trays", "starts_at": "180 C"}]
    assert changes(raw(bake("bake", "180 C"), equipment=hot), Aa1=0) == []


DAY = 24 * 60
SHUT = ["06:00-18:00", "day 2 06:00-18:00"]
"""Nobody is in overnight."""


@pytest.mark.parametrize(
    ("people", "first", "second", "expected"),
    [
        # Cold again on the second day, and heated once more.
        ([{"name": "Ida", "hours": SHUT}], 16, DAY + 30, [(0, 16), (DAY + 14, DAY + 30)]),
        # Somebody works through the night.
        ([{"name": "Ida", "hours": SHUT}, {"name": "Bo"}], 16, DAY + 30, [(0, 16)]),
        # Something is in it when the kitchen opens.
        ([{"name": "Ida", "hours": SHUT}], DAY - 10, DAY + 5, [(DAY - 26, DAY - 10)]),
        # It has come out by then.
        ([{"name": "Ida", "hours": SHUT}], DAY - 20, DAY + 16, [(DAY - 36, DAY - 20), (DAY, DAY + 16)]),
    ],
)
def test_an_oven_is_cold_again_when_the_kitchen_opens_after_a_night(
    people: list[dict[str, Any]], first: int, second: int, expected: list[tuple[int, int]]
) -> None:
    scenario = raw(bake("bake", "180 C", batch="1 tray", hands_on="none"), quantity=2, people=people)
    scenario["shift"] = {"opens": "06:00", "closes": "day 2 18:00"}
    assert [(start, end) for _, start, end, *_ in changes(scenario, Aa1=first, Aa2=second)] == expected
    assert check_plan(plan_by_hand(scenario, Aa1=first, Aa2=second)) == ()


def test_a_plan_leaves_a_cold_oven_the_time_to_heat_on_every_day() -> None:
    """The baker comes on the second day, by when the oven that was hot on the first is cold: 16 minutes to 180 C."""
    people = [{"name": "Ida", "hours": SHUT}, {"name": "Bo", "skills": "baker", "hours": SHUT[1]}]
    early = bake("dry", "180 C", hands_on="all")
    scenario = raw(early, bake("bake", "180 C", people="1 baker", hands_on="all"), people=people)
    scenario["shift"] = {"opens": "06:00", "closes": "day 2 18:00"}
    scenario["kitchen"]["equipment"] = [{"name": "oven", "kind": "oven", "holds": "2 trays"}]
    plan = produce(build(Scenario.model_validate(scenario)), scenario, Effort(effort=4.0, workers=1))
    assert [batch.start - OPENS for batch in plan.batches if batch.step == "bake"] == [DAY + 16]


def test_each_chamber_changes_for_itself() -> None:
    scenario = raw(bake("bake", "180 C", batch="1 tray"), quantity=2)
    found = changes(scenario, {"Aa2": ("oven 2",)}, Aa1=16, Aa2=30)
    assert [change[:3] for change in found] == [("oven 1", 0, 16), ("oven 2", 14, 30)]


def test_a_bowl_is_washed_as_soon_as_it_is_empty() -> None:
    whip = step("whip", equipment="washed mixer", fills="1 l per tray", holding="egg white")
    mix = step("mix", equipment="washed mixer", fills="1 l per tray")
    assert changes(raw(whip, mix), Aa1=0, Ab1=40) == [("washed mixer", 10, 15, "wash", "egg white", "tart")]


def test_the_independent_check_asks_for_the_same_changes() -> None:
    whip = step("whip", equipment="washed mixer", fills="1 l per tray", holding="egg white")
    mix = step("mix", equipment="washed mixer", fills="1 l per tray")
    scenario = raw(whip, mix, bake("bake", "180 C"), bake("dry", "150 C fan"), bake("crisp", "180 C"))
    plan = plan_by_hand(scenario, Aa1=0, Ab1=20, Ac1=30, Ad1=60, Ae1=90)
    assert [change.kind for change in plan.changes] == ["wash", "heat", "cool", "heat"]
