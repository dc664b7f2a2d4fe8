"""What to weigh, as text: nothing is wider than asked for, and nothing is lost where it is narrow."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stationplan.plan.eggs import Eggs
from stationplan.plan.ingredients import Contents, Converted, Portion
from stationplan.render.lettering import columns
from stationplan.render.quantities import measured, store_rows, weighed, weighing_page
from stationplan.scenario.units import parse_quantity

from .invented_weighing import BEFORE, PLANNED, batch, portion

NAMES = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=80)


@given(st.lists(NAMES, min_size=1, max_size=4), st.integers(60, 200), st.booleans())
def test_no_line_is_wider_than_asked_for(names: list[str], width: int, unicode: bool) -> None:
    parts = [portion(name, "123456 cups", grams="123456") for name in names]
    batches = (batch("Aa1", "sponge", "mix", "1 tray", "1", *parts),)
    known = replace(PLANNED, batches=batches, store=Contents(batches).totals())
    for line in weighing_page(known, width=width, unicode=unicode).splitlines():
        assert columns(line) <= width


@pytest.mark.parametrize("width", [60, 80, 120, 200])
def test_a_narrow_page_says_what_a_wide_one_does(width: int) -> None:
    def words(page: str) -> list[str]:
        return sorted(page.split())

    assert words(weighing_page(PLANNED, width=width)) == words(weighing_page(PLANNED, width=400))


@pytest.mark.parametrize(
    ("eggs", "told"),
    [
        (Eggs(0, 26, 14), "26; 26 for 26 whites and 14 yolks, 12 yolks left over"),
        (Eggs(3, 0, 5), "8; 3 whole, 5 for 5 yolks, 5 whites left over"),
        (Eggs(0, 1, 1), "1; 1 for 1 white and 1 yolk"),
    ],
)
def test_eggs_are_told_by_what_they_are_for(eggs: Eggs, told: str) -> None:
    page = weighing_page(replace(BEFORE, eggs=eggs), width=200, only="store")
    assert f"eggs to crack, if all of it comes out of shells: {told}\n" in page


def test_a_wash_that_is_not_planned_is_told() -> None:
    unwashed = replace(PLANNED, handovers=(replace(PLANNED.handovers[0], washed=None),))
    assert "no wash is planned in between" in weighing_page(unwashed, width=400)


def test_nothing_is_called_free_from_anything() -> None:
    assert "free" not in weighing_page(PLANNED, width=120)


def gelatin(asked: str, grams: str, sheets: str) -> Portion:
    """Gelatin of 160 bloom, weighed for a recipe that reckons with 200."""
    return portion(
        "gelatin", f"{grams} g", pieces=f"{sheets} sheets", instead_of=Converted(parse_quantity(asked), 200, 160)
    )


def test_gelatin_of_another_strength_says_what_to_weigh_how_many_sheets_to_have_and_what_was_asked_for() -> None:
    # 17.2 sheets of 200 bloom weigh 34.4 g; in proportion that is 34.4 x 200 / 160 = 43 g of 160 bloom, for which 18
    # sheets of 2.5 g have to be at hand. (Both rules and the weights of sheets: published kitchen tables.)
    assert measured(gelatin("17.2 sheets", "43", "17.2")) == (
        "43 g",
        "out of 18 sheets of 160 bloom; the recipe asks for 17.2 sheets of 200 bloom",
    )
    assert measured(gelatin("36 g", "45", "18")) == (
        "45 g",
        "18 sheets of 160 bloom; the recipe asks for 36 g of 200 bloom",
    )


def test_sheets_are_drawn_for_what_is_weighed() -> None:
    # Two bowls of 12.6 g are weighed as 13 g each: 26 g are 10.4 sheets of 2.5 g, and not the 10.08 of 25.2 g.
    part = gelatin("10.08 g", "12.6", "5.04")
    bowls = tuple(batch(label, "cream", "soak", "1 kg", "1", part) for label in ("Aa1", "Aa2"))
    known = replace(BEFORE, store=Contents(bowls).totals())
    assert store_rows(known) == [("gelatin", "26 g", "11 sheets of 160 bloom; the recipe asks for 20 g of 200 bloom")]


@pytest.mark.parametrize(
    ("part", "told"),
    [
        (portion("egg yolk", "16.8 yolks", grams="302.4"), "16.8 egg yolks (302 g)"),
        (portion("Eggs", "3 eggs", grams="150"), "3 eggs (150 g)"),
        (portion("whole egg", "835 g", pieces="16.7 eggs"), "835 g whole egg (16.7 eggs)"),
        (portion("vanilla", "2 1/2 pods"), "2.5 pods of vanilla"),
        (portion("honey", "1 cup"), "1 cup honey (237 ml)"),
    ],
)
def test_a_unit_that_repeats_its_ingredient_is_said_once(part: Portion, told: str) -> None:
    assert weighed(part) == told
