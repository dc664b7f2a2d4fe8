from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from pydantic import ValidationError

from stationplan.scenario.models import Component, EquipmentNeed, Order, Product, Shift, Step, Wait
from stationplan.scenario.units import HandsOn, Quantity, Setting

STEP = {"name": "whip", "takes": "5 min"}


def step(**keys: Any) -> Step:
    return Step.model_validate({**STEP, **keys})


def test_a_product_makes_one_piece_unless_it_says_otherwise() -> None:
    assert Product.model_validate({"steps": [STEP]}).makes == Quantity(Fraction(1), "piece")


def test_a_component_says_what_it_makes() -> None:
    with pytest.raises(ValidationError):
        Component.model_validate({"steps": [STEP]})


@pytest.mark.parametrize(
    ("keys", "hands"),
    [
        ({}, HandsOn(all=True)),
        ({"people": 1}, HandsOn(all=True)),
        ({"people": 1, "equipment": "mixer"}, HandsOn(all=True)),
        ({"equipment": "mixer"}, HandsOn(all=False)),
        ({"load": "2 min"}, HandsOn(all=False)),
        ({"equipment": "mixer", "hands_on": "first 2 min"}, HandsOn(all=False, first=Fraction(2))),
        ({"people": 1, "hands_on": "none", "load": "1 min"}, HandsOn(all=False)),
    ],
)
def test_hands_are_needed_for_all_of_it_unless_a_machine_does_it(keys: dict[str, Any], hands: HandsOn) -> None:
    assert step(**keys).hands() == hands


@pytest.mark.parametrize(
    "written",
    [
        "deck oven at 180 C or Fan Oven at 165 C fan",
        ["deck oven at 180 C", "fan oven at 165 C fan"],
        [{"use": "deck oven at 180 C"}, {"use": "fan oven", "at": "165 C fan"}],
    ],
)
def test_alternatives_are_written_in_several_ways(written: object) -> None:
    assert step(equipment=written).equipment == (
        EquipmentNeed(use="deck oven", at=Setting(Fraction(180))),
        EquipmentNeed(use="fan oven", at=Setting(Fraction(165), "fan")),
    )


def test_after_is_none_a_name_a_mapping_or_a_list() -> None:
    assert step().after is None
    assert step(after="none").after == ()
    limited = step(after=["whip", {"step": "bake", "at_most": "5 min"}]).after
    assert limited is not None
    assert [(after.step, after.at_least, after.at_most) for after in limited] == [("whip", 0, None), ("bake", 0, 5)]
    assert step(after="whip").after == step(after={"step": "whip"}).after == limited[:1]


def test_a_use_is_an_amount_or_a_mapping() -> None:
    uses = step(uses={"sponge": "1 disc", "mousse": {"amount": "45 g", "loss": "5 %", "in": "Freezer"}}).uses
    assert uses["sponge"].amount == Quantity(Fraction(1), "disc")
    assert (uses["mousse"].loss, uses["mousse"].place) == (Fraction(1, 20), "freezer")


def test_none_for_a_known_key_counts_as_not_given() -> None:
    wait = Wait.model_validate({"wait": "rest", "at_least": None, "at_most": None, "in": None})
    assert (wait.at_least, wait.at_most, wait.place) == (0, None, None)


def test_none_for_an_unknown_key_is_refused() -> None:
    with pytest.raises(ValidationError):
        Wait.model_validate({"wait": "rest", "at_least:2 h": None})


def test_a_shift_that_closes_before_it_opens_ends_the_next_day() -> None:
    assert Shift.model_validate({"opens": "22:00", "closes": "06:30"}).closes == 1440 + 390
    assert Shift.model_validate({"opens": "05:00", "closes": "17:30"}).closes == 1050
    assert Shift.model_validate({"opens": "05:00", "closes": "day 3 17:30"}).closes == 2 * 1440 + 1050


def test_a_shift_cannot_close_when_it_opens() -> None:
    with pytest.raises(ValidationError, match="closes when it opens"):
        Shift.model_validate({"opens": "05:00", "closes": "05:00"})


@pytest.mark.parametrize("written", [240, "240", "240 pieces", "240 portions"])
def test_an_order_counts_what_the_product_is_counted_in(written: object) -> None:
    assert Order.model_validate({"product": "bun", "quantity": written}).quantity == 240


def test_an_order_by_weight_counts_grams() -> None:
    assert Order.model_validate({"product": "bun", "quantity": "1.5 kg"}).quantity == 1500


def test_models_cannot_be_changed() -> None:
    with pytest.raises(ValidationError):
        step().name = "fold"  # type: ignore[misc]
