"""Each way of spoiling a plan is found, and named for what it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from stationplan.plan.check import FaultKind as Kind
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan

from .hand_made import OPENS, hand_made

Change = Callable[[dict[str, Any]], object]


def batch(plan: dict[str, Any], label: str) -> Any:
    return next(entry for entry in plan["batches"] if entry["label"] == label)


def stay(plan: dict[str, Any], before: str, after: str | None, position: int = 0) -> Any:
    wanted = (before, after, position)
    return next(entry for entry in plan["stays"] if (entry["before"], entry["after"], entry["position"]) == wanted)


def tier(plan: dict[str, Any], name: str) -> Any:
    return next(entry for entry in plan["tiers"] if entry["name"] == name)


def equipment(plan: dict[str, Any], name: str) -> Any:
    return next(entry for entry in plan["scenario"]["kitchen"]["equipment"] if entry["name"] == name)


def step(plan: dict[str, Any], item: str, name: str) -> Any:
    found = {**plan["scenario"]["components"], **plan["scenario"]["products"]}[item]
    return next(entry for entry in found["steps"] if name in (entry.get("name"), entry.get("wait")))


def move(plan: dict[str, Any], label: str, minutes: int) -> None:
    """Move a batch with all its seats and hands."""
    moved = batch(plan, label)
    for part in (moved, *moved["seats"], *moved["hands"]):
        part["start"] += minutes
        part["end"] += minutes


def put(entry: Any, **values: Any) -> None:
    entry.update(values)


def add(entry: Any, **values: Any) -> None:
    for name, value in values.items():
        entry[name] += value


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
    "an amount that is no number": (lambda p: put(p["amounts"][1], quantity="much"), {Kind.AMOUNT_FIGURES}),
    "an amount in another unit": (lambda p: put(p["amounts"][1], unit="ml"), {Kind.AMOUNT_FIGURES}),
    "another need": (lambda p: put(p["amounts"][0], needed="2"), {Kind.AMOUNT_FIGURES}),
    "another number of recipes": (lambda p: put(p["amounts"][0], recipes="2"), {Kind.AMOUNT_FIGURES}),
}


def spread_cream(plan: dict[str, Any], last: str) -> None:
    for label in ("Ba1", "Bb1.1", "Bb1.2"):
        batch(plan, label)["last"] = last


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
    "a range that is no number": (
        lambda p: put(batch(p, "Ab2"), last="three"),
        {Kind.BATCH_RANGE, Kind.BATCH_MISSING, Kind.TIER_VALUE},
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
        {Kind.BATCH_TOO_LARGE},
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

SEATS: dict[str, tuple[Change, set[Kind]]] = {
    "an oven swapped": (
        lambda p: put(batch(p, "Ac2")["seats"][0], station="mini oven"),
        {
            Kind.SETTING_WRONG,
            Kind.DURATION_WRONG,
            Kind.CHANGE_MISSING,
        },
    ),
    "an oven too small": (
        lambda p: put(batch(p, "Ac1")["seats"][0], station="mini oven", celsius=170, setting="fan"),
        {Kind.DOES_NOT_FIT, Kind.DURATION_WRONG, Kind.OVER_CAPACITY, Kind.CHANGE_MISSING},
    ),
    "an oven that cannot get so hot": (
        lambda p: put(equipment(p, "deck oven"), range="100..200 C"),
        {Kind.SETTING_OUT_OF_RANGE},
    ),
    "an oven without the fan": (
        lambda p: put(equipment(p, "deck oven"), settings=[]),
        {Kind.SETTING_OUT_OF_RANGE},
    ),
    "a mixer used as an oven": (
        lambda p: put(batch(p, "Ac1")["seats"][0], station="planetary mixer"),
        {Kind.STATION_WRONG, Kind.BOWL_TAKEN, Kind.CHANGE_MISSING},
    ),
    "a station that is not there": (
        lambda p: put(batch(p, "Ac1")["seats"][0], station="tunnel oven"),
        {Kind.STATION_UNKNOWN},
    ),
    "the wrong temperature": (
        lambda p: put(batch(p, "Ac2")["seats"][0], celsius=190),
        {Kind.SETTING_WRONG, Kind.OVEN_TWO_SETTINGS, Kind.CHANGE_MISSING, Kind.CHANGE_EXTRA, Kind.TIER_VALUE},
    ),
    "the wrong mode": (
        lambda p: [put(batch(p, label)["seats"][0], setting="") for label in ("Cb1", "Cb2")],
        {Kind.SETTING_WRONG, Kind.CHANGE_MISSING, Kind.CHANGE_EXTRA},
    ),
    "a bench with a temperature": (
        lambda p: put(batch(p, "Ab1")["seats"][0], celsius=20.0),
        {Kind.SETTING_WRONG},
    ),
    "a seat dropped": (lambda p: put(batch(p, "Aa1"), seats=[]), {Kind.SEAT_MISSING}),
    "a bench dropped": (lambda p: put(batch(p, "Ab1"), seats=[]), {Kind.SEAT_MISSING}),
    "a seat too many": (
        lambda p: batch(p, "Ca2")["seats"].append({"station": "bench", "start": 443, "end": 447, "amount": 1}),
        {Kind.SEAT_EXTRA},
    ),
    "a seat left early": (lambda p: add(batch(p, "Aa2")["seats"][0], end=-1), {Kind.SEAT_TIME}),
    "a seat taken late": (lambda p: add(batch(p, "Ab1")["seats"][0], start=1), {Kind.SEAT_TIME}),
    "a tray too many": (lambda p: add(batch(p, "Ac1")["seats"][0], amount=1), {Kind.SEAT_AMOUNT}),
    "a bench too many": (lambda p: add(batch(p, "Ab1")["seats"][0], amount=1), {Kind.SEAT_AMOUNT}),
    "another content in the bowl": (
        lambda p: put(batch(p, "Aa1")["seats"][0], holding="cream"),
        {Kind.HOLDING_WRONG, Kind.WASH_TOO_SHORT, Kind.CHANGE_MISSING},
    ),
    "a bowl too small": (
        lambda p: (put(equipment(p, "planetary mixer"), usable="25 %"), put(p["stations"][2], capacity=2500)),
        {Kind.DOES_NOT_FIT},
    ),
    "the least fill missed": (
        lambda p: put(equipment(p, "planetary mixer"), least_fill="20 %"),
        {Kind.LEAST_FILL_MISSED},
    ),
    "a batch too short": (
        lambda p: put(step(p, "cream", "mix"), takes="7 min"),
        {Kind.DURATION_WRONG},
    ),
    "loading forgotten": (
        lambda p: put(step(p, "nut base", "bake"), load="3 min"),
        {Kind.DURATION_WRONG, Kind.HANDS_MISSING, Kind.HANDS_EXTRA},
    ),
}

ROOM: dict[str, tuple[Change, set[Kind]]] = {
    "an oven overfilled by two loads": (
        lambda p: (put(equipment(p, "deck oven"), holds="3 trays"), put(p["stations"][0], capacity=3)),
        {Kind.OVER_CAPACITY},
    ),
    "a freezer overfilled by two waits": (
        lambda p: (put(equipment(p, "blast freezer"), holds="3 trays"), put(p["stations"][3], capacity=3)),
        {Kind.OVER_CAPACITY},
    ),
    "an oven still cold": (
        lambda p: (
            put(equipment(p, "deck oven"), starts_at="10 C"),
            put(p["changes"][0], before="10 C"),
        ),
        {Kind.OVEN_COLD, Kind.CHANGE_TOO_SHORT},
    ),
    "an oven changed too fast": (
        lambda p: (
            move(p, "Cb1", -46),
            put(p["changes"][1], start=OPENS + 33, end=OPENS + 37),
            put(p["scenario"]["kitchen"]["equipment"][0], heats="8 C/min"),
        ),
        {
            Kind.OVEN_COLD,
            Kind.OVEN_CHANGE_TOO_SHORT,
            Kind.CHANGE_TOO_SHORT,
            Kind.WAIT_TOO_SHORT,
            Kind.STAY_TIME,
            Kind.PERSON_TWICE,
        },
    ),
    "two settings at once": (
        lambda p: move(p, "Cb1", -53),
        {
            Kind.OVEN_TWO_SETTINGS,
            Kind.OVER_CAPACITY,
            Kind.WAIT_TOO_SHORT,
            Kind.STAY_TIME,
            Kind.PERSON_TWICE,
        },
    ),
    "two batches in a bowl": (
        lambda p: (move(p, "Aa2", -1),),
        {Kind.BOWL_TAKEN, Kind.TIER_VALUE},
    ),
    "a wash too short": (
        lambda p: put(equipment(p, "planetary mixer"), wash="7 min"),
        {Kind.WASH_TOO_SHORT, Kind.CHANGE_TOO_SHORT},
    ),
    "a wash forgotten": (lambda p: p["changes"].pop(2), {Kind.CHANGE_MISSING}),
    "heating forgotten": (lambda p: p["changes"].pop(0), {Kind.CHANGE_MISSING}),
    "a change shown that is none": (
        lambda p: p["changes"].append({**p["changes"][2], "start": OPENS + 40, "end": OPENS + 46}),
        {Kind.CHANGE_EXTRA},
    ),
    "heating shown too short": (lambda p: add(p["changes"][1], end=-1), {Kind.CHANGE_TOO_SHORT}),
    "a wash shown too short": (lambda p: add(p["changes"][2], start=1), {Kind.CHANGE_TOO_SHORT}),
    "heating with a load inside": (
        lambda p: put(p["changes"][1], start=OPENS + 30, end=OPENS + 34),
        {Kind.CHANGE_OUTSIDE_GAP},
    ),
    "a wash while the mixer runs": (lambda p: add(p["changes"][2], end=1), {Kind.CHANGE_OUTSIDE_GAP}),
    "heating called cooling": (
        lambda p: put(p["changes"][1], kind="cool"),
        {Kind.CHANGE_MISSING, Kind.CHANGE_EXTRA},
    ),
    "heating to another temperature": (
        lambda p: put(p["changes"][1], after="230 C fan"),
        {Kind.CHANGE_MISSING, Kind.CHANGE_EXTRA},
    ),
    "heating to no temperature": (
        lambda p: put(p["changes"][1], after="hot"),
        {Kind.CHANGE_MISSING, Kind.CHANGE_EXTRA},
    ),
    "a wash of something else": (
        lambda p: put(p["changes"][2], before="cream"),
        {Kind.CHANGE_MISSING, Kind.CHANGE_EXTRA},
    ),
}

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
    "a due time wrong": (lambda p: add(p["orders"][1], due=5), {Kind.ORDER_MISSING, Kind.ORDER_UNKNOWN}),
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

SPOILED = {
    **FRAME,
    **QUANTITIES,
    **BATCHES,
    **SEATS,
    **ROOM,
    **HANDS,
    **WAITS,
    **ORDERS,
    **OBJECTIVE,
    **LABELS,
    **UNCLEAR,
}


@pytest.mark.parametrize("name", SPOILED)
def test_a_spoiled_plan_is_named_for_what_is_wrong(name: str) -> None:
    change, expected = SPOILED[name]
    plan = hand_made()
    change(plan)

    faults = check_plan(Plan.model_validate(plan))

    assert {fault.kind for fault in faults} == expected, "\n".join(fault.sentence for fault in faults)
