"""Ovens heat and cool, bowls are washed, places are filled: the numbers, worked out by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stationplan.plan.check.bowls import wash_minutes
from stationplan.plan.check.fault import UnclearScenarioError, clock
from stationplan.plan.check.measure import batch_room, room_unit, station_room, waiting_room
from stationplan.plan.check.ovens import State, change_minutes, first_minutes, state_of
from stationplan.plan.document import Seat
from stationplan.scenario.models import Component, Equipment
from stationplan.scenario.units import Rate, parse_rate


def oven(**more: Any) -> Equipment:
    return Equipment.model_validate({"name": "deck oven", "kind": "oven", **more})


def mixer(**more: Any) -> Equipment:
    return Equipment.model_validate({"name": "planetary mixer", "kind": "mixer", **more})


def at(celsius: int | str | None, mode: str = "") -> State:
    return State(None if celsius is None else Fraction(celsius), mode)


@pytest.mark.parametrize(
    ("before", "after", "minutes"),
    [
        (at(160), at(160), 0),
        (at(160), at(180), 3),  # 20 / 8 = 2 1/2
        (at(180), at(160), 5),  # 20 / 4
        (at(160), at(161), 1),
        (at(160), at(160, "fan"), 1),
        (at(160, "fan"), at(180), 3),
        (at(None), at(180), 1),
    ],
)
def test_an_oven_heats_and_cools_at_its_own_rates_and_never_in_no_time(
    before: State, after: State, minutes: int
) -> None:
    assert change_minutes(oven(heats="8 C/min", cools="4 C/min"), before, after) == minutes


def test_an_oven_whose_rates_are_not_given_heats_by_10_and_cools_by_4_degrees_a_minute() -> None:
    assert change_minutes(oven(), at(100), at(200)) == 10
    assert change_minutes(oven(), at(200), at(100)) == 25


@pytest.mark.parametrize(
    ("starts_at", "after", "minutes"),
    [
        (None, at(180), 16),  # from 20 C
        ("180 C", at(180), 0),
        ("180 C", at(180, "fan"), 1),
        ("200 C", at(180), 5),
        ("180 C", at(None), 0),
    ],
)
def test_an_oven_is_ready_for_its_first_load_when_it_is_hot(starts_at: str | None, after: State, minutes: int) -> None:
    assert first_minutes(oven(starts_at=starts_at), after) == minutes


def test_a_temperature_in_fahrenheit_is_taken_exactly_from_the_decimal_number_of_the_plan() -> None:
    # 350 F = 1590/9 C = 176.666... C; from 50 F = 10 C at 10/3 C a minute that is exactly 50 minutes, not 51.
    seat = Seat(station="deck oven", start=0, end=1, amount=1, celsius=float(Fraction(1590, 9)))

    assert state_of(seat) == at("530/3")
    assert first_minutes(oven(heats="6 F/min", starts_at="50 F"), state_of(seat)) == 50


def test_the_closest_entry_for_a_change_of_content_counts() -> None:
    bowl = mixer(
        wash="2 min",
        changeovers=[
            {"before": "nuts", "after": "whites", "takes": "20 min"},
            {"before": "nuts", "after": "anything", "takes": "15 min"},
            {"before": "anything", "after": "whites", "takes": "630 s"},
            {"before": "dough", "after": "dough", "takes": "1 min"},
        ],
    )

    assert wash_minutes(bowl, "nuts", "whites") == 20
    assert wash_minutes(bowl, "nuts", "cream") == 15
    assert wash_minutes(bowl, "cream", "whites") == 11
    assert wash_minutes(bowl, "cream", "dough") == 2
    assert wash_minutes(bowl, "dough", "dough") == 1
    assert wash_minutes(bowl, "nuts", "nuts") == 0


def test_anything_after_anything_comes_before_the_plain_wash() -> None:
    bowl = mixer(wash="2 min", changeovers=[{"before": "anything", "after": "anything", "takes": "5 min"}])

    assert wash_minutes(bowl, "nuts", "cream") == 5
    assert wash_minutes(bowl, "nuts", "nuts") == 0


SPONGE = Component.model_validate(
    {"makes": "2 trays", "pieces": "24 discs per tray", "steps": [{"name": "bake", "takes": "1 min"}]}
)


def rate(text: str | None) -> Rate | None:
    return None if text is None else parse_rate(text)


@pytest.mark.parametrize(
    ("equipment", "fills", "room"),
    [
        (oven(holds="4 trays"), None, 3),  # its own amount
        (oven(holds="96 discs"), None, 72),  # counted in its pieces
        (oven(holds="4 trays"), "1 tray per 36 discs", 2),
        (oven(holds="4 trays"), "3 trays", Fraction(9, 2)),  # per recipe of 2 trays
        (oven(holds="4 trays"), "2 trays per batch", 2),
        (oven(), None, 1),  # one batch at a time
        (mixer(holds="10 l"), "2 l per tray", 6000),
        (mixer(holds="10 l"), None, None),  # nothing says how much of the bowl it fills
        (Equipment(name="bench", kind="bench", count=3), None, 1),  # a place for a batch
        (Equipment(name="bench", kind="bench", count=3), "1 place per tray", 3),
    ],
)
def test_a_batch_of_three_trays_fills(equipment: Equipment, fills: str | None, room: Fraction | None) -> None:
    assert batch_room(SPONGE, "sponge", rate(fills), Fraction(3), equipment) == room


@pytest.mark.parametrize("fills", [None, "1 piece per tray"])
def test_room_in_a_unit_that_does_not_fit_the_oven_is_unclear(fills: str | None) -> None:
    with pytest.raises(UnclearScenarioError):
        batch_room(SPONGE, "sponge", rate(fills), Fraction(3), oven(holds="4 boxes"))


@pytest.mark.parametrize(
    ("fills", "each", "at_once"),
    [(None, 1, 0), ("1 tray per 12 discs", 2, 0), ("3 trays", Fraction(3, 2), 0), ("2 trays per batch", 0, 2)],
)
def test_a_waiting_batch_fills_room_by_its_size_or_as_such(fills: str | None, each: Fraction, at_once: int) -> None:
    rack = Equipment.model_validate({"name": "rack", "kind": "rack", "holds": "20 trays"})

    assert waiting_room(SPONGE, "sponge", rate(fills), rack) == (each, at_once)


def test_what_waits_must_say_how_much_it_fills_where_it_is_not_counted() -> None:
    bench = Equipment.model_validate({"name": "bench", "kind": "bench", "count": 3})

    with pytest.raises(UnclearScenarioError):
        waiting_room(SPONGE, "sponge", None, bench)


def test_the_room_of_a_station_is_one_chamber_what_a_bowl_may_be_filled_or_a_whole_place() -> None:
    racks = Equipment.model_validate({"name": "rack", "kind": "rack", "count": 3, "holds": "20 trays"})

    assert (station_room(oven(count=2, chambers=3, holds="4 trays")), room_unit(oven(holds="4 trays"))) == (4, "tray")
    assert (station_room(oven(count=2)), room_unit(oven())) == (1, "batch")
    assert station_room(mixer(count=2, holds="20 l", usable="60 %")) == 12000
    assert station_room(racks) == 60


@pytest.mark.parametrize(
    ("minutes", "text"), [(5, "00:05"), (575, "09:35"), (1440 + 390, "day 2 06:30"), (1440, "day 2 00:00")]
)
def test_times_are_told_as_clock_times(minutes: int, text: str) -> None:
    assert clock(minutes) == text
