"""Limits and numbers of batches, even split, least fill."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stationplan.network.batches import batch_numbers, raised_to_least_fill, split
from stationplan.network.errors import BatchError, QuantityError

from .small import network, recipe, sizes, step


def numbers(
    made: int, *steps: dict[str, Any], makes: str = "1 tray", equipment: list[dict[str, Any]] | None = None
) -> list[int]:
    found = recipe({"makes": makes, "steps": list(steps)}, equipment)
    return list(batch_numbers(found, Fraction(made), {}).values())


@pytest.mark.parametrize(
    ("made", "number", "expected"),
    [(10, 3, [4, 3, 3]), (9, 3, [3, 3, 3]), (5, 1, [5]), (7, 7, [1] * 7), (11, 4, [3, 3, 3, 2])],
)
def test_sizes_differ_by_one_at_most_and_the_larger_come_first(made: int, number: int, expected: list[int]) -> None:
    ranges = split(Fraction(made), number, counted=True)
    assert [batch.size for batch in ranges] == expected
    assert [batch.first for batch in ranges] == [0, *(batch.last for batch in ranges[:-1])]
    assert ranges[-1].last == made


def test_what_is_weighed_is_split_exactly() -> None:
    # Rounded batches would take slivers from their neighbours, and waits would then chain them all together.
    assert [batch.size for batch in split(Fraction(1000), 3, counted=False)] == [Fraction(1000, 3)] * 3


def test_a_load_is_what_the_oven_holds() -> None:
    assert numbers(9, step("bake", equipment="oven at 180 C")) == [3]


def test_the_largest_alternative_sets_the_limit() -> None:
    ovens = [
        {"name": "small", "kind": "oven", "holds": "2 trays"},
        {"name": "large", "kind": "oven", "holds": "5 trays"},
    ]
    assert numbers(10, step("bake", equipment="small at 180 C or large at 180 C"), equipment=ovens) == [2]


def test_the_cook_may_want_smaller_batches() -> None:
    assert numbers(9, step("bake", equipment="oven at 180 C", batch="1 tray")) == [9]


def test_a_step_without_limit_follows_the_step_before_it() -> None:
    found = numbers(
        8, step("mix", equipment="mixer", fills="4 l per tray"), step("spread"), step("bake", batch="2 trays")
    )
    # 12 l usable hold 3 trays: 3 batches of mixing and of spreading.
    assert found == [3, 3, 4]


def test_what_was_made_in_small_batches_is_not_put_together_again() -> None:
    shape = step("shape", batch="1 tray")
    assert numbers(8, shape, step("bake", equipment="oven at 180 C"), step("glaze")) == [8, 8, 8]


def test_the_cook_may_put_batches_together_again() -> None:
    shape = step("shape", batch="1 tray")
    assert numbers(8, shape, step("bake", equipment="oven at 180 C", batch="4 trays"), step("glaze")) == [8, 2, 2]


def test_a_mixer_that_would_not_be_full_enough_puts_batches_together_again() -> None:
    # A tenth of 20 l: 2 l, 4 trays of half a litre. 8 trays are 2 batches.
    mixer = [{"name": "mixer", "kind": "mixer", "holds": "20 l", "least_fill": "10 %"}]
    whip = step("whip", equipment="mixer", fills="1/2 l per tray")
    assert numbers(8, step("sift", batch="1 tray"), whip, equipment=mixer) == [8, 2]


def test_a_first_step_without_limit_follows_the_next_one_that_has_a_limit() -> None:
    assert numbers(8, step("weigh"), step("sift"), step("bake", batch="2 trays")) == [4, 4, 4]
    assert numbers(8, step("weigh"), step("sift")) == [1, 1]


def test_where_lines_meet_the_step_first_in_the_list_is_followed() -> None:
    found = numbers(
        8,
        step("boil", batch="4 trays"),
        step("whip", batch="2 trays", after="none"),
        step("fold", after=["whip", "boil"]),
    )
    assert found == [2, 4, 2]


def test_forced_numbers_are_taken_over_but_never_exceed_what_is_made() -> None:
    found = recipe({"makes": "1 tray", "steps": [step("mix"), step("bake", batch="2 trays")]})
    assert batch_numbers(found, Fraction(8), {0: 6}) == {0: 6, 1: 4}
    assert batch_numbers(found, Fraction(3), {0: 6}) == {0: 3, 1: 2}


@pytest.mark.parametrize(
    "more",
    [{"equipment": "oven at 180 C", "fills": "5 trays per tray"}, {"batch": "1/2 tray"}],
    ids=["too large for the oven", "batch below one unit"],
)
def test_a_batch_that_does_not_hold_one_unit_is_an_error_with_its_place(more: dict[str, Any]) -> None:
    with pytest.raises(BatchError, match="not even 1 tray of sponge fits") as caught:
        recipe({"makes": "1 tray", "steps": [step("weigh"), step("bake", **more)]})
    assert caught.value.path == ("components", "sponge", "steps", 1)


def test_a_batch_in_a_unit_the_item_has_not_is_an_error() -> None:
    with pytest.raises(QuantityError, match="not in g"):
        recipe({"makes": "1 tray", "steps": [step("bake", batch="2 kg")]})


# Most per batch in planetary mixers of 10, 20 and 60 l: whites 0.5, 1 and 1.9 l; whipped cream 2, 3.8 and 11.4 l
# (published mixer capacity tables; they vary between makers). A cook writes them down with `batch`, or with `fills`.
MIXERS: list[dict[str, Any]] = [
    {"name": "small mixer", "kind": "mixer", "holds": "10 l"},
    {"name": "middle mixer", "kind": "mixer", "holds": "20 l"},
    {"name": "large mixer", "kind": "mixer", "holds": "60 l"},
]


@pytest.mark.parametrize(
    ("mixer", "most", "rises_to", "batches"),
    [
        # 6 l of cream: at 2 l a batch 3 batches, at 3.8 l 2, at 11.4 l 1.
        ("small mixer", "2 l", "10 l per 2 l", 3),
        ("middle mixer", "3800 ml", "20 l per 3800 ml", 2),
        ("large mixer", "11400 ml", "60 l per 11400 ml", 1),
    ],
)
def test_batches_of_cream_by_published_mixer_sizes(mixer: str, most: str, rises_to: str, batches: int) -> None:
    by_cook = step("whip", equipment=mixer, batch=most)
    by_bowl = step("whip", equipment=mixer, fills=rises_to)
    assert numbers(6000, by_cook, makes="1 l", equipment=MIXERS) == [batches]
    assert numbers(6000, by_bowl, makes="1 l", equipment=MIXERS) == [batches]


def test_gastronorm_trays_are_counted_by_what_a_chamber_holds() -> None:
    # Two 1/2 trays (325 x 265 mm, EN 631) lie side by side on the runners of one 1/1 (530 x 325 mm).
    oven = [{"name": "combi", "kind": "oven", "holds": "6 gn"}]
    bake = step("bake", equipment="combi at 160 C", fills="1 gn per 2 half trays")
    assert numbers(30, bake, makes="1 half tray", equipment=oven) == [3]


def test_half_sheet_pans_take_half_the_room_of_full_ones() -> None:
    # Full sheet pan 18 x 26 in, half 13 x 18 in (US trade sizes).
    oven = [{"name": "rack oven", "kind": "oven", "holds": "20 sheets"}]
    bake = step("bake", equipment="rack oven at 350 F", fills="1/2 sheet per half sheet")
    assert numbers(50, bake, makes="1 half sheet", equipment=oven) == [2]


LEAST: list[dict[str, Any]] = [
    {"name": "mixer", "kind": "mixer", "holds": "20 l", "usable": "60 %", "least_fill": "20 %"}
]


def raised(made: int, equipment: list[dict[str, Any]], *steps: dict[str, Any]) -> Fraction:
    return raised_to_least_fill(recipe({"makes": "1 tray", "steps": list(steps)}, equipment), Fraction(made), {})


def test_what_fills_the_mixer_enough_is_left_alone() -> None:
    # 20 % of 20 l are 4 l: four trays of 1 l.
    assert raised(4, LEAST, step("whip", equipment="mixer", fills="1 l per tray")) == 4


def test_too_little_is_raised_to_the_least_fill() -> None:
    assert raised(1, LEAST, step("whip", equipment="mixer", fills="1 l per tray")) == 4
    # 13 trays are two batches of 7 and 6, which fill it enough.
    assert raised(13, LEAST, step("whip", equipment="mixer", fills="1 l per tray")) == 13


def test_every_batch_is_raised() -> None:
    # The cook's batches of 3 trays fill 1.5 l each, too little; of 8 trays 4 l are needed, so no batch is allowed.
    with pytest.raises(BatchError, match="does not fill the equipment of 'whip' enough"):
        raised(6, LEAST, step("whip", equipment="mixer", fills="1/2 l per tray", batch="3 trays"))
    # 5 trays in batches of 4: 3 + 2 fill 3 l and 2 l; 4 + 4 fill it enough.
    assert raised(5, LEAST, step("whip", equipment="mixer", fills="1 l per tray", batch="4 trays")) == 8


def test_a_smaller_mixer_may_take_what_the_large_one_cannot() -> None:
    both = [*LEAST, {"name": "hand mixer", "kind": "mixer", "holds": "3 l"}]
    whip = step("whip", equipment="mixer or hand mixer", fills="1 l per tray")
    assert raised(3, both, whip) == 3
    found = network(
        product={"makes": "1 tray", "steps": [whip]}, equipment=both, quantity=3,
    )  # fmt: skip
    assert [mode.uses[0].resources for mode in found.problem.tasks[0].modes] == [(1,)]


def test_steps_that_ask_for_clashing_quantities_are_an_error() -> None:
    clashing = [
        {"name": "one", "kind": "mixer", "holds": "4998 l", "least_fill": "100 %"},
        {"name": "other", "kind": "mixer", "holds": "4999 l", "least_fill": "100 %"},
    ]
    with pytest.raises(BatchError, match="no quantity of sponge fills every mixer"):
        raised(1, clashing, *(step(name, equipment=name, fills="1 l per tray") for name in ("one", "other")))


def test_surplus_of_a_least_fill_reaches_the_components() -> None:
    whip = step("whip", equipment="mixer", fills="1 l per tray", uses={"syrup": "100 g"})
    syrup = {"makes": "1 kg", "steps": [step("boil")]}
    found = network(product={"makes": "1 tray", "steps": [whip]}, components={"syrup": syrup}, equipment=LEAST)
    assert [(amount.item, amount.least, amount.made) for amount in found.amounts] == [
        ("syrup", 400, 400),
        ("tart", 1, 4),
    ]
    assert sizes(found, "boil") == [400]
