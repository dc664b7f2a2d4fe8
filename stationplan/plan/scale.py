"""What a scale, a jug and a set of spoons can show of an exact amount."""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from stationplan.scenario.units import format_number, format_quantity, plural
from stationplan.scenario.units.quantities import MASS_AND_VOLUME

# The division of the scale (in g) or jug (in ml) for amounts below the first number.
_DIVISIONS = ((Fraction(10), Fraction(1, 10)), (Fraction(1000), Fraction(1)), (Fraction(10_000), Fraction(5)))
_COARSEST = Fraction(10)
_CUP, _TABLESPOON, _TEASPOON = (MASS_AND_VOLUME[word][1] for word in ("cup", "tbsp", "tsp"))
_SPOON_SIZES = (("cup", _CUP, 4), ("tbsp", _TABLESPOON, 1), ("tsp", _TEASPOON, 4))
SPOONS = frozenset(word for word, known in MASS_AND_VOLUME.items() if known[1] in (_CUP, _TABLESPOON, _TEASPOON))
"""The words for cups and spoons, which are the US customary ones."""


def division(amount: Fraction) -> Fraction:
    """The division to weigh (g) or measure (ml) an amount by: 0.1 below 10, 1 below 1000, 5 below 10 000, else 10."""
    return next((step for below, step in _DIVISIONS if amount < below), _COARSEST)


def on_scale(amount: Fraction) -> Fraction:
    """An amount in g or ml to the nearest division, and never to nothing."""
    step = division(amount)
    return max(floor(amount / step + Fraction(1, 2)), 1) * step


def drawn(amounts: list[Fraction]) -> Fraction:
    """What to draw from the store so that it suffices for several bowls as they are weighed.

    Args:
        amounts: exact amounts, one a bowl, in g or ml.

    Returns:
        The sum of the rounded amounts, rounded up to the division of a scale.
    """
    total = sum((on_scale(amount) for amount in amounts), Fraction(0))
    step = division(total)
    return ceil(total / step) * step


def in_spoons(millilitres: Fraction, written_unit: str) -> str:
    """A volume in US customary cups and spoons to the nearest quarter of a teaspoon.

    Args:
        millilitres: the volume.
        written_unit: the unit of the recipe.

    Returns:
        ``1 1/4 cups + 2 tbsp``; empty when the recipe did not use cups or spoons.
    """
    if written_unit not in SPOONS:
        return ""
    quarter = _TEASPOON / 4
    left = max(floor(millilitres / quarter + Fraction(1, 2)), 1) * quarter
    parts = []
    for word, size, shares in _SPOON_SIZES:
        count = Fraction(floor(left * shares / size), shares)
        left -= count * size
        if count:
            whole, rest = divmod(count, 1)
            number = " ".join(str(part) for part in (whole, rest) if part)
            parts.append(f"{number} {plural(word, count) if word == 'cup' else word}")
    return " + ".join(parts)


def shown(amount: Fraction, unit: str) -> str:
    """An amount as it is read off: g, kg, ml and l to the division of a scale, counts to a tenth.

    Args:
        amount: in ``unit``.
        unit: 'g', 'ml' or a singular noun.
    """
    if unit in ("g", "ml"):
        return format_quantity(on_scale(amount), unit)
    tenths = Fraction(max(floor(amount * 10 + Fraction(1, 2)), 1), 10)
    return f"{format_number(tenths)} {plural(unit, tenths)}"
