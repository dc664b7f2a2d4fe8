"""Cautions come where a published limit is crossed, once each, with their source, and promise nothing.

The limits are those of the FDA Food Code (3-501.14, .16, .17 and .19) and of SI 2013/2996, Schedule 4.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from stationplan.plan import cautions as rules
from stationplan.plan.cautions import Caution, cautions
from stationplan.plan.document import Amount, Batch, Plan, Seat, Station, StationKind, Stay

HOUR, DAY = 60, 24 * 60
KINDS: dict[str, StationKind] = {
    "deck oven": "oven",
    "drying oven": "oven",
    "ring": "hob",
    "mixer": "mixer",
    "shelf": "rack",
    "fridge": "chiller",
    "blast freezer": "freezer",
    "prover": "prover",
}


def batch(station: str = "mixer", label: str = "Aa1", step: str = "make", celsius: float | None = None) -> Batch:
    seat = Seat(station=station, start=400, end=480, amount=1, celsius=celsius)
    return Batch(
        label=label, item="tart", step=step, number=1, of=1, first="0", last="1", unit="tray", start=400, end=480,
        seats=(seat,),
    )  # fmt: skip


def stay(
    *spans: tuple[str | None, int], name: str = "stand", before: str = "Aa1", most: int | None = None
) -> list[Stay]:
    """Waits after each other, each in a place for some minutes, from 08:00 on."""
    start, found = 480, []
    for position, (place, minutes) in enumerate(spans):
        found.append(
            Stay(
                name=name if position == 0 else f"{name} {position + 1}", item="tart", before=before, after="Ab1",
                position=position, start=start, end=start + minutes, least=0, most=most, station=place,
            )
        )  # fmt: skip
        start += minutes
    return found


def plan(*stays: list[Stay], batches: tuple[Batch, ...] = (batch(),), scenario: dict[str, Any] | None = None) -> Plan:
    stations = [
        Station(name=f"{name} 1", equipment=name, kind=kind, capacity=1, unit="batch") for name, kind in KINDS.items()
    ]
    return Plan(
        name="test",
        opens=360,
        closes=1440,
        status="proved",
        stations=tuple(station.model_copy(update={"name": station.equipment}) for station in stations),
        people=(),
        amounts=(Amount(item="tart", quantity="1", unit="tray", needed="1", recipes="1"),),
        batches=batches,
        stays=tuple(one for chain in stays for one in chain),
        changes=(),
        orders=(),
        tiers=(),
        reasons=(),
        chain=(),
        legend=(),
        scenario=scenario or {},
    )


def told(*stays: list[Stay], after: Batch | None = None) -> list[Caution]:
    """The cautions about times."""
    found = cautions(plan(*stays, batches=(after or batch(),)))
    return [caution for caution in found if caution.source != rules.TRADE]


def told_of(recipe: dict[str, Any], *, ingredients: dict[str, Any] | None = None, on: str = "ring") -> list[str]:
    """The cautions about a recipe, without those about burns."""
    scenario = {"components": {"tart": recipe}, "ingredients": ingredients or {}}
    found = cautions(plan(batches=(batch(on),), scenario=scenario))
    return [caution.sentence for caution in found if not caution.sentence.startswith("burns")]


# FDA Food Code 3-501.19: at most 4 h. SI 2013/2996, Schedule 4: less than 4 h. So 4 h itself is told of.
@pytest.mark.parametrize("place", ["shelf", "mixer", "prover", None])
@pytest.mark.parametrize(("minutes", "told_so"), [(4 * HOUR - 1, False), (4 * HOUR, True), (4 * HOUR + 1, True)])
def test_four_hours_outside_the_cold_are_told(place: str | None, minutes: int, told_so: bool) -> None:
    found = told(stay((place, minutes)))
    assert bool(found) is told_so
    assert all(caution.source == rules.TIME_AS_CONTROL for caution in found)


@pytest.mark.parametrize("place", ["fridge", "blast freezer"])
def test_what_stands_in_the_cold_is_not_outside_it(place: str) -> None:
    assert told(stay((place, 20 * HOUR))) == []


def test_waits_outside_the_cold_that_follow_each_other_are_added_up() -> None:
    (caution,) = told(stay(("shelf", 2 * HOUR), (None, 2 * HOUR + 10)))
    assert caution.sentence.startswith(
        "tart (stand and stand 2 after Aa1) stands 4 h 10 min from 08:00 outside the cold:"
    )
    assert told(stay(("shelf", 3 * HOUR), ("fridge", HOUR), ("shelf", 3 * HOUR))) == []
    assert told(stay(("shelf", 3 * HOUR)), stay(("shelf", 3 * HOUR))) == []


# FDA Food Code 3-501.14 (A): 57 to 21 C within 2 h, and to 5 C within 6 h in all.
@pytest.mark.parametrize(
    ("minutes", "limit"), [(120, None), (121, "2 h in which"), (360, "2 h in which"), (361, "6 h in which")]
)
@pytest.mark.parametrize("heat", [batch("ring"), batch("deck oven", celsius=180), batch("deck oven", celsius=57)])
def test_what_comes_off_the_heat_is_told_after_two_and_after_six_hours(
    heat: Batch, minutes: int, limit: str | None
) -> None:
    found = told(stay(("shelf", minutes), ("fridge", HOUR)), after=heat)
    assert [caution.source for caution in found] == ([] if limit is None else [rules.COOLING])
    assert all(f"more than the {limit}" in caution.sentence for caution in found)


def test_what_was_never_hot_has_not_to_cool() -> None:
    assert told(stay(("shelf", 3 * HOUR)), after=batch("drying oven", celsius=50)) == []
    assert told(stay(("shelf", 3 * HOUR))) == []


def test_what_has_been_in_the_cold_is_off_the_heat_no_more() -> None:
    heat = batch("ring")
    assert told(stay(("fridge", HOUR), ("shelf", 3 * HOUR)), after=heat) == []
    (caution,) = told(stay(("fridge", HOUR), ("shelf", 5 * HOUR)), after=heat)
    assert caution.source == rules.TIME_AS_CONTROL


# FDA Food Code 3-501.16: 57 C. SI 2013/2996, Schedule 4: 63 C, less for one period of 2 h.
@pytest.mark.parametrize(("minutes", "sources"), [(120, []), (121, [rules.HOT_HOLDING])])
def test_two_hours_on_a_hob_are_told(minutes: int, sources: list[str]) -> None:
    assert [caution.source for caution in told(stay(("ring", minutes)))] == sources


def test_what_comes_from_a_hob_where_it_stood_comes_off_the_heat() -> None:
    (caution,) = told(stay(("ring", HOUR), ("shelf", 3 * HOUR)))
    assert caution.source == rules.COOLING


# FDA Food Code 3-501.17: 7 days, the day it is made counted as the first: from 08:00 on day 1 to midnight of day 7.
@pytest.mark.parametrize(
    ("minutes", "sources"),
    [(7 * DAY - 481, []), (7 * DAY - 480, [rules.DATE_MARKING]), (9 * DAY, [rules.DATE_MARKING])],
)
def test_an_eighth_day_in_a_chiller_is_told(minutes: int, sources: list[str]) -> None:
    assert [caution.source for caution in told(stay(("fridge", minutes)))] == sources
    assert told(stay(("blast freezer", minutes))) == []


@pytest.mark.parametrize(("most", "sources"), [(7 * DAY, []), (7 * DAY + 1, [rules.DATE_MARKING])])
def test_a_recipe_that_allows_more_than_seven_days_in_a_chiller_is_told(most: int, sources: list[str]) -> None:
    assert [caution.source for caution in told(stay(("fridge", HOUR), most=most))] == sources
    assert told(stay(("blast freezer", HOUR), most=most)) == []


def test_each_rule_is_told_once_with_its_longest_case() -> None:
    runs = [stay(("shelf", minutes), name=name) for minutes, name in ((300, "prove"), (400, "dry"), (260, "cool"))]
    (caution,) = told(*runs)
    assert caution.sentence.startswith(
        "tart (dry after Aa1) stands 6 h 40 min from 08:00 outside the cold (so do 2 others)"
    )
    (caution,) = told(runs[0], runs[0], runs[1])
    assert "(so does 1 other)" in caution.sentence


def test_stations_that_burn_are_named_once_in_the_order_of_the_kitchen() -> None:
    used = (batch("ring", "Ab1"), batch("deck oven", celsius=180), batch("deck oven", "Aa2", celsius=180))
    (caution,) = cautions(plan(stay(("blast freezer", HOUR)), batches=used))
    assert caution == Caution(
        "burns: dry cloths or gloves at deck oven and ring, gloves for bare metal out of blast freezer", rules.TRADE
    )
    assert cautions(plan()) == ()


@pytest.mark.parametrize(
    ("sugar", "told_so"), [("99 g", False), ("100 g", True), ("1 kg", True), ("0.1 kg", True), ("3 pieces", False)]
)
def test_a_third_of_sugar_on_a_hob_is_hot_sugar(sugar: str, told_so: bool) -> None:
    recipe = {"ingredients": {"Brown sugar": sugar, "water": "150 ml"}, "steps": [{"ingredients": {"cream": "50 g"}}]}
    assert any(sentence.startswith("hot sugar at tart: make (Aa1 06:40)") for sentence in told_of(recipe)) is told_so
    assert told_of(recipe, on="mixer") == []


def test_a_step_that_is_named_after_sugar_work_is_told_whatever_is_in_it() -> None:
    on_the_ring = batch("ring", step="boil caramel")
    found = [caution.sentence for caution in cautions(plan(batches=(on_the_ring, on_the_ring)))]
    assert [sentence.count("tart: boil caramel") for sentence in found if "hot sugar" in sentence] == [1]


# The lists of allergens are for the input to check; here is told what somebody declared.
def test_declared_allergens_of_what_is_made_are_named_once() -> None:
    recipe = {"ingredients": {"Butter": "1 g", "flour": "1 g"}, "steps": [{"ingredients": {"praline": "1 g"}}]}
    declared = {
        "butter": {"contains": "milk"},
        "praline": {"contains": ["tree nuts", "Milk"]},
        "flour": {"contains": "none"},
        "tofu": {"contains": "soy"},
    }
    (sentence,) = told_of(recipe, ingredients=declared, on="mixer")
    assert sentence.startswith("allergens as declared: milk, tree nuts; what is not declared may be there all the same")
    assert told_of(recipe, on="mixer") == []


def test_no_caution_says_that_something_is_safe_and_each_has_a_source() -> None:
    everything = plan(
        stay(("shelf", 5 * HOUR)),
        stay(("shelf", 7 * HOUR), before="Ab1"),
        stay(("ring", 3 * HOUR)),
        stay(("fridge", 8 * DAY)),
        batches=(batch(), batch("ring", "Ab1", "boil syrup")),
        scenario={
            "components": {"tart": {"ingredients": {"egg": "1 g"}}},
            "ingredients": {"egg": {"contains": "egg"}},
        },
    )
    found = cautions(everything)
    assert [caution.source for caution in found] == [
        rules.COOLING,
        rules.TIME_AS_CONTROL,
        rules.HOT_HOLDING,
        rules.DATE_MARKING,
        rules.TRADE,
        rules.TRADE,
        rules.ALLERGENS,
    ]
    for caution in found:
        assert not re.search(r"\bsafe|\bfine\b|\bcompli|\bin order\b|\bfree from\b", caution.sentence, re.IGNORECASE)


@pytest.mark.parametrize(
    "scenario",
    [
        {"components": [], "products": "x", "ingredients": 3},
        {"components": {"tart": {"ingredients": ["sugar"], "steps": "mix"}}, "ingredients": {"sugar": "sweet"}},
        {"components": {"tart": {"ingredients": {"sugar": None, "salt": "a lot"}, "steps": [3, {"steps": [None]}]}}},
    ],
)
def test_a_scenario_that_says_it_otherwise_is_no_reason_to_fail(scenario: dict[str, Any]) -> None:
    assert len(cautions(plan(batches=(batch("ring"),), scenario=scenario))) == 1
