"""Rounding for a scale, a jug and spoons."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stationplan.plan.scale import division, drawn, in_spoons, on_scale, shown
from stationplan.scenario.units import parse_quantity

AMOUNTS = st.fractions(min_value=Fraction(1, 1000), max_value=100_000, max_denominator=1000)


@pytest.mark.parametrize(
    ("amount", "read"),
    [
        ("0.01", "0.1 g"),
        ("2.34", "2.3 g"),
        ("9.96", "10 g"),
        ("10.5", "11 g"),
        ("835.05", "835 g"),
        ("999.6", "1 kg"),
        ("1002.5", "1.005 kg"),
        ("2784.4", "2.785 kg"),
        ("10004.9", "10 kg"),
        ("12345", "12.35 kg"),
    ],
)
def test_a_weight_is_read_to_the_division_of_a_scale(amount: str, read: str) -> None:
    assert shown(Fraction(amount), "g") == read


@pytest.mark.parametrize(("amount", "read"), [("24.2105", "24.2 shells"), ("0.01", "0.1 shell"), ("3", "3 shells")])
def test_a_count_is_told_to_a_tenth(amount: str, read: str) -> None:
    assert shown(Fraction(amount), "shell") == read


@given(AMOUNTS)
def test_rounding_is_off_by_half_a_division_at_most_and_never_to_nothing(amount: Fraction) -> None:
    rounded = on_scale(amount)
    assert rounded > 0
    assert abs(rounded - amount) <= division(amount) / 2 or rounded == Fraction(1, 10)


@given(st.lists(AMOUNTS, min_size=1, max_size=20))
def test_what_is_drawn_suffices_for_every_bowl_as_it_is_weighed(amounts: list[Fraction]) -> None:
    bowls = sum(map(on_scale, amounts))
    assert bowls <= drawn(amounts) < bowls + 10


@pytest.mark.parametrize(
    ("written", "times", "read"),
    [
        # US customary: a cup is 16 tablespoons, a tablespoon 3 teaspoons.
        ("1 cup", 1, "1 cup"),
        ("1/2 cup", 3, "1 1/2 cups"),
        ("1 tbsp", 4, "1/4 cup"),
        ("1 tsp", 3, "1 tbsp"),
        ("1/4 tsp", 1, "1/4 tsp"),
        ("1/8 tsp", Fraction(1, 2), "1/4 tsp"),
        ("1 cup", Fraction(6, 5), "1 cup + 3 tbsp + 1/2 tsp"),
    ],
)
def test_cups_and_spoons_are_told_to_a_quarter_of_a_teaspoon(written: str, times: Fraction, read: str) -> None:
    quantity = parse_quantity(written)
    assert in_spoons(quantity.amount * times, quantity.written_unit) == read


def test_a_cup_is_the_customary_one_and_not_that_of_labels() -> None:
    """236.5882 ml (US customary), where 21 CFR 101.9(b)(5)(viii) has 240 ml for labels; 240 ml are more than a cup."""
    assert in_spoons(Fraction("236.5882"), "cup") == "1 cup"
    assert in_spoons(Fraction(240), "cup") == "1 cup + 3/4 tsp"


def test_what_a_recipe_measures_in_millilitres_is_not_told_in_spoons() -> None:
    assert in_spoons(Fraction(240), "ml") == ""
    assert shown(Fraction(240), "ml") == "240 ml"
