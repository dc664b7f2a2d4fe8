"""A plan with a wrong frame, wrong quantities, batches or labels."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.plan.check import FaultKind as Kind

from .hand_made import OPENS
from .spoiling import Change, add, assert_found, batch, move, put, stay, step


def spread_cream(plan: dict[str, Any], last: str) -> None:
    for label in ("Ba1", "Bb1.1", "Bb1.2"):
        batch(plan, label)["last"] = last


FRAME: dict[str, tuple[Change, set[Kind]]] = {
    "another name": (lambda p: put(p, name="three slices"), {Kind.HEADER_DIFFERS}),
    "opening earlier": (lambda p: add(p, opens=-5), {Kind.HEADER_DIFFERS}),
    "closing later": (lambda p: add(p, closes=5), {Kind.HEADER_DIFFERS}),
    "a person left out": (lambda p: put(p, people=["Ada"]), {Kind.PEOPLE_LIST_DIFFERS}),
    "a person made up": (lambda p: put(p, people=["Ada", "Bo", "Cy"]), {Kind.PEOPLE_LIST_DIFFERS}),
    "a station left out": (lambda p: p["stations"].pop(1), {Kind.STATION_LIST_DIFFERS}),
    "a freezer too large": (lambda p: add(p["stations"][3], capacity=1), {Kind.STATION_LIST_DIFFERS}),
    "an oven counted in pieces": (lambda p: put(p["stations"][1], unit="piece"), {Kind.STATION_LIST_DIFFERS}),
    "a rack called a freezer": (lambda p: put(p["stations"][4], kind="freezer"), {Kind.STATION_LIST_DIFFERS}),
    "a bench twice": (lambda p: p["stations"].append(p["stations"][5]), {Kind.STATION_LIST_DIFFERS}),
    "a station of equipment that is not there": (
        lambda p: put(p["stations"][1], equipment="tunnel oven"),
        {Kind.STATION_LIST_DIFFERS},
    ),
}

QUANTITIES: dict[str, tuple[Change, set[Kind]]] = {
    "an amount left out": (lambda p: p["amounts"].pop(3), {Kind.AMOUNT_MISSING}),
    "an amount twice": (lambda p: p["amounts"].append(p["amounts"][3]), {Kind.AMOUNT_UNKNOWN}),
    "an item made up": (
        lambda p: p["amounts"].append({**p["amounts"][3], "item": "tart"}),
        {Kind.AMOUNT_UNKNOWN},
    ),
    "too little cream": (
        lambda p: (put(p["amounts"][1], quantity="1499", recipes="1499/1000"), spread_cream(p, "1499")),
        {Kind.AMOUNT_TOO_SMALL, Kind.SEAT_AMOUNT},
    ),
    "cream that nobody needs": (
        lambda p: (put(p["amounts"][1], quantity="1501", recipes="1501/1000"), spread_cream(p, "1501")),
        {Kind.AMOUNT_SURPLUS, Kind.SEAT_AMOUNT},
    ),
    "an amount in another unit": (lambda p: put(p["amounts"][1], unit="ml"), {Kind.AMOUNT_FIGURES}),
    "another need": (lambda p: put(p["amounts"][0], needed="2"), {Kind.AMOUNT_FIGURES}),
    "another number of recipes": (lambda p: put(p["amounts"][0], recipes="2"), {Kind.AMOUNT_FIGURES}),
}

BATCHES: dict[str, tuple[Change, set[Kind]]] = {
    "something that nobody ordered": (
        lambda p: (p["scenario"]["orders"].pop(), p["orders"].pop()),
        {
            Kind.AMOUNT_UNKNOWN,
            Kind.AMOUNT_FIGURES,
            Kind.AMOUNT_SURPLUS,
            Kind.BATCH_UNKNOWN,
            Kind.STAY_EXTRA,
            Kind.LEGEND_WRONG,
            Kind.TIER_VALUE,
        },
    ),
    "a batch dropped": (
        lambda p: p["batches"].remove(batch(p, "Ab2")),
        {Kind.BATCH_MISSING, Kind.BATCH_RANGE, Kind.TIER_VALUE},
    ),
    "all batches of a step dropped": (
        lambda p: p["batches"].remove(batch(p, "Bb1.1")),
        {Kind.BATCH_MISSING, Kind.STAY_EXTRA},
    ),
    "a batch twice": (
        lambda p: p["batches"].append({**batch(p, "Da1"), "label": "Da9"}),
        {
            Kind.BATCH_TWICE,
            Kind.BATCH_RANGE,
            Kind.PERSON_TWICE,
            Kind.ORDER_BATCHES,
            Kind.LABEL_WRONG,
        },
    ),
    "a batch of a step that is not there": (
        lambda p: put(batch(p, "Da1"), step="glaze"),
        {
            Kind.BATCH_UNKNOWN,
            Kind.BATCH_MISSING,
            Kind.STAY_EXTRA,
            Kind.ORDER_BATCHES,
            Kind.ORDER_READY,
            Kind.TIER_VALUE,
        },
    ),
    "a round too many": (
        lambda p: put(batch(p, "Bb1.2"), round=3),
        {Kind.BATCH_UNKNOWN, Kind.BATCH_MISSING, Kind.STAY_EXTRA, Kind.TIER_VALUE},
    ),
    "another count of batches": (lambda p: put(batch(p, "Aa1"), of=3), {Kind.BATCH_COUNT, Kind.BATCH_MISSING}),
    "two batches with each other's numbers": (
        lambda p: (put(batch(p, "Ad1"), number=2), put(batch(p, "Ad2"), number=1)),
        {Kind.BATCH_RANGE, Kind.BATCH_UNEVEN, Kind.BATCH_SEQUENCE, Kind.LABEL_WRONG},
    ),
    "a hole between two ranges": (
        lambda p: put(batch(p, "Ca2"), first="16"),
        {Kind.BATCH_RANGE},
    ),
    "ranges that overlap": (
        lambda p: put(batch(p, "Ca2"), first="14"),
        {Kind.BATCH_RANGE, Kind.BATCH_UNEVEN, Kind.WAIT_TOO_SHORT, Kind.TIER_VALUE},
    ),
    "a range that ends too early": (
        lambda p: put(batch(p, "Ca2"), last="29"),
        {Kind.BATCH_RANGE},
    ),
    "a range in another unit": (lambda p: put(batch(p, "Ab2"), unit="disc"), {Kind.BATCH_RANGE}),
    "an uneven split": (
        lambda p: (put(batch(p, "Ca1"), last="18"), put(batch(p, "Ca2"), first="18")),
        {Kind.BATCH_UNEVEN, Kind.DURATION_WRONG, Kind.TIER_VALUE},
    ),
    "the smaller batch first": (
        lambda p: (put(batch(p, "Ad1"), last="1"), put(batch(p, "Ad2"), first="1")),
        {Kind.BATCH_UNEVEN, Kind.DURATION_WRONG, Kind.STAY_MISSING},
    ),
    "a split inside a tray": (
        lambda p: (put(batch(p, "Ad1"), last="3/2"), put(batch(p, "Ad2"), first="3/2")),
        {Kind.BATCH_UNEVEN, Kind.DURATION_WRONG, Kind.STAY_MISSING, Kind.TIER_VALUE},
    ),
    "a batch larger than the cook wants": (
        lambda p: put(step(p, "nut base", "whip"), batch="1 tray"),
        {Kind.BATCH_TOO_LARGE, Kind.BATCH_NUMBER},
    ),
    "a later batch first": (
        lambda p: (move(p, "Ad1", 6), move(p, "Ad2", -2), put(stay(p, "Ac1", "Ad1", 1), end=OPENS + 79)),
        {Kind.BATCH_SEQUENCE, Kind.STAY_TIME, Kind.WAIT_TOO_SHORT, Kind.TIER_VALUE},
    ),
    "a batch before opening": (
        lambda p: (move(p, "Aa1", -1),),
        {Kind.OUTSIDE_SHIFT, Kind.OUTSIDE_HOURS, Kind.TIER_VALUE},
    ),
    "a batch after closing": (
        lambda p: put(p["scenario"]["shift"], closes="07:30"),
        {Kind.HEADER_DIFFERS, Kind.OUTSIDE_SHIFT, Kind.OUTSIDE_HOURS},
    ),
    "a product that sets after closing": (
        lambda p: (put(p["scenario"]["shift"], closes="07:50"), put(p, closes=OPENS + 110)),
        {Kind.OUTSIDE_SHIFT},
    ),
    "a start moved a minute": (
        lambda p: add(batch(p, "Ca1"), start=1),
        {Kind.DURATION_WRONG, Kind.HANDS_MISSING, Kind.HANDS_EXTRA, Kind.STAY_TIME, Kind.TIER_VALUE},
    ),
}

LABELS: dict[str, tuple[Change, set[Kind]]] = {
    "a label twice": (
        lambda p: put(batch(p, "Ab2"), label="Ab1"),
        {Kind.LABEL_TWICE, Kind.LABEL_WRONG},
    ),
    "a label of its own kind": (lambda p: put(batch(p, "Ab2"), label="Spread 2"), {Kind.LABEL_WRONG}),
    "an entry of the legend left out": (lambda p: p["legend"].pop(1), {Kind.LEGEND_WRONG}),
    "an entry of the legend made up": (
        lambda p: p["legend"].append({"letters": "E", "item": "tart", "steps": []}),
        {Kind.LEGEND_WRONG},
    ),
    "another letter in the legend": (lambda p: put(p["legend"][0], letters="Z"), {Kind.LEGEND_WRONG}),
    "a step missing in the legend": (lambda p: p["legend"][0]["steps"].pop(), {Kind.LEGEND_WRONG}),
    "a chain through no batch": (lambda p: put(p["chain"][0], label="Cb7"), {Kind.CHAIN_UNKNOWN}),
}

UNCLEAR: dict[str, tuple[Change, set[Kind]]] = {
    "a scenario that cannot be read": (
        lambda p: p["scenario"].pop("orders"),
        {Kind.SCENARIO_UNCLEAR},
    ),
    "an order of a component": (
        lambda p: put(p["scenario"]["orders"][2], product="cream"),
        {Kind.SCENARIO_UNCLEAR},
    ),
    "a use of a product": (
        lambda p: put(p["scenario"]["products"]["cup"], uses={"slice": "1 piece"}),
        {Kind.SCENARIO_UNCLEAR},
    ),
    "components that use each other": (
        lambda p: (
            put(p["scenario"]["components"]["cream"], uses={"nut base": "1 disc"}),
            put(p["scenario"]["components"]["nut base"], uses={"cream": "1 g"}),
        ),
        {Kind.SCENARIO_UNCLEAR},
    ),
    "a use in a unit that the component is not counted in": (
        lambda p: put(p["scenario"]["products"]["cup"], uses={"cream": "1 cup"}),
        {Kind.SCENARIO_UNCLEAR},
    ),
    "a component called like a product": (
        lambda p: put(p["scenario"]["components"], cup=p["scenario"]["components"]["cream"]),
        {Kind.SCENARIO_UNCLEAR},
    ),
    "a recipe that makes nothing": (
        lambda p: put(p["scenario"]["components"]["cream"], makes="0 g"),
        {Kind.SCENARIO_UNCLEAR},
    ),
}

SPOILED = {**FRAME, **QUANTITIES, **BATCHES, **LABELS, **UNCLEAR}


@pytest.mark.parametrize("name", SPOILED)
def test_it_is_found_and_named_for_what_it_is(name: str) -> None:
    assert_found(*SPOILED[name])
