from __future__ import annotations

from fractions import Fraction

import pytest

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import Quantity, format_quantity, parse_quantity, parse_rate


# US customary volumes and avoirdupois weights: NIST Handbook 44, Appendix C (1 gallon = 231 cubic inches =
# 3.785 411 784 l; 1 cup 236.588 2 ml, 1 tablespoon 14.786 8 ml, 1 teaspoon 4.928 9 ml, 1 fluid ounce 29.573 5 ml;
# 1 pound = 453.592 37 g exactly).
@pytest.mark.parametrize(
    ("text", "unit", "published"),
    [
        ("1 cup", "ml", "236.5882"),
        ("1 tbsp", "ml", "14.7868"),
        ("1 tsp", "ml", "4.9289"),
        ("1 fl oz", "ml", "29.5735"),
        ("1 oz", "g", "28.3495"),
        ("1 lb", "g", "453.592"),
    ],
)
def test_us_customary_units_agree_with_the_published_figures(text: str, unit: str, published: str) -> None:
    quantity = parse_quantity(text)
    decimals = len(published.partition(".")[2])
    assert quantity.unit == unit
    assert abs(quantity.amount - Fraction(published)) <= Fraction(1, 10**decimals)


# 21 CFR 101.9(b)(5)(viii): for nutrition labelling 1 tsp is 5 ml, 1 tbsp 15 ml, 1 cup 240 ml, 1 fl oz 30 ml, 1 oz 28 g.
# These are rounded from the customary units, so ours lie within 2 % of them.
@pytest.mark.parametrize(
    ("text", "label"), [("1 tsp", 5), ("1 tbsp", 15), ("1 cup", 240), ("1 fl oz", 30), ("1 oz", 28)]
)
def test_us_customary_units_round_to_the_labelling_figures(text: str, label: int) -> None:
    assert abs(parse_quantity(text).amount / label - 1) < Fraction(2, 100)


# Exact by definition: NIST Handbook 44, Appendix C.
def test_us_customary_units_are_multiples_of_each_other() -> None:
    assert parse_quantity("1 cup") == parse_quantity("16 tbsp") == parse_quantity("48 tsp") == parse_quantity("8 fl oz")
    assert (
        parse_quantity("1 gallon")
        == parse_quantity("4 quarts")
        == parse_quantity("8 pints")
        == parse_quantity("16 cups")
    )
    assert parse_quantity("1 gallon").amount == Fraction("3785.411784")
    assert parse_quantity("1 lb") == parse_quantity("16 oz")


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("180 g", 180, "g"),
        ("1.5 kg", 1500, "g"),
        ("250mg", Fraction(1, 4), "g"),
        ("3 l", 3000, "ml"),
        ("2 dl", 200, "ml"),
        ("5 cl", 50, "ml"),
        ("2 Liters", 2000, "ml"),
        ("1 1/2 tsp", Fraction(3, 2) * Fraction("3785.411784") / 768, "ml"),
        ("2 trays", 2, "tray"),
        ("1 Tray", 1, "tray"),
        ("240 pieces", 240, "piece"),
        ("3 half trays", 3, "half tray"),
        ("1/2 tray", Fraction(1, 2), "tray"),
        ("12 éclairs", 12, "éclair"),
    ],
)
def test_a_quantity_is_grams_millilitres_or_a_count(text: str, amount: Fraction, unit: str) -> None:
    assert parse_quantity(text) == Quantity(Fraction(amount), unit)


@pytest.mark.parametrize(
    ("written", "gist"),
    [
        (2, "say 2 g, 2 trays"),
        ("trays", "does not start with a number"),
        ("-2 trays", "below zero"),
        ("1,5 kg", "write a decimal point"),
        ("10 min", "is a time, not a quantity"),
        ("180 C", "is not a quantity"),
        ("200 g butter", "words after the unit 'g'"),
        ("2 trays per oven", "is not a quantity"),
        ("1/0 kg", "divides by zero"),
        (["2 trays"], "this is a list"),
    ],
)
def test_what_is_no_quantity_is_told_in_words(written: object, gist: str) -> None:
    with pytest.raises(UnitError, match=gist):
        parse_quantity(written)


@pytest.mark.parametrize("text", ["1.5 kg", "2 trays", "1 tray", "0.5 cup", "3 l", "180 g", "2 1/3 trays"])
def test_a_quantity_prints_in_the_unit_it_was_written_in(text: str) -> None:
    assert str(parse_quantity(text)) == text


@pytest.mark.parametrize(
    ("amount", "unit", "text"),
    [
        (Fraction(1250), "g", "1.25 kg"),
        (Fraction(350), "ml", "350 ml"),
        (Fraction(1000, 3), "g", "333.3 g"),
        (Fraction(2), "tray", "2 trays"),
        (Fraction(1), "box", "1 box"),
        (Fraction(7, 3), "tray", "2.33 trays"),
    ],
)
def test_an_amount_prints_in_a_handy_unit(amount: Fraction, unit: str, text: str) -> None:
    assert format_quantity(amount, unit) == text


@pytest.mark.parametrize(
    ("text", "amount", "per", "basis"),
    [
        ("1 tray per tray", "1 tray", "1 tray", "quantity"),
        ("1 tray per 12 pieces", "1 tray", "12 pieces", "quantity"),
        ("0.4 l per kg", "0.4 l", "1 kg", "quantity"),
        ("1 tray per 1/2 kg", "1 tray", "0.5 kg", "quantity"),
        ("3 l", "3 l", None, "recipe"),
        ("3 l per recipe", "3 l", None, "recipe"),
        ("1 place per batch", "1 place", None, "batch"),
    ],
)
def test_a_rate_is_per_quantity_recipe_or_batch(text: str, amount: str, per: str | None, basis: str) -> None:
    rate = parse_rate(text)
    assert rate.amount == parse_quantity(amount)
    assert rate.per == (None if per is None else parse_quantity(per))
    assert rate.basis == basis
    assert parse_rate(str(rate)) == rate


@pytest.mark.parametrize(
    ("text", "gist"),
    [("tray per tray", "number"), ("1 tray per 0 trays", "divides by zero"), ("1 tray per ", "is not")],
)
def test_what_is_no_rate_is_told_in_words(text: str, gist: str) -> None:
    with pytest.raises(UnitError, match=gist):
        parse_rate(text)
