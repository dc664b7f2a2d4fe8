"""A plan that keeps every rule passes."""

from __future__ import annotations

import copy

from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.scenario.models import Scenario

from .hand_made import SCENARIO, hand_made, hand_made_plan


def test_the_plan_made_by_hand_has_no_fault() -> None:
    assert check_plan(hand_made_plan()) == ()


def test_the_scenario_may_be_handed_over_instead_of_the_one_in_the_plan() -> None:
    plan = hand_made()
    plan["scenario"] = {}

    assert check_plan(Plan.model_validate(plan), Scenario.model_validate(SCENARIO)) == ()


def test_a_plan_by_the_shortest_times_is_checked_by_the_shortest_times() -> None:
    plan = hand_made()
    plan["durations"] = "shortest"

    sentences = [fault.sentence for fault in check_plan(Plan.model_validate(plan))]

    # Whipping takes 4..5 minutes and baking 10..12, with 3 for loading and unloading; the other steps have one time.
    assert sentences == [
        "Aa1 (nut base, whip) runs from 06:00 to 06:05, 5 minutes, but takes 4.",
        "Aa2 (nut base, whip) runs from 06:05 to 06:10, 5 minutes, but takes 4.",
        "Ac1 (nut base, bake) runs from 06:16 to 06:31, 15 minutes, but takes 13.",
        "Ac2 (nut base, bake) runs from 06:18 to 06:33, 15 minutes, but takes 13.",
    ]


def test_a_typical_time_is_half_way_and_rounded_up() -> None:
    plan = hand_made()
    plan["durations"] = "typical"

    sentences = [fault.sentence for fault in check_plan(Plan.model_validate(plan))]

    # 4..5 minutes are 4 1/2, rounded up 5: only baking differs, 3 + 11.
    assert sentences == [
        "Ac1 (nut base, bake) runs from 06:16 to 06:31, 15 minutes, but takes 14.",
        "Ac2 (nut base, bake) runs from 06:18 to 06:33, 15 minutes, but takes 14.",
    ]


def test_hours_that_touch_are_one_stretch() -> None:
    plan = hand_made()
    plan["scenario"]["kitchen"]["people"][0]["hours"] = ["06:41-14:00", "06:00-06:41"]

    # Ada fills cups from 06:40 to 06:42.
    assert check_plan(Plan.model_validate(plan)) == ()


def test_checking_changes_nothing() -> None:
    plan = hand_made_plan()
    before = copy.deepcopy(plan.model_dump())

    check_plan(plan)

    assert plan.model_dump() == before
