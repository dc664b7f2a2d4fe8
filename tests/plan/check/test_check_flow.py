"""What serves what: orders and users take consecutive shares, the earliest due first."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from stationplan.plan.check.case import lay_beside
from stationplan.plan.check.flow import Flow, follow
from stationplan.plan.document import Plan
from stationplan.scenario.models import Scenario

BOIL = {"name": "boil", "takes": "1 min"}
FILL = {"name": "fill", "takes": "1 min"}


def scenario(**more: Any) -> dict[str, Any]:
    raw = {
        "name": "test",
        "shift": {"opens": "06:00", "closes": "14:00"},
        "kitchen": {"people": [], "equipment": []},
        "components": {"cream": {"makes": "100 g", "steps": [BOIL]}},
        "products": {
            "tart": {"uses": {"cream": "10 g"}, "steps": [FILL]},
            "cup": {"uses": {"cream": "10 g"}, "steps": [FILL]},
        },
    }
    return {**raw, **more}


def flow_of(raw: dict[str, Any], **cuts: tuple[str, str, list[int]]) -> Flow:
    """The flow of a plan that has only batches: each of ``cuts`` is item, step and where its batches end."""
    batches = []
    for letter, (item, step, ends) in cuts.items():
        for place, end in enumerate(ends):
            first = ends[place - 1] if place else 0
            batches.append(
                {
                    "label": f"{letter}{place + 1}",
                    "item": item,
                    "step": step,
                    "number": place + 1,
                    "of": len(ends),
                    "first": str(first),
                    "last": str(end),
                    "unit": "g",
                    "start": 360,
                    "end": 361,
                }
            )
    empty = ("stations", "people", "amounts", "stays", "changes", "orders", "tiers", "reasons", "chain", "legend")
    plan = {
        "name": "test",
        "opens": 360,
        "closes": 840,
        "status": "feasible",
        "batches": batches,
        "scenario": raw,
        **{name: [] for name in empty},
    }
    return follow(lay_beside(Plan.model_validate(plan), Scenario.model_validate(raw)))


def lots_of(flow: Flow) -> list[tuple[str, str, Fraction]]:
    return [
        (lot.before.batch.label, lot.after.batch.label, lot.last - lot.first)
        for lot in flow.lots
        if lot.after is not None
    ]


def test_batches_are_linked_by_their_overlaps() -> None:
    raw = scenario(
        products={"tart": {"steps": [BOIL, FILL]}},
        orders=[{"product": "tart", "quantity": 12}],
    )

    # 0-6-12 against 0-4-8-12: the second of three overlaps both.
    lots = lots_of(flow_of(raw, a=("tart", "boil", [6, 12]), b=("tart", "fill", [4, 8, 12])))

    assert lots == [("a1", "b1", 4), ("a1", "b2", 2), ("a2", "b2", 2), ("a2", "b3", 4)]


def test_orders_take_their_shares_by_due_time_and_those_without_come_last() -> None:
    raw = scenario(
        orders=[
            {"product": "tart", "quantity": 3},
            {"product": "tart", "quantity": 4, "due": "12:00"},
            {"product": "tart", "quantity": 5, "due": "11:00"},
            {"product": "tart", "quantity": 6, "due": "12:00"},
        ]
    )

    shares = flow_of(raw).shares["tart"]

    assert [(share.order, share.first, share.last) for share in shares] == [
        (2, 0, 5),
        (1, 5, 9),
        (3, 9, 15),
        (0, 15, 18),
    ]


def test_the_share_of_an_order_is_larger_by_what_is_lost() -> None:
    raw = scenario(
        products={"tart": {"loss": "20 %", "steps": [FILL]}},
        orders=[{"product": "tart", "quantity": 2}, {"product": "tart", "quantity": 5}],
    )

    # 2 / (1 - 20 %) = 5/2 and 5 / (1 - 20 %) = 25/4
    assert [(share.first, share.last) for share in flow_of(raw).shares["tart"]] == [
        (0, Fraction(5, 2)),
        (Fraction(5, 2), Fraction(35, 4)),
    ]


def test_users_take_a_component_earliest_due_first() -> None:
    raw = scenario(
        orders=[
            {"product": "tart", "quantity": 10, "due": "12:00"},
            {"product": "cup", "quantity": 10, "due": "11:00"},
        ]
    )

    lots = lots_of(
        flow_of(raw, c=("cream", "boil", [100, 200]), t=("tart", "fill", [10]), u=("cup", "fill", [10])),
    )

    assert lots == [("c1", "u1", 100), ("c2", "t1", 100)]


def test_among_the_same_due_the_product_that_stands_first_comes_first_then_the_number() -> None:
    raw = scenario(orders=[{"product": "cup", "quantity": 4}, {"product": "tart", "quantity": 4}])

    lots = lots_of(
        flow_of(raw, c=("cream", "boil", [20, 40, 60, 80]), u=("cup", "fill", [2, 4]), t=("tart", "fill", [2, 4])),
    )

    assert lots == [("c1", "t1", 20), ("c2", "t2", 20), ("c3", "u1", 20), ("c4", "u2", 20)]


def test_a_component_that_uses_another_takes_it_by_the_orders_it_ends_up_in() -> None:
    syrup = {"makes": "10 g", "steps": [BOIL]}
    components = {
        "syrup": syrup,
        "cream": {"makes": "100 g", "uses": {"syrup": "10 g"}, "steps": [BOIL]},
    }
    products = {
        "tart": {"uses": {"cream": "10 g"}, "steps": [FILL]},
        "cup": {"uses": {"syrup": "1 g"}, "steps": [FILL]},
    }
    raw = scenario(
        components=components,
        products=products,
        orders=[
            {"product": "cup", "quantity": 10, "due": "11:00"},
            {"product": "tart", "quantity": 10, "due": "10:00"},
            {"product": "tart", "quantity": 10, "due": "12:00"},
        ],
    )

    # The first half of the cream is for 10:00, the second for 12:00; the cups for 11:00 come between them.
    lots = lots_of(
        flow_of(
            raw,
            s=("syrup", "boil", [10, 20, 30]),
            c=("cream", "boil", [100, 200]),
            t=("tart", "fill", [10, 20]),
            u=("cup", "fill", [10]),
        )
    )

    assert [lot for lot in lots if lot[0].startswith("s")] == [("s1", "c1", 10), ("s2", "u1", 10), ("s3", "c2", 10)]


def test_a_user_takes_more_by_what_is_lost_on_the_way_and_in_the_making() -> None:
    raw = scenario(
        components={"cream": {"makes": "100 g", "loss": "50 %", "steps": [BOIL]}},
        products={"tart": {"uses": {"cream": {"amount": "9 g", "loss": "10 %"}}, "steps": [FILL]}},
        orders=[{"product": "tart", "quantity": 10}],
    )

    # 90 g / (1 - 10 %) = 100 g that can be used, of 100 g / (1 - 50 %) = 200 g made: 20 g made for each tart.
    lots = lots_of(flow_of(raw, c=("cream", "boil", [100, 200]), t=("tart", "fill", [4, 7, 10])))

    assert lots == [("c1", "t1", 80), ("c1", "t2", 20), ("c2", "t2", 40), ("c2", "t3", 60)]


def test_more_than_is_made_cannot_be_taken() -> None:
    raw = scenario(orders=[{"product": "tart", "quantity": 10}])

    lots = lots_of(flow_of(raw, c=("cream", "boil", [100]), t=("tart", "fill", [10, 20])))

    assert lots == [("c1", "t1", 100)]


def test_a_product_that_must_stand_waits_for_delivery_batch_by_batch() -> None:
    raw = scenario(
        products={"tart": {"steps": [FILL, {"wait": "set", "at_least": "20 min"}]}},
        orders=[{"product": "tart", "quantity": 10}],
    )

    lots = flow_of(raw, t=("tart", "fill", [6, 10])).lots

    assert [(lot.before.batch.label, lot.after, lot.last - lot.first, lot.link.least_gap) for lot in lots] == [
        ("t1", None, 6, 20),
        ("t2", None, 4, 20),
    ]
