"""From orders to what is made."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stationplan.network.errors import QuantityError
from stationplan.network.quantities import productions

from .small import scenario, step


def made(**parts: Any) -> dict[str, tuple[Fraction, int]]:
    return {name: (found.need, found.made) for name, found in productions(scenario(**parts)).items()}


def component(makes: str, **more: Any) -> dict[str, Any]:
    return {"makes": makes, "steps": [step("make")], **more}


def test_orders_of_one_product_are_added() -> None:
    orders = [{"product": "tart", "quantity": 12}, {"product": "tart", "quantity": 18, "due": "10:00"}]
    assert made(orders=orders) == {"tart": (30, 30)}


def test_the_egg_whites_of_a_meringue() -> None:
    # A large egg without shell weighs 50 g, its white 30 g, its yolk 18 g (published kitchen tables).
    # 60 nests of 40 g from whites and twice their weight of sugar: 800 g of white, 27 eggs.
    found = made(
        components={
            "white": component("30 g", pieces="1 egg"),
            "meringue": component("300 g", uses={"white": "100 g"}),
        },
        product={"uses": {"meringue": "40 g"}},
        quantity=60,
    )
    assert found["meringue"] == (2400, 2400)
    assert found["white"] == (800, 800)
    assert -(-found["white"][1] // 30) == 27


def test_pieces_are_turned_into_trays_and_rounded_up() -> None:
    found = made(
        components={"sponge": component("2 trays", pieces="24 discs per tray")},
        product={"uses": {"sponge": "1 disc"}},
        quantity=100,
    )
    assert found["sponge"] == (Fraction(100, 24), 5)


def test_losses_on_the_way_and_of_the_component_both_count() -> None:
    found = made(
        components={"glaze": component("1 kg", loss="4 %")},
        product={"uses": {"glaze": {"amount": "24 g", "loss": "20 %"}}},
        quantity=240,
    )
    # 240 x 24 g / 0.8 = 7200 g are poured; 7200 / 0.96 = 7500 g are made.
    assert found["glaze"] == (7200, 7500)


def test_the_loss_of_a_product_is_made_in_addition() -> None:
    assert made(product={"loss": "3 %"}, quantity=100) == {"tart": (100, 104)}


def test_what_a_recipe_uses_is_for_one_makes() -> None:
    found = made(
        components={"paste": component("1 kg")},
        product={"makes": "24 pieces", "uses": {"paste": "600 g"}},
        quantity=60,
    )
    assert found["paste"] == (1500, 1500)


def test_a_shared_component_is_made_for_all_its_users() -> None:
    found = made(
        components={
            "base": component("1 kg"),
            "mousse": component("1 kg", uses={"base": "400 g"}),
        },
        products={
            "cup": {"uses": {"mousse": "50 g"}, "steps": [step("fill")]},
            "slice": {"uses": {"mousse": "30 g", "base": "10 g"}, "steps": [step("layer")]},
        },
        orders=[{"product": "cup", "quantity": 20}, {"product": "slice", "quantity": 10}],
    )
    assert found["mousse"] == (1300, 1300)
    assert found["base"] == (620, 620)


def test_a_component_taken_up_in_two_steps_is_made_for_both() -> None:
    steps = [step("line", uses={"cream": "10 g"}), step("top", uses={"cream": "15 g"})]
    assert made(components={"cream": component("1 kg")}, steps=steps, quantity=4)["cream"] == (100, 100)


def test_what_nobody_needs_is_not_made() -> None:
    products = {"cup": {"steps": [step("fill")]}, "slice": {"uses": {"cream": "10 g"}, "steps": [step("layer")]}}
    assert list(made(components={"cream": component("1 kg")}, products=products)) == ["cup"]


def test_items_stand_in_the_order_of_the_file() -> None:
    components = {"filling": component("1 kg", uses={"stock": "10 g"}), "stock": component("1 kg")}
    assert list(made(components=components, product={"uses": {"filling": "10 g"}})) == ["filling", "stock", "tart"]


def test_a_circle_of_uses_is_an_error() -> None:
    components = {"a": component("1 kg", uses={"b": "10 g"}), "b": component("1 kg", uses={"a": "10 g"})}
    with pytest.raises(QuantityError, match=r"use each other in a circle: [ab], [ab]") as caught:
        productions(scenario(components=components, product={"uses": {"a": "10 g"}}))
    assert caught.value.path[0] == "components"


def test_a_component_that_is_not_there_is_an_error() -> None:
    with pytest.raises(QuantityError, match="there is no such component") as caught:
        productions(scenario(product={"uses": {"cream": "10 g"}}))
    assert caught.value.path == ("products", "tart", "uses", "cream")
