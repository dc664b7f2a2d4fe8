"""A plan with batches in the wrong place, too many of them, or stations that are not ready."""

from __future__ import annotations

import pytest

from stationplan.plan.check import FaultKind as Kind

from .hand_made import OPENS
from .spoiling import Change, add, assert_found, batch, equipment, move, put, step

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
        # 1500 g are 3 l, two bowls of 2.5 l.
        {Kind.DOES_NOT_FIT, Kind.BATCH_NUMBER},
    ),
    "the least fill missed": (
        lambda p: put(equipment(p, "planetary mixer"), least_fill="20 %"),
        # Two bowls of 2 l take 4 trays.
        {Kind.LEAST_FILL_MISSED, Kind.AMOUNT_TOO_SMALL},
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

SPOILED = {**SEATS, **ROOM}


@pytest.mark.parametrize("name", SPOILED)
def test_it_is_found_and_named_for_what_it_is(name: str) -> None:
    assert_found(*SPOILED[name])
