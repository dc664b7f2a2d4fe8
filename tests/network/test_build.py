"""The scheduling problem of a scenario: tasks, links, holds, deliveries."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.engine.problem import Delivery, Hold, Link, LinkKind
from stationplan.network import BatchError, Network
from stationplan.network.network import MoveTask

from .small import batches, index_of, lots, network, step


def wait(name: str, at_least: str = "0 min", **more: Any) -> dict[str, Any]:
    return {"wait": name, "at_least": at_least, **more}


def links(found: Network) -> list[tuple[str, str, int | None, int | None]]:
    """The links from an end to a start."""
    return [
        (found.tasks[link.before].label, found.tasks[link.after].label, link.least, link.most)
        for link in found.problem.links
        if link.kind is LinkKind.END_START
    ]


def order(found: Network) -> list[tuple[str, str]]:
    return [
        (found.tasks[link.before].label, found.tasks[link.after].label)
        for link in found.problem.links
        if link.kind is LinkKind.START_START
    ]


def trays(*steps: dict[str, Any], quantity: int = 1, **more: Any) -> Network:
    return network(product={"makes": "1 tray", "steps": list(steps)}, quantity=quantity, **more)


def test_time_zero_is_the_opening_and_everything_ends_before_closing() -> None:
    found = trays(step("mix"), closes="08:30")
    assert (found.opens, found.closes, found.problem.horizon) == (360, 510, 150)
    assert [task.deadline for task in found.problem.tasks] == [150]


def test_a_shift_may_go_on_after_midnight() -> None:
    assert trays(step("mix"), closes="02:00").problem.horizon == 20 * 60


def test_batches_of_a_step_start_in_the_order_of_their_numbers_in_every_round() -> None:
    found = trays({"repeat": 2, "steps": [step("fold", batch="1 tray")]}, quantity=3)
    assert [batch.label for batch in batches(found, "fold")] == ["Aa1.1", "Aa2.1", "Aa3.1", "Aa1.2", "Aa2.2", "Aa3.2"]
    assert [(batch.number, batch.of, batch.round) for batch in batches(found, "fold")][3:5] == [(1, 3, 2), (2, 3, 2)]
    assert order(found) == [("Aa1.1", "Aa2.1"), ("Aa2.1", "Aa3.1"), ("Aa1.2", "Aa2.2"), ("Aa2.2", "Aa3.2")]


def test_rounds_follow_each_other_batch_by_batch_over_the_wait_between_them() -> None:
    fold = [step("fold", batch="1 tray"), wait("rest", "30 min", at_most="2 h")]
    found = trays({"repeat": 3, "steps": fold}, step("roll", batch="1 tray"), quantity=2)
    assert links(found) == [
        ("Aa1.1", "Aa1.2", 30, 120),
        ("Aa2.1", "Aa2.2", 30, 120),
        ("Aa1.2", "Aa1.3", 30, 120),
        ("Aa2.2", "Aa2.3", 30, 120),
        ("Aa1.3", "Ab1", 30, 120),
        ("Aa2.3", "Ab2", 30, 120),
    ]


def test_every_minute_beyond_the_least_of_a_lot_counts_as_untidy() -> None:
    found = trays(step("bake"), wait("cool", "20 min"), step("cut"), step("pack"))
    assert [link.tidy for link in found.problem.links] == [1, 1]


def test_a_wait_in_a_place_holds_room_for_each_lot() -> None:
    found = trays(
        step("bake", batch="3 trays"), wait("cool", "20 min", **{"in": "rack"}), step("cut", batch="1 tray"), quantity=5
    )
    rack = next(index for index, resource in enumerate(found.problem.resources) if resource.name == "trolley")
    cut = [index_of(found, f"Ab{number}") for number in range(1, 6)]
    assert found.problem.holds == tuple(
        Hold(before, after, (rack,), 1) for before, after in zip([0, 0, 0, 1, 1], cut, strict=True)
    )
    (lot,) = lots(found, "Aa1", "Ab1")
    assert (lot.size, lot.stands[0].name, lot.holds) == (1, "cool", (0,))


def test_a_lot_that_shares_a_tray_leaves_before_the_one_that_takes_the_tray_along() -> None:
    # 3 kg of cream on one tray of 4 kg, taken up by three batches: the tray is free when the last has its share.
    stands = {"fills": "1 tray per 4 kg", "in": "freezer"}
    found = network(
        components={"cream": {"makes": "1 kg", "steps": [step("whip"), wait("chill", "1 h", **stands)]}},
        product={"uses": {"cream": "1 kg"}, "steps": [step("fill", batch="1 piece")]},
        quantity=3,
    )
    (hold,) = found.problem.holds
    assert (found.tasks[hold.after].label, hold.amount) == ("Ba3", 1)
    assert [lot.holds for lot in found.lots] == [(None,), (None,), (0,)]
    assert order(found).count(("Ba1", "Ba2")) == 2


def test_waits_in_a_row_are_joined_by_moves() -> None:
    found = trays(
        step("bake"),
        wait("cool", "20 min", **{"in": "trolley"}),
        wait("freeze", "2 h", at_most="3 days", **{"in": "blast freezer"}),
        step("cut"),
    )
    move = found.tasks[2]
    assert move == MoveTask("Aa1 > Ab1, 1", 0, 0)
    assert [mode.duration for mode in found.problem.tasks[2].modes] == [0]
    assert links(found) == [("Aa1", move.label, 20, None), (move.label, "Ab1", 120, 4320)]
    assert [(hold.before, hold.after) for hold in found.problem.holds] == [(0, 2), (2, 1)]
    assert (found.lots[0].tasks, found.lots[0].links, found.lots[0].holds) == ((0, 2, 1), (0, 1), (0, 1))


def test_a_place_of_the_kind_that_is_too_small_is_left_out() -> None:
    racks = [{"name": name, "kind": "rack", "holds": f"{room} trays"} for name, room in (("small", 2), ("large", 6))]
    found = trays(step("bake"), wait("cool", **{"in": "rack"}), step("cut"), quantity=3, equipment=racks)
    assert [hold.resources for hold in found.problem.holds] == [(1,)]


def test_a_lot_that_no_place_holds_is_an_error() -> None:
    with pytest.raises(BatchError) as caught:
        trays(step("mix"), wait("freeze", **{"in": "blast freezer"}), step("cut"), quantity=17)
    assert str(caught.value) == (
        "17 trays of tart at once takes 17 trays, and the blast freezer holds 16 trays; "
        "give the step before it a smaller `batch`"
    )
    assert caught.value.path == ("products", "tart", "steps", 1)


def test_a_whole_cake_that_no_place_holds_is_not_told_to_be_made_in_parts() -> None:
    with pytest.raises(BatchError) as caught:
        trays(step("mix"), wait("freeze", fills="18 trays", **{"in": "blast freezer"}), step("cut"), quantity=1)
    assert str(caught.value) == "1 tray of tart at once takes 18 trays, and the blast freezer holds 16 trays"


COMPONENT: dict[str, Any] = {"makes": "1 tray", "pieces": "12 discs per tray", "steps": [step("bake", batch="1 tray")]}


def with_component(use: Any, *waits: dict[str, Any]) -> Network:
    component = {**COMPONENT, "steps": [*COMPONENT["steps"], *waits]}
    return network(
        components={"base": component}, product={"uses": {"base": use}, "steps": [step("fill")]}, quantity=12
    )


def test_the_trailing_wait_of_a_component_is_before_every_step_that_takes_it_up() -> None:
    assert links(with_component("1 disc", wait("cool", "20 min"))) == [("Aa1", "Ba1", 20, None)]


def test_a_use_may_ask_for_a_wait_of_its_own() -> None:
    found = with_component({"amount": "1 disc", "at_least": "1 h", "in": "trolley"}, wait("cool", "20 min"))
    assert links(found) == [("Aa1", "Aa1 > Ba1, 1", 20, None), ("Aa1 > Ba1, 1", "Ba1", 60, None)]
    (lot,) = found.lots
    assert [(stand.name, stand.place) for stand in lot.stands] == [("cool", None), ("", "trolley")]
    assert lot.holds == (None, 0)


def test_limits_of_a_use_alone_are_a_plain_link() -> None:
    found = with_component({"amount": "1 disc", "at_least": "5 min", "at_most": "15 min"})
    assert links(found) == [("Aa1", "Ba1", 5, 15)]


def test_a_step_further_down_may_take_up_a_component() -> None:
    steps = [step("line"), step("top", uses={"base": "1 disc"})]
    found = network(components={"base": COMPONENT}, steps=steps, quantity=12)
    assert links(found) == [("Ba1", "Bb1", 0, None), ("Aa1", "Bb1", 0, None)]


def test_a_product_is_ready_after_the_least_of_its_trailing_waits() -> None:
    chill = [wait("set", "1 h", at_most="1 day", **{"in": "blast freezer"}), wait("temper", "15 min")]
    found = trays(
        step("fill"), *chill, quantity=2, orders=[{"product": "tart", "quantity": 2, "due": "12:00", "weight": 3}]
    )
    assert [task.label for task in found.tasks] == ["Aa1", "Aa1 > ready, 1", "Aa1 > ready, 2"]
    assert links(found) == [("Aa1", "Aa1 > ready, 1", 60, 60), ("Aa1 > ready, 1", "Aa1 > ready, 2", 15, 15)]
    assert [(hold.before, hold.after, hold.amount) for hold in found.problem.holds] == [(0, 1, 2)]
    assert found.problem.deliveries == (Delivery("2 tart", (2,), 360, 3),)
    assert (found.orders[0].batches, found.orders[0].ready) == ((0,), (2,))


def test_each_order_waits_for_the_batches_it_is_made_from() -> None:
    orders = [
        {"product": "tart", "quantity": 3},
        {"product": "tart", "quantity": 3, "due": "10:00"},
        {"product": "tart", "quantity": 2, "due": "08:00"},
    ]
    found = network(steps=[step("fill", batch="2 pieces")], orders=orders)
    # Lined up: 2 for 08:00, 3 for 10:00, 3 without due time, from batches of 2.
    assert [[found.tasks[task].label for task in entry.batches] for entry in found.orders] == [
        ["Aa3", "Aa4"],
        ["Aa2", "Aa3"],
        ["Aa1"],
    ]
    assert [(delivery.tasks, delivery.due) for delivery in found.problem.deliveries] == [((1, 2), 240), ((0,), 120)]


def test_amounts_say_what_is_made_and_how_many_recipes_that_is() -> None:
    found = network(
        components={"base": COMPONENT}, product={"makes": "4 pieces", "uses": {"base": "4 discs"}}, quantity=30
    )
    assert [(a.item, a.made, a.least, a.unit, a.recipes) for a in found.amounts] == [
        ("base", 3, 3, "tray", 3),
        ("tart", 30, 30, "piece", 7.5),
    ]


def test_components_stand_before_products_whatever_uses_them() -> None:
    found = network(components={"base": COMPONENT}, product={"uses": {"base": "1 disc"}})
    assert [task.label for task in found.tasks] == ["Aa1", "Ba1"]
    assert (found.problem.links, found.people) == ((Link(0, 1, 0, None, tidy=1),), ("Ines", "Odo"))


def test_the_same_scenario_gives_the_same_problem() -> None:
    def once() -> Network:
        return with_component({"amount": "1 disc", "at_least": "1 h", "in": "rack"}, wait("cool", "20 min"))

    assert once() == once()
