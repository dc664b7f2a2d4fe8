"""Grams, pieces and gelatin strength: what a written amount of an ingredient comes to otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt
from typing import TYPE_CHECKING

from stationplan.scenario.units import singular

if TYPE_CHECKING:
    from stationplan.scenario.models import Ingredient
    from stationplan.scenario.units import Quantity

# Grams of a large egg out of its shell, of its white and of its yolk: published kitchen tables.
EGG, WHITE, YOLK = "egg", "white", "yolk"
_EGGS = {
    **dict.fromkeys(("egg", "whole egg"), (EGG, Fraction(50))),
    **dict.fromkeys(("egg white", "white"), (WHITE, Fraction(30))),
    **dict.fromkeys(("egg yolk", "yolk"), (YOLK, Fraction(18))),
}
_SHEETS = ("sheet", "leaf")
# From and to which strength (bloom) a sheet is of which grade, and what it weighs in g: published kitchen tables.
GELATIN_SHEETS = (
    ("bronze", 125, 155, Fraction(33, 10)),
    ("silver", 160, 160, Fraction(25, 10)),
    ("gold", 190, 220, Fraction(20, 10)),
    ("platinum", 235, 265, Fraction(17, 10)),
)
_PRECISION = 10**6


@dataclass(frozen=True, slots=True)
class Piece:
    """What an ingredient is counted in, and the grams of one."""

    unit: str
    grams: Fraction


def sheet_of(bloom: int, unit: str = "") -> Piece | None:
    """The gelatin sheet of a strength, None where no grade has it.

    Args:
        bloom: the strength.
        unit: what the recipe calls a sheet.
    """
    for _, least, most, grams in GELATIN_SHEETS:
        if least <= bloom <= most:
            return Piece(unit if unit in _SHEETS else _SHEETS[0], grams)
    return None


def piece_of(name: str, described: Ingredient | None, unit: str = "") -> Piece | None:
    """What an ingredient is counted in: as described, else an egg or a part of one, else a gelatin sheet.

    Args:
        name: the ingredient.
        described: what the scenario says about it.
        unit: the unit of an amount in a recipe, such as 'egg'.
    """
    if described is not None and described.weighs is not None and described.weighs.per is not None:
        per, grams = described.weighs.per, described.weighs.amount.amount
        return Piece(per.unit, grams / per.amount)
    if described is not None and described.bloom is not None:
        return sheet_of(described.bloom, unit)
    known = _EGGS.get(unit) or _EGGS.get(singular(name))
    return None if known is None else Piece(*known)


def grams_of(name: str, quantity: Quantity, described: Ingredient | None) -> Fraction | None:
    """The weight of an amount in g, None where nothing tells it."""
    if quantity.unit == "g":
        return quantity.amount
    piece = piece_of(name, described, quantity.unit)
    if piece is None:
        return None
    same = piece.unit == quantity.unit or _EGGS.get(quantity.unit, ("",))[0] == piece.unit
    return quantity.amount * piece.grams if same else None


def in_other_strength(grams: Fraction, bloom: int, wanted: int, rule: str) -> Fraction:
    """Gelatin of another strength that sets as firmly.

    Args:
        grams: of gelatin of strength ``bloom``.
        bloom: its strength.
        wanted: the strength of the gelatin to be used.
        rule: ``proportion`` for M1 x B1 / B2, ``root`` for M1 x the square root of B1 / B2. Both are in print and
            differ, so the kitchen chooses.

    Returns:
        Grams of the other; by ``root`` to a millionth.
    """
    ratio = Fraction(bloom, wanted)
    if rule == "proportion":
        return grams * ratio
    return grams * Fraction(isqrt(ratio.numerator * _PRECISION**2 // ratio.denominator), _PRECISION)
