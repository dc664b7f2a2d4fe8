"""Eggs, gelatin and densities, against published weights."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from stationplan.scenario.models import Ingredient
from stationplan.scenario.pieces import GELATIN_SHEETS, Piece, grams_of, in_other_strength, piece_of, sheet_of
from stationplan.scenario.units import parse_quantity


def grams(name: str, amount: str, **described: Any) -> Fraction | None:
    known = Ingredient.model_validate(described) if described else None
    return grams_of(name, parse_quantity(amount), known)


@pytest.mark.parametrize(
    ("name", "amount", "weight"),
    [
        # A large egg out of its shell weighs 50 g, its white 30 g, its yolk 18 g (published kitchen tables).
        ("egg", "3 eggs", 150),
        ("whole egg", "2 eggs", 100),
        ("egg white", "4 whites", 120),
        ("egg white", "4 egg whites", 120),
        ("yolks", "5 yolks", 90),
    ],
)
def test_eggs_weigh_what_kitchen_tables_say(name: str, amount: str, weight: int) -> None:
    assert grams(name, amount) == weight


def test_a_weight_that_is_described_counts_before_the_table() -> None:
    # 33 g of white and 17 g of yolk are the figures of the USDA, from memory.
    assert grams("egg white", "4 egg whites", weighs="33 g per white") == 132


def test_an_egg_of_something_else_is_no_egg_by_its_name() -> None:
    assert piece_of("eggplant", None) is None
    assert grams("flour", "1 cup") is None


def test_a_density_turns_litres_into_grams() -> None:
    # Whole milk weighs about 1.03 kg a litre: common practice, no published source.
    assert grams("milk", "250 ml", weighs="1030 g per l") == Fraction(515, 2)


@pytest.mark.parametrize(
    ("bloom", "weight"),
    # Published kitchen tables, bloom and grams a sheet: bronze 125 to 155, 3.3; silver 160, 2.5; gold 190 to 220, 2.0;
    # platinum 235 to 265, 1.7.
    [(125, "3.3"), (155, "3.3"), (160, "2.5"), (190, "2"), (200, "2"), (220, "2"), (235, "1.7"), (265, "1.7")],
)
def test_a_sheet_of_gelatin_weighs_what_its_grade_does(bloom: int, weight: str) -> None:
    assert sheet_of(bloom) == Piece("sheet", Fraction(weight))


@pytest.mark.parametrize("bloom", [124, 156, 175, 225, 266])
def test_a_strength_between_the_grades_has_no_sheet(bloom: int) -> None:
    assert sheet_of(bloom) is None


def test_a_leaf_is_a_sheet() -> None:
    assert piece_of("gelatine", Ingredient(bloom=200), "leaf") == Piece("leaf", Fraction(2))


def test_gelatin_is_converted_by_proportion_or_by_the_root_of_the_strengths() -> None:
    """M2 = M1 B1 / B2, or M1 times the root of B1 / B2; both are in print. 10 g of 225 bloom in 100 bloom."""
    assert in_other_strength(Fraction(10), 225, 100, "proportion") == Fraction(45, 2)
    assert in_other_strength(Fraction(10), 225, 100, "root") == 15


def test_a_root_that_is_no_fraction_is_good_to_a_millionth() -> None:
    found = in_other_strength(Fraction(1), 200, 160, "root")
    assert abs(found**2 - Fraction(200, 160)) < Fraction(3, 10**6)


@pytest.mark.parametrize(("grade", "least", "most", "weight"), GELATIN_SHEETS)
def test_by_proportion_a_sheet_of_one_grade_sets_about_as_much_as_one_of_another(
    grade: str, least: int, most: int, weight: Fraction
) -> None:
    """Sheets are sold so that one stands for another: 2.0 g x 200 bloom = 400, and every grade comes near that."""
    assert weight * least <= 400 * Fraction(104, 100), grade
    assert weight * most >= 400 * Fraction(96, 100), grade
