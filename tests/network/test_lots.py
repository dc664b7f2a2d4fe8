"""Overlaps of cumulated ranges, and who takes up what first."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from stationplan.network import Network
from stationplan.network.batches import Range, split
from stationplan.network.lots import overlaps

from .small import network, step


def evenly(made: int, number: int) -> tuple[Range, ...]:
    return split(Fraction(made), number, counted=True)


def test_equal_numbers_of_batches_go_one_to_one() -> None:
    assert overlaps(evenly(8, 4), evenly(8, 4)) == [(0, 0, 2), (1, 1, 2), (2, 2, 2), (3, 3, 2)]


def test_a_batch_goes_to_every_batch_whose_range_it_overlaps() -> None:
    # 7 trays: loads of 4 and 3 are cut in batches of 3, 2 and 2.
    assert overlaps(evenly(7, 2), evenly(7, 3)) == [(0, 0, 3), (0, 1, 1), (1, 1, 1), (1, 2, 2)]


def test_ranges_that_only_touch_do_not_overlap() -> None:
    assert overlaps(evenly(4, 2)[:1], evenly(4, 2)[1:]) == []


def pairs(found: Network, item: str) -> list[tuple[str, str | None, Fraction]]:
    return [
        (found.tasks[lot.before].label, None if lot.after is None else found.tasks[lot.after].label, lot.size)
        for lot in found.lots
        if lot.item == item
    ]


def test_a_batch_starts_when_enough_of_what_it_uses_is_ready() -> None:
    # 48 tarts in batches of 12 take half a tray of 24 discs each: the first two batches need the first tray only.
    found = network(
        components={"disc": {"makes": "1 tray", "pieces": "24 discs per tray", "steps": [step("cut", batch="1 tray")]}},
        product={"uses": {"disc": "1 disc"}, "steps": [step("fill", batch="12 pieces")]},
        quantity=48,
    )
    half = Fraction(1, 2)
    assert pairs(found, "disc") == [
        ("Aa1", "Ba1", half),
        ("Aa1", "Ba2", half),
        ("Aa2", "Ba3", half),
        ("Aa2", "Ba4", half),
    ]


def shared(orders: list[dict[str, Any]], **more: Any) -> list[tuple[str, str | None, Fraction]]:
    """Who takes the batches of 300 g of a cream: cups in pairs, and slices one by one, 100 g each."""
    found = network(
        components={"cream": {"makes": "1 kg", "steps": [step("whip", batch="300 g")], **more}},
        products={
            "cup": {"uses": {"cream": "100 g"}, "steps": [step("fill", batch="2 pieces")]},
            "slice": {"uses": {"cream": "100 g"}, "steps": [step("layer", batch="1 piece")]},
        },
        orders=orders,
    )
    return pairs(found, "cream")


def test_without_due_times_products_take_in_the_order_of_the_file() -> None:
    found = shared([{"product": "slice", "quantity": 2}, {"product": "cup", "quantity": 4}])
    # Two batches of 300 g: cups 1-2 and one of cups 3-4 from the first.
    assert found == [
        ("Aa1", "Ba1", 200),
        ("Aa1", "Ba2", 100),
        ("Aa2", "Ba2", 100),
        ("Aa2", "Ca1", 100),
        ("Aa2", "Ca2", 100),
    ]


def test_the_earliest_due_order_takes_first() -> None:
    found = shared(
        [{"product": "slice", "quantity": 2, "due": "09:00"}, {"product": "cup", "quantity": 4, "due": "10:00"}]
    )
    assert found == [
        ("Aa1", "Ca1", 100),
        ("Aa1", "Ca2", 100),
        ("Aa1", "Ba1", 100),
        ("Aa2", "Ba1", 100),
        ("Aa2", "Ba2", 200),
    ]


def test_a_batch_counts_by_the_earliest_order_it_serves() -> None:
    # Cups 1 and 2 are due first, cups 3 and 4 last.
    orders = [
        {"product": "cup", "quantity": 2},
        {"product": "slice", "quantity": 2, "due": "10:00"},
        {"product": "cup", "quantity": 2, "due": "09:00"},
    ]
    found = shared(orders)
    assert [after for _, after, _ in found] == ["Ba1", "Ca1", "Ca2", "Ba2"]


def test_what_cannot_be_used_is_shared_out_in_proportion() -> None:
    # 400 g are taken up; with a loss of a third 600 g are made, and each 100 g taken stand for 150 g made.
    found = shared([{"product": "cup", "quantity": 4}], loss="0.2")
    assert found == [("Aa1", "Ba1", 250), ("Aa2", "Ba2", 250)]


def test_due_times_reach_components_of_components() -> None:
    found = network(
        components={
            "syrup": {"makes": "1 kg", "steps": [step("boil", batch="100 g")]},
            "jam": {"makes": "100 g", "uses": {"syrup": "100 g"}, "steps": [step("cook")]},
            "curd": {"makes": "100 g", "uses": {"syrup": "100 g"}, "steps": [step("stir")]},
        },
        products={
            "jar": {"uses": {"jam": "100 g"}, "steps": [step("fill")]},
            "pot": {"uses": {"curd": "100 g"}, "steps": [step("pour")]},
        },
        orders=[{"product": "jar", "quantity": 1}, {"product": "pot", "quantity": 1, "due": "09:00"}],
    )
    assert pairs(found, "syrup") == [("Aa1", "Ca1", 100), ("Aa2", "Ba1", 100)]


def test_the_end_of_what_is_rounded_up_goes_to_nobody() -> None:
    # 30 of 24 discs a tray are 1 1/4 trays; 2 are made, and 3/4 of the second is left.
    found = network(
        components={"disc": {"makes": "1 tray", "pieces": "24 discs per tray", "steps": [step("cut", batch="1 tray")]}},
        product={"uses": {"disc": "1 disc"}},
        quantity=30,
    )
    assert pairs(found, "disc") == [("Aa1", "Ba1", 1), ("Aa2", "Ba1", Fraction(1, 4))]
