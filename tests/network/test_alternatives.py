"""Which equipment can do a step, and what it holds."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stationplan.network.alternatives import capacity_of, spots_for_wait, unit_of
from stationplan.network.errors import BatchError, QuantityError
from stationplan.scenario.models import Component, Equipment
from stationplan.scenario.units import parse_rate

from .small import recipe, step

OVENS: list[dict[str, Any]] = [
    {"name": "deck oven", "kind": "oven", "holds": "4 trays", "range": "120..280 C"},
    {"name": "fan oven", "kind": "oven", "count": 2, "holds": "10 trays", "range": "80..220 C", "settings": ["fan"]},
    {"name": "planetary mixer", "kind": "mixer", "holds": "20 l", "usable": "60 %", "least_fill": "10 %"},
    {"name": "stone mixer", "kind": "mixer"},
    {"name": "ring", "kind": "hob", "count": 2},
    {"name": "pot", "kind": "tool", "count": 3, "holds": "5 l"},
]


def choices(equipment: str | list[Any], makes: str = "1 tray", **more: Any) -> list[tuple[str, int | None]]:
    """Names of the equipment a step may use, and the most base units in a batch there."""
    item = {"makes": makes, "steps": [step("work", equipment=equipment, **more)]}
    found = recipe(item, OVENS).alternatives[0]
    return [(OVENS[choice.equipment]["name"], choice.limit()) for choice in found]


def test_a_name_means_one_entry_and_a_kind_all_of_that_kind() -> None:
    assert choices("Deck Oven at 180 C") == [("deck oven", 4)]
    assert choices("oven at 180 C") == [("deck oven", 4), ("fan oven", 10)]


def test_an_oven_that_does_not_reach_the_temperature_or_lacks_the_mode_is_left_out() -> None:
    assert choices("oven at 250 C") == [("deck oven", 4)]
    assert choices("oven at 180 C fan") == [("fan oven", 10)]


def test_no_oven_for_a_setting_is_an_error() -> None:
    with pytest.raises(BatchError, match="no oven in this kitchen has the temperature"):
        choices("oven at 300 C")


def test_an_oven_needs_a_temperature() -> None:
    with pytest.raises(BatchError, match="say at what temperature"):
        choices("oven")


def test_equipment_that_is_not_there_is_an_error() -> None:
    with pytest.raises(BatchError, match="there is no sheeter"):
        choices("sheeter")


def test_alternatives_may_fill_differently() -> None:
    found = choices([{"use": "deck oven at 180 C", "fills": "2 trays per tray"}, "fan oven at 165 C"])
    assert found == [("deck oven", 2), ("fan oven", 10)]


def test_a_bowl_is_filled_to_its_usable_share() -> None:
    # 60 % of 20 l, at 3.5 l a tray: 3 whole trays.
    assert choices("planetary mixer", fills="3.5 l per tray") == [("planetary mixer", 3)]


def test_a_bowl_measured_otherwise_than_the_item_takes_any_batch() -> None:
    assert choices("mixer") == [("planetary mixer", None), ("stone mixer", None)]


def test_a_bowl_measured_like_the_item_takes_its_own_amount() -> None:
    assert choices("planetary mixer", makes="1 l") == [("planetary mixer", 12_000)]


def test_a_hob_without_room_takes_a_batch_on_each_of_its_places() -> None:
    assert choices("ring") == [("ring", None)]


def test_pools_count_all_their_units_together() -> None:
    assert choices("pot", makes="1 l") == [("pot", 15_000)]


@pytest.mark.parametrize("equipment", ["pot", "deck oven at 180 C"])
def test_where_units_differ_the_recipe_must_say_how_much_it_fills(equipment: str) -> None:
    with pytest.raises(QuantityError, match="`fills: 1 "):
        choices(equipment, makes="1 kg")


def test_an_oven_without_room_takes_one_batch_at_a_time() -> None:
    oven = Equipment.model_validate({"name": "kiln", "kind": "oven"})
    assert (capacity_of(oven), unit_of(oven)) == (1, "batch")


def test_a_bowl_without_size_is_one_batch_whatever_its_usable_share() -> None:
    mixer = Equipment.model_validate({"name": "mixer", "kind": "mixer", "usable": "60 %"})
    assert (capacity_of(mixer), unit_of(mixer)) == (1, "batch")


def test_half_a_tray_of_room_is_no_room() -> None:
    oven = Equipment.model_validate({"name": "oven", "kind": "oven", "holds": "2.5 trays"})
    rack = Equipment.model_validate({"name": "rack", "kind": "rack", "holds": "2.5 trays", "count": 2})
    assert (capacity_of(oven), capacity_of(rack)) == (2, 5)


ITEM = Component.model_validate({"makes": "1 tray", "steps": [step("bake")]})
PLACES = [
    Equipment.model_validate(entry)
    for entry in (
        {"name": "small freezer", "kind": "freezer", "holds": "4 trays"},
        {"name": "chest", "kind": "freezer", "holds": "200 l"},
        {"name": "oven", "kind": "oven", "holds": "4 trays"},
    )
]


def test_a_wait_may_be_in_any_place_of_the_kind_that_is_counted_in_its_unit() -> None:
    spots = spots_for_wait("freezer", None, ITEM, "sponge", PLACES, ())
    assert [(spot.equipment, spot.holds(4), spot.holds(Fraction(9, 2))) for spot in spots] == [(0, True, False)]
    spots = spots_for_wait("freezer", parse_rate("8 l per tray"), ITEM, "sponge", PLACES, ())
    assert [spot.equipment for spot in spots] == [1]


def test_a_wait_in_a_place_counted_otherwise_needs_fills() -> None:
    with pytest.raises(QuantityError, match="say how much of the chest sponge fills, in ml"):
        spots_for_wait("chest", None, ITEM, "sponge", PLACES, ())


@pytest.mark.parametrize("place", ["oven", "cellar"])
def test_a_wait_must_be_in_a_place_that_is_there(place: str) -> None:
    with pytest.raises(BatchError, match=f"there is no {place} in this kitchen where sponge could stand"):
        spots_for_wait(place, None, ITEM, "sponge", PLACES, ())


def test_further_places_must_have_the_room() -> None:
    item = {"makes": "1 tray", "steps": [step("roll", also={"ring": "2 places"})]}
    assert [spot.equipment for _, spots in recipe(item, OVENS).besides[0] for spot in spots] == [4]
    item = {"makes": "1 tray", "steps": [step("roll", also={"ring": "3 places"})]}
    with pytest.raises(BatchError, match="no ring in this kitchen has 3 place"):
        recipe(item, OVENS)
