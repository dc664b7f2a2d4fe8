"""A plan with the wrong hands, waits, orders or objectives."""

from __future__ import annotations

import pytest

from stationplan.plan.check import FaultKind as Kind

from .hand_made import OPENS
from .spoiling import Change, add, assert_found, batch, move, put, stay, step, tier

HANDS: dict[str, tuple[Change, set[Kind]]] = {
    "nobody there": (lambda p: put(batch(p, "Ad1"), hands=[]), {Kind.HANDS_MISSING}),
    "one of two people missing": (lambda p: batch(p, "Da1")["hands"].pop(), {Kind.HANDS_MISSING}),
    "nobody to unload": (lambda p: batch(p, "Ac1")["hands"].pop(), {Kind.HANDS_MISSING}),
    "one person too many": (
        lambda p: batch(p, "Ba1")["hands"].append({**batch(p, "Ba1")["hands"][0], "person": "Ada"}),
        {Kind.HANDS_EXTRA, Kind.PERSON_TWICE},
    ),
    "the same person twice for two": (
        lambda p: put(batch(p, "Da1")["hands"][1], person="Ada"),
        {Kind.UNSKILLED, Kind.PERSON_TWICE},
    ),
    "hands at the wrong minutes": (
        lambda p: put(batch(p, "Aa1")["hands"][0], start=OPENS + 1, end=OPENS + 3),
        {Kind.HANDS_MISSING, Kind.HANDS_EXTRA},
    ),
    "loading called hands-on": (
        lambda p: put(batch(p, "Ac1")["hands"][0], doing="hands-on"),
        {Kind.HANDS_MISSING, Kind.HANDS_EXTRA},
    ),
    "a person without the skill": (lambda p: put(batch(p, "Ca1")["hands"][0], person="Bo"), {Kind.UNSKILLED}),
    "a skill lost": (
        lambda p: put(p["scenario"]["kitchen"]["people"][1], skills=[]),
        {Kind.UNSKILLED},
    ),
    "a person who is not there": (lambda p: put(batch(p, "Ad1")["hands"][0], person="Cy"), {Kind.PERSON_UNKNOWN}),
    "outside somebody's hours": (
        lambda p: put(p["scenario"]["kitchen"]["people"][0], hours="06:00-07:26"),
        {Kind.OUTSIDE_HOURS},
    ),
    "across two shifts of one person": (
        lambda p: put(p["scenario"]["kitchen"]["people"][0], hours=["06:00-06:41", "06:42-14:00"]),
        {Kind.OUTSIDE_HOURS},
    ),
    "over a break": (
        lambda p: put(p["scenario"]["kitchen"]["people"][1], breaks=["06:18-06:20"]),
        {Kind.OVER_BREAK},
    ),
    "a person at two batches": (
        lambda p: put(batch(p, "Ac1")["hands"][1], person="Bo"),
        {Kind.PERSON_TWICE},
    ),
}

WAITS: dict[str, tuple[Change, set[Kind]]] = {
    "started before what it follows": (
        # A minute less from whipping to spreading is one more from there to baking.
        lambda p: move(p, "Ab1", -1),
        {Kind.WAIT_TOO_SHORT},
    ),
    "spread too soon after whipping": (
        lambda p: put(step(p, "nut base", "spread")["after"], at_least="1 min"),
        {Kind.WAIT_TOO_SHORT, Kind.TIER_VALUE},
    ),
    "spread too late after whipping": (
        lambda p: (move(p, "Ab2", 2), put(step(p, "nut base", "spread")["after"], at_most="1 min")),
        {Kind.WAIT_TOO_LONG},
    ),
    "a wait too long": (
        lambda p: put(step(p, "nut base", "freeze"), at_most="33 min"),
        {Kind.WAIT_TOO_LONG, Kind.STAY_LIMITS},
    ),
    "a wait too short": (
        lambda p: put(step(p, "nut base", "cool"), at_least="11 min"),
        {Kind.WAIT_TOO_SHORT, Kind.STAY_LIMITS, Kind.TIER_VALUE},
    ),
    "cream used too early": (
        lambda p: (move(p, "Da1", -3), put(stay(p, "Bb1.2", "Da1"), end=OPENS + 37)),
        {Kind.WAIT_TOO_SHORT, Kind.ORDER_READY, Kind.TIER_VALUE},
    ),
    "cream used too late": (
        lambda p: (
            move(p, "Da1", 184),
            put(stay(p, "Bb1.2", "Da1"), end=OPENS + 224),
            add(p["orders"][2], ready=184),
            put(tier(p, "makespan"), value=226),
            add(tier(p, "tidiness"), value=184, bound=184),
        ),
        {Kind.WAIT_TOO_LONG},
    ),
    "a stay forgotten": (lambda p: p["stays"].remove(stay(p, "Ac1", "Ad1", 1)), {Kind.STAY_MISSING}),
    "a stay of cream forgotten": (lambda p: p["stays"].remove(stay(p, "Bb1.2", "Ca2")), {Kind.STAY_MISSING}),
    "a stay that nothing asks for": (
        lambda p: p["stays"].append({**stay(p, "Ac1", "Ad1"), "after": "Ad2"}),
        {Kind.STAY_EXTRA},
    ),
    "two stays in each other's order": (
        lambda p: (put(stay(p, "Ac1", "Ad1"), position=7), put(stay(p, "Ac1", "Ad1", 1), position=0)),
        {Kind.STAY_MISSING, Kind.STAY_EXTRA},
    ),
    "a gap between two stays": (lambda p: add(stay(p, "Ac1", "Ad1"), end=-1), {Kind.STAY_TIME}),
    "a stay that ends before it is taken up": (lambda p: add(stay(p, "Ac2", "Ad2", 1), end=-1), {Kind.STAY_TIME}),
    "a stay that begins late": (lambda p: add(stay(p, "Bb1.2", "Ca1"), start=1), {Kind.STAY_TIME}),
    "a stay in the wrong place": (
        lambda p: put(stay(p, "Ac1", "Ad1"), station="blast freezer"),
        {Kind.STAY_PLACE},
    ),
    "a stay nowhere": (lambda p: put(stay(p, "Ac1", "Ad1"), station=None), {Kind.STAY_PLACE}),
    "a stay nowhere without room": (lambda p: put(stay(p, "Ac1", "Ad1"), station=None, amount=0), {Kind.STAY_AMOUNT}),
    "a stay where none is needed": (
        lambda p: put(stay(p, "Bb1.2", "Ca1"), station="rack", amount=1),
        {Kind.STAY_PLACE},
    ),
    "a stay with less room than it fills": (lambda p: add(stay(p, "Ac1", "Ad1"), amount=-1), {Kind.STAY_AMOUNT}),
    "a stay nowhere that fills room": (lambda p: put(stay(p, "Bb1.2", "Ca1"), amount=1), {Kind.STAY_AMOUNT}),
    "another least": (lambda p: add(stay(p, "Ac1", "Ad1"), least=1), {Kind.STAY_LIMITS}),
    "another most": (lambda p: put(stay(p, "Ac1", "Ad1"), most=60), {Kind.STAY_LIMITS}),
    "another item waiting": (lambda p: put(stay(p, "Ac1", "Ad1"), item="cream"), {Kind.STAY_LIMITS}),
    "a product taken out too early": (
        lambda p: add(stay(p, "Cb2", None), end=-1),
        {Kind.WAIT_TOO_SHORT, Kind.ORDER_READY, Kind.TIER_VALUE},
    ),
}

