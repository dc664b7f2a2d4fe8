"""Lots of one batch share trays while they wait, and leave them in their order."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.plan.check import FaultKind, check_plan
from stationplan.plan.document import Plan

STANDING = {FaultKind.STAY_AMOUNT, FaultKind.STAY_SEQUENCE, FaultKind.STAY_PLACE}
OPENS = 360


def scenario(fills: str, **more: Any) -> dict[str, Any]:
    """Ten sheets, baked at once, that wait on trays for being cut three, three, two and two."""
    return {
        "name": "test",
        "shift": {"opens": "06:00", "closes": "14:00"},
        "kitchen": {
            "people": [{"name": "Ada"}],
            "equipment": [
                {"name": "tall rack", "kind": "rack", "holds": "20 trays"},
                {"name": "trolley", "kind": "rack", "holds": "20 trays"},
            ],
        },
        "products": {
            "sheet": {
                "steps": [
                    {"name": "bake", "takes": "10 min"},
                    {"wait": "cool", "in": "rack", "fills": fills, **more},
                    {"name": "cut", "takes": "5 min"},
                ]
            }
        },
        "orders": [{"product": "sheet", "quantity": 10}],
    }


def standing_faults(
    raw: dict[str, Any], amounts: list[int], *, leaving: list[int] | None = None, stations: Any = None
) -> list[tuple[FaultKind, tuple[str, ...]]]:
    """What the check finds wrong with the room of the four lots."""
    leaving = leaving or [10, 20, 30, 40]
    stations = stations or ["tall rack"] * 4
    ends = [0, 3, 6, 8, 10]
    batches = [batch("Aa1", "bake", 1, 1, 0, 10, 0, 10)]
    stays = []
    for place, amount in enumerate(amounts):
        label = f"Ab{place + 1}"
        start = leaving[place]
        batches.append(batch(label, "cut", place + 1, 4, ends[place], ends[place + 1], start, start + 5))
        stays.append(
            {
                "name": "cool",
                "item": "sheet",
                "before": "Aa1",
                "after": label,
                "start": OPENS + 10,
                "end": OPENS + start,
                "least": 0,
                "most": None,
                "station": stations[place],
                "amount": amount,
            }
        )
    empty = ("stations", "people", "amounts", "changes", "orders", "tiers", "reasons", "chain", "legend")
    rows = [
        {"name": name, "equipment": name, "kind": "rack", "capacity": 20, "unit": "tray"}
        for name in ("tall rack", "trolley")
    ]
    plan = {
        **{name: [] for name in empty},
        "name": "test",
        "opens": OPENS,
        "closes": 840,
        "status": "feasible",
        "stations": rows,
        "batches": batches,
        "stays": stays,
        "scenario": raw,
    }
    faults = check_plan(Plan.model_validate(plan))
    return [(fault.kind, fault.labels) for fault in faults if fault.kind in STANDING]


def batch(label: str, step: str, number: int, of: int, first: int, last: int, start: int, end: int) -> dict[str, Any]:
    return {
        "label": label,
        "item": "sheet",
        "step": step,
        "number": number,
        "of": of,
        "first": str(first),
        "last": str(last),
        "unit": "piece",
        "start": OPENS + start,
        "end": OPENS + end,
    }


# Four sheets to a tray: the lots end after 3/4, 1 1/2, 2 and 2 1/2 trays. The first two share the first tray, the
# second and third the second one; the fourth has the third tray for itself.
FOUR_TO_A_TRAY = scenario("1 tray per 4 pieces")


def test_a_shared_tray_counts_with_the_lot_that_leaves_it_last() -> None:
    assert standing_faults(FOUR_TO_A_TRAY, [0, 1, 1, 1]) == []


@pytest.mark.parametrize("amounts", [[1, 1, 1, 1], [1, 0, 1, 1], [0, 1, 1, 0], [0, 1, 2, 1]])
def test_any_other_way_of_counting_is_found(amounts: list[int]) -> None:
    kinds = {kind for kind, _ in standing_faults(FOUR_TO_A_TRAY, amounts)}

    assert kinds == {FaultKind.STAY_AMOUNT}


def test_a_lot_that_has_no_tray_of_its_own_need_not_say_where_it_stands() -> None:
    assert standing_faults(FOUR_TO_A_TRAY, [0, 1, 1, 1], stations=[None, "tall rack", "tall rack", "tall rack"]) == []


def test_a_shared_tray_is_not_taken_away_under_a_lot_that_stands_on_it() -> None:
    faults = standing_faults(FOUR_TO_A_TRAY, [0, 1, 1, 1], leaving=[21, 20, 30, 40])

    assert faults == [(FaultKind.STAY_SEQUENCE, ("Aa1", "Ab1", "Ab2"))]


def test_lots_on_trays_of_their_own_leave_in_any_order() -> None:
    # After eight sheets two trays are full, so the last lot can go first.
    assert standing_faults(FOUR_TO_A_TRAY, [0, 1, 1, 1], leaving=[20, 20, 30, 10]) == []


def test_lots_that_share_a_tray_stand_in_the_same_place() -> None:
    faults = standing_faults(FOUR_TO_A_TRAY, [0, 1, 1, 1], stations=[None, "tall rack", "trolley", "trolley"])

    assert faults == [(FaultKind.STAY_PLACE, ("Aa1", "Ab3"))]


def test_lots_on_trays_of_their_own_may_stand_apart() -> None:
    assert standing_faults(FOUR_TO_A_TRAY, [0, 1, 1, 1], stations=[None, "tall rack", "tall rack", "trolley"]) == []


def test_what_a_batch_fills_as_such_goes_with_its_last_lot() -> None:
    raw = scenario("2 trays per batch")

    assert standing_faults(raw, [0, 0, 0, 2]) == []
    assert standing_faults(raw, [0, 0, 2, 2], stations=[None, None, "tall rack", "tall rack"]) == [
        (FaultKind.STAY_AMOUNT, ("Aa1", "Ab3")),
    ]
    assert standing_faults(raw, [0, 0, 0, 2], leaving=[10, 20, 41, 40]) == [
        (FaultKind.STAY_SEQUENCE, ("Aa1", "Ab3", "Ab4"))
    ]


def test_whole_trays_are_shared_by_nobody() -> None:
    assert standing_faults(scenario("1 tray per piece"), [3, 3, 2, 2], leaving=[40, 30, 20, 10]) == []
