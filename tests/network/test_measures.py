"""Amounts in an item's base unit and the room they take."""

from __future__ import annotations

from fractions import Fraction

import pytest

from stationplan.network.errors import QuantityError
from stationplan.network.measures import Room, in_base_unit, own_room, rate_room
from stationplan.scenario.models import Component
from stationplan.scenario.units import parse_quantity, parse_rate

SPONGE = Component.model_validate(
    {"makes": "2 trays", "pieces": "24 discs per tray", "steps": [{"name": "bake", "takes": "10 min"}]}
)
WHITES = Component.model_validate(
    # A large egg has about 30 g of white (kitchen fact, several published tables).
    {"makes": "180 g", "pieces": "1 white per 30 g", "steps": [{"name": "separate", "takes": "10 min"}]}
)


@pytest.mark.parametrize(
    ("written", "trays"), [("3 trays", Fraction(3)), ("12 discs", Fraction(1, 2)), ("1 disc", Fraction(1, 24))]
)
def test_pieces_are_turned_into_base_units(written: str, trays: Fraction) -> None:
    assert in_base_unit(parse_quantity(written), SPONGE, "sponge", ()) == trays


def test_six_whites_of_thirty_grams_are_one_recipe_of_a_hundred_and_eighty() -> None:
    assert in_base_unit(parse_quantity("6 whites"), WHITES, "whites", ()) == WHITES.makes.amount


def test_pieces_without_per_count_for_one_recipe() -> None:
    item = SPONGE.model_copy(update={"pieces": parse_rate("48 discs")})
    assert in_base_unit(parse_quantity("12 discs"), item, "sponge", ()) == Fraction(1, 2)


def test_a_unit_the_item_is_not_counted_in_is_an_error_with_the_way_out() -> None:
    with pytest.raises(QuantityError, match=r"counted in tray or disc, not in g; .*`pieces`") as caught:
        in_base_unit(parse_quantity("40 g"), SPONGE, "sponge", ("products", "tart", "uses", "sponge"))
    assert caught.value.path == ("products", "tart", "uses", "sponge")


@pytest.mark.parametrize(
    ("rate", "size", "room"),
    [
        ("1 tray per tray", 3, 3),
        ("1 tray per 12 discs", 1, 2),
        # 3 l for one recipe, which makes 2 trays.
        ("3 l", 4, 6000),
        ("1 place per batch", 7, 1),
    ],
)
def test_room_by_rate(rate: str, size: int, room: int) -> None:
    assert rate_room(parse_rate(rate), SPONGE, "sponge", ()).amount(size) == room


def test_a_place_counted_like_the_item_takes_its_own_amount() -> None:
    assert own_room("tray", SPONGE) == Room(each=Fraction(1))
    assert own_room("disc", SPONGE) == Room(each=Fraction(24))
    assert own_room("g", SPONGE) is None


def test_the_limit_is_whole_base_units() -> None:
    assert Room(each=Fraction(3, 2)).limit(4) == 2
    assert Room(fixed=Fraction(1)).limit(1) is None
    assert Room(fixed=Fraction(2)).limit(1) == 0
