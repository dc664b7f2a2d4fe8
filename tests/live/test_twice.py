"""The rest planned anew again and again: a plan that was made while an oven heats hands on how hot it is."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stationplan.live.replan import replan
from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import Effort, produce
from stationplan.plan.so_far import Recorded, so_far_of
from stationplan.scenario import from_plain

from .kitchen import step

CAKES: dict[str, Any] = {
    "name": "two cakes",
    "shift": {"opens": "06:00", "closes": "12:00"},
    "kitchen": {
        "people": [{"name": "Ines"}],
        "equipment": [
            {"name": "oven", "kind": "oven", "holds": "1 tray", "heats": "5 C/min", "starts_at": "180 C"},
        ],
    },
    "products": {
        "pale": {"makes": "1 tray", "steps": [step("bake pale", "20 min", equipment="oven at 180 C")]},
        "dark": {"makes": "1 tray", "steps": [step("bake dark", "20 min", equipment="oven at 240 C")]},
    },
    "orders": [
        {"product": "pale", "quantity": 1, "due": "06:20"},
        {"product": "dark", "quantity": 1, "due": "06:52"},
    ],
}
BAKED = (Recorded("Aa1", 360, 380, 380, "done"),)


@pytest.fixture(scope="module")
def cakes() -> Plan:
    """The pale one until 06:20, then 12 minutes to heat the oven from 180 to 240 °C, then the dark one."""
    plan = produce(build(from_plain(CAKES)), CAKES, Effort(effort=1, seed=1))
    assert [(batch.label, batch.start) for batch in plan.batches] == [("Aa1", 360), ("Ba1", 392)]
    return plan


def again(plan: Plan, now: int, runs: tuple[Recorded, ...] = BAKED) -> Plan:
    return replan(plan, CAKES, so_far_of(plan, runs, now), Effort(effort=0, seed=1)).plan


def heat(plan: Plan) -> Fraction:
    assert plan.past is not None
    [oven] = plan.past.ovens
    return Fraction(oven.celsius)


def test_planning_anew_twice_in_a_minute_changes_nothing(cakes: Plan) -> None:
    once = again(cakes, 386)
    twice = again(once, 386)
    assert heat(once) == heat(twice) == 210
    assert twice == once


def test_an_oven_goes_on_heating_however_often_the_rest_is_planned_anew(cakes: Plan) -> None:
    plan = cakes
    for now in range(386, 391):
        plan = again(plan, now)
    assert heat(plan) == heat(again(cakes, 390)) == 230
    assert [batch.start for batch in plan.batches] == [360, 392]


def test_a_load_that_ends_after_the_last_plan_is_newer_news_than_what_that_plan_knew(cakes: Plan) -> None:
    running = (Recorded("Aa1", 360, None, 380, "running"),)
    plan = again(cakes, 375, running)
    assert heat(plan) == 180
    assert heat(again(plan, 390)) == heat(again(cakes, 390)) == 230
