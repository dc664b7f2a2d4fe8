"""What is out of use stands empty, and what comes late is not used before it is there."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.plan.check import FaultKind as Kind

from .spoiling import Change, assert_found, equipment, put, step

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
