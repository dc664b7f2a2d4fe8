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


def again(plan: Plan, now: int, runs: tuple[Recorded, ...] = BAKED, out: str | None = None) -> Plan:
    [oven], rest = CAKES["kitchen"]["equipment"], CAKES["kitchen"]
    kitchen = {**rest, "equipment": [oven if out is None else {**oven, "out_of_use": out}]}
    raw = {**CAKES, "kitchen": kitchen}
    return replan(plan, raw, so_far_of(plan, runs, now, from_plain(raw)), Effort(effort=0, seed=1)).plan


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


def test_what_is_told_after_a_plan_of_a_time_before_it_makes_an_oven_cold_once(cakes: Plan) -> None:
    plan = again(cakes, 386)
    plan = again(plan, 387, out="06:24-06:25")
    assert heat(plan) == 185  # 180 °C at 06:25; heated from 06:26 on, as the first of these plans has it
    assert heat(again(plan, 388, out="06:24-06:25")) == 190


def test_what_stays_in_an_oven_while_it_is_out_of_use_does_not_make_it_hot_again() -> None:
    raw = {**CAKES, "orders": [{"product": "dark", "quantity": 2}]}
    plan = produce(build(from_plain(raw)), raw, Effort(effort=1, seed=1))
    [oven] = raw["kitchen"]["equipment"]
    raw = {**raw, "kitchen": {**raw["kitchen"], "equipment": [{**oven, "out_of_use": "06:20-06:25"}]}}
    assert [(batch.label, batch.start) for batch in plan.batches] == [("Aa1", 372), ("Aa2", 392)]
    for until in (383, 390):
        runs = (Recorded("Aa1", 372, until, 392, "done"),)
        found = so_far_of(plan, runs, 391, from_plain(raw))
        again = replan(plan, raw, found, Effort(effort=0, seed=1)).plan
        assert [(batch.label, batch.start) for batch in again.batches] == [("Aa1", 372), ("Aa2", 397)]
