"""What is out of use stands empty, and what comes late is not used before it is there."""

from __future__ import annotations

import functools
import json
from typing import Any

import pytest

from stationplan.engine import solve
from stationplan.network import build
from stationplan.plan.check import FaultKind as Kind
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.plan.make import make
from stationplan.scenario.loader import from_plain

from .hand_made import hand_made
from .spoiling import Change, add, assert_found, equipment, put, step

# Ac1 and Ac2 are in the deck oven from 06:16 and 06:18 to 06:31 and 06:33, the slices at 220 C fan from 06:00 + 100 on.
OUT_OF_USE: dict[str, tuple[Change, set[Kind]]] = {
    "an oven out of use during a load": (
        lambda p: put(equipment(p, "deck oven"), out_of_use="06:32-06:40"),
        {Kind.OUT_OF_USE, Kind.CHANGE_MISSING, Kind.CHANGE_EXTRA},
    ),
    "an oven out of use between two loads, and cold after that": (
        lambda p: put(equipment(p, "deck oven"), out_of_use="06:33-07:20"),
        {Kind.OVEN_COLD, Kind.CHANGE_MISSING, Kind.CHANGE_EXTRA},
    ),
    "an oven out of use while nothing is in it, until closing": (
        lambda p: put(equipment(p, "mini oven"), out_of_use=["05:00-07:00", "07:30-"]),
        set(),
    ),
    "a bowl out of use when it is filled": (
        lambda p: put(equipment(p, "planetary mixer"), out_of_use=[{"between": "06:04-06:06", "unit": 1}]),
        {Kind.OUT_OF_USE},
    ),
    "one of two places out of use when the other is taken": (
        lambda p: put(equipment(p, "bench"), out_of_use=[{"between": "06:00-16:00", "unit": 1}]),
        set(),
    ),
    "both places out of use at times that overlap where one is taken": (
        lambda p: put(
            equipment(p, "bench"),
            out_of_use=[{"between": "06:00-06:08", "unit": 1}, {"between": "06:07-", "unit": 2}],
        ),
        {Kind.OUT_OF_USE},
    ),
    "a freezer out of use while something stands in it": (
        lambda p: put(equipment(p, "blast freezer"), out_of_use="06:50-06:51"),
        {Kind.OUT_OF_USE},
    ),
}


@pytest.mark.parametrize(("change", "expected"), OUT_OF_USE.values(), ids=OUT_OF_USE.keys())
def test_equipment_out_of_use_stands_empty(change: Change, expected: set[Kind]) -> None:
    assert_found(change, expected)


def test_a_batch_takes_longer_on_slow_equipment() -> None:
    assert_found(lambda p: put(equipment(p, "deck oven"), slower="25 %"), {Kind.DURATION_WRONG})
    assert_found(lambda p: put(equipment(p, "mini oven"), slower="25 %"), set())


@pytest.mark.parametrize(("since", "expected"), [("06:05", {Kind.GOODS_MISSING}), ("06:00", set()), ("05:00", set())])
def test_a_batch_waits_for_the_goods_that_go_into_it(since: str, expected: set[Kind]) -> None:
    def late(plan: dict[str, Any]) -> None:
        step(plan, "nut base", "whip")["ingredients"] = {"egg white": "90 g"}
        plan["scenario"]["goods"] = [{"ingredient": "Egg white", "from": since}]

    assert_found(late, expected)


def test_what_goes_into_a_later_step_holds_back_no_earlier_one() -> None:
    def late(plan: dict[str, Any]) -> None:
        step(plan, "nut base", "spread")["ingredients"] = {"butter": "9 g"}
        plan["scenario"]["goods"] = [{"ingredient": "butter", "from": "06:05"}]

    assert_found(late, set())


@pytest.mark.parametrize(("life", "expected"), [("45 min", {Kind.PAST_SHELF_LIFE}), ("3 h", set())])
def test_a_component_is_taken_up_while_it_keeps(life: str, expected: set[Kind]) -> None:
    assert_found(lambda p: put(p["scenario"]["components"]["cream"], shelf_life=life), expected)


def discs_in_stock(plan: dict[str, Any]) -> None:
    plan["scenario"]["stock"] = [{"item": "nut base", "quantity": "1 tray", "use_by": "07:00"}]


def test_a_plan_that_does_not_count_on_the_stock_makes_too_much() -> None:
    plan = hand_made()
    discs_in_stock(plan)
    found = {fault.kind for fault in check_plan(Plan.model_validate(plan))}
    assert {Kind.STOCK_DIFFERS, Kind.AMOUNT_SURPLUS} <= found


SPOILT: dict[str, tuple[Change, set[Kind]]] = {
    "nothing": (lambda p: None, set()),
    "another amount": (lambda p: put(p["stock"][0], quantity="2/3"), {Kind.STOCK_DIFFERS}),
    "another label": (lambda p: put(p["stock"][0], label="A1"), {Kind.STOCK_DIFFERS}),
    "there earlier": (lambda p: put(p["stock"][0], start=6 * 60 + 1), {Kind.STOCK_DIFFERS}),
    "left out": (lambda p: put(p, stock=[]), {Kind.STOCK_DIFFERS}),
    "twice": (lambda p: p["stock"].append(p["stock"][0]), {Kind.STOCK_DIFFERS}),
    "past its use-by": (
        lambda p: put(p["scenario"]["stock"][0], use_by="06:03"),
        {Kind.STOCK_DIFFERS, Kind.STOCK_TOO_OLD, Kind.STAY_LIMITS, Kind.WAIT_TOO_LONG},
    ),
    "there later": (
        lambda p: put(p["scenario"]["stock"][0], **{"from": "06:40"}),
        {Kind.STOCK_DIFFERS, Kind.WAIT_TOO_SHORT, Kind.STAY_TIME, Kind.STAY_LIMITS},
    ),
    "taken out too late": (lambda p: add(p["stays"][0], end=1), {Kind.STAY_TIME}),
}


@pytest.mark.parametrize(("change", "expected"), SPOILT.values(), ids=SPOILT.keys())
def test_a_plan_with_stock_is_held_against_what_there_is(change: Change, expected: set[Kind]) -> None:
    plan = planned_with_stock()
    change(plan)
    faults = check_plan(Plan.model_validate(plan))
    assert {fault.kind for fault in faults} == expected, [fault.sentence for fault in faults]


@functools.cache
def _planned() -> str:
    raw = {
        "name": "from stock",
        "shift": {"opens": "06:00", "closes": "09:00"},
        "kitchen": {"people": [{"name": "Ada"}], "equipment": []},
        "stock": [{"item": "base", "quantity": "1 tray", "use_by": "08:00"}],
        "components": {"base": {"makes": "1 tray", "steps": [{"name": "bake", "takes": "30 min"}]}},
        "products": {"tart": {"makes": "1 tray", "steps": [{"name": "cut", "takes": "5 min"}, USING]}},
        "orders": [{"product": "tart", "quantity": 1}],
    }
    network = build(from_plain(raw))
    return make(
        network, solve(network.problem, effort=0.3, workers=1), raw, durations="longest", seed=0
    ).model_dump_json()


USING = {"name": "fill", "takes": "20 min", "uses": {"base": "1 tray"}}


def planned_with_stock() -> dict[str, Any]:
    plan: dict[str, Any] = json.loads(_planned())
    return plan