ORDERS: dict[str, tuple[Change, set[Kind]]] = {
    "an order left out": (lambda p: p["orders"].pop(2), {Kind.ORDER_MISSING}),
    "an order made up": (lambda p: p["orders"].append(p["orders"][2]), {Kind.ORDER_UNKNOWN}),
    "a quantity wrong": (lambda p: add(p["orders"][0], quantity=1), {Kind.ORDER_MISSING, Kind.ORDER_UNKNOWN}),
    "a due time wrong": (lambda p: add(p["orders"][1], due=5), {Kind.ORDER_DUE}),
    "a weight wrong": (lambda p: add(p["orders"][1], weight=1), {Kind.ORDER_MISSING, Kind.ORDER_UNKNOWN}),
    "ready times wrong": (lambda p: add(p["orders"][1], ready=-3), {Kind.ORDER_READY}),
    "late minutes wrong": (lambda p: put(p["orders"][1], late=2), {Kind.ORDER_LATE}),
    "an order from another batch": (lambda p: put(p["orders"][1], batches=["Cb2"]), {Kind.ORDER_BATCHES}),
    "a batch of an order left out": (lambda p: put(p["orders"][0], batches=["Cb2"]), {Kind.ORDER_BATCHES}),
}

OBJECTIVE: dict[str, tuple[Change, set[Kind]]] = {
    "lateness wrong": (lambda p: put(tier(p, "lateness"), value=3, bound=3), {Kind.TIER_VALUE}),
    "makespan wrong": (lambda p: put(tier(p, "makespan"), value=111), {Kind.TIER_VALUE}),
    "tidiness wrong": (lambda p: put(tier(p, "tidiness"), value=118, bound=118), {Kind.TIER_VALUE}),
    "a tier left out": (lambda p: p["tiers"].pop(2), {Kind.TIER_MISSING}),
    "tiers in another order": (lambda p: p["tiers"].reverse(), {Kind.TIER_MISSING}),
    "a bound above its value": (lambda p: put(tier(p, "makespan"), bound=113), {Kind.BOUND_ABOVE_VALUE}),
    "a reason above the makespan": (lambda p: put(p["reasons"][0], minutes=113), {Kind.BOUND_ABOVE_VALUE}),
    "proved without proof": (lambda p: put(tier(p, "makespan"), proved=True), {Kind.PROVED_WRONG, Kind.STATUS_WRONG}),
    "a proof not claimed": (lambda p: put(tier(p, "tidiness"), proved=False), {Kind.PROVED_WRONG}),
    "a plan called proved": (lambda p: put(p, status="proved"), {Kind.STATUS_WRONG}),
    "a proved plan not called so": (lambda p: put(tier(p, "makespan"), bound=112, proved=True), {Kind.STATUS_WRONG}),
}

SPOILED = {**HANDS, **WAITS, **ORDERS, **OBJECTIVE}


@pytest.mark.parametrize("name", SPOILED)
def test_it_is_found_and_named_for_what_it_is(name: str) -> None:
    assert_found(*SPOILED[name])
