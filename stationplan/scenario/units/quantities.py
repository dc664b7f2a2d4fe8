"""Quantities and rates: ``1.5 kg``, ``2 trays``, ``1/2 cup``, ``1 tray per 12 pieces``.

Mass is kept in grams, volume in millilitres, everything else as a count of a singular noun.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units.durations import TIME_UNITS
from stationplan.scenario.units.nouns import plural, singular
from stationplan.scenario.units.numbers import NUMBER, format_number, parse_number, plain_text

_POUND = Fraction("453.59237")
_GALLON = Fraction("3785.411784")
MASS_AND_VOLUME: dict[str, tuple[str, Fraction]] = {
    **dict.fromkeys(("g", "gr", "gram", "grams", "gramme", "grammes"), ("g", Fraction(1))),
    **dict.fromkeys(("mg", "milligram", "milligrams"), ("g", Fraction(1, 1000))),
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), ("g", Fraction(1000))),
    **dict.fromkeys(("oz", "ounce", "ounces"), ("g", _POUND / 16)),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), ("g", _POUND)),
    **dict.fromkeys(("ml", "millilitre", "millilitres", "milliliter", "milliliters"), ("ml", Fraction(1))),
    **dict.fromkeys(("cl", "centilitre", "centilitres"), ("ml", Fraction(10))),
    **dict.fromkeys(("dl", "decilitre", "decilitres"), ("ml", Fraction(100))),
    **dict.fromkeys(("l", "litre", "litres", "liter", "liters"), ("ml", Fraction(1000))),
    **dict.fromkeys(("tsp", "tsps", "teaspoon", "teaspoons"), ("ml", _GALLON / 768)),
    **dict.fromkeys(("tbsp", "tbsps", "tablespoon", "tablespoons"), ("ml", _GALLON / 256)),
    **dict.fromkeys(("fl oz", "fluid ounce", "fluid ounces"), ("ml", _GALLON / 128)),
    **dict.fromkeys(("cup", "cups"), ("ml", _GALLON / 16)),
    **dict.fromkeys(("pint", "pints"), ("ml", _GALLON / 8)),
    **dict.fromkeys(("quart", "quarts"), ("ml", _GALLON / 4)),
    **dict.fromkeys(("gallon", "gallons"), ("ml", _GALLON)),
}
"""Words for masses (in g) and volumes (in ml); US customary where the metric system has no such word."""

_RIGHT = "write a quantity like 2 trays, 180 g or 1.5 l"
_QUANTITY = re.compile(rf"({NUMBER})\s*(.*)", re.ASCII)
_WORD = r"[^\W\d_]+(?:['-][^\W\d_]+)*"
_NOUN = re.compile(rf"{_WORD}(?: {_WORD}){{0,2}}")
# Words that join parts of a sentence can be no part of the name of a unit.
_NO_NOUNS = {"per", "or", "and", "at", "of", "in", "a", "an", "each", "c", "f"} | TIME_UNITS.keys()


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact amount in ``unit``: 'g', 'ml' or a singular noun.

    ``written_unit`` is the unit it was written in, for printing it back; it does not count in comparisons.
    """

    amount: Fraction
    unit: str
    written_unit: str = field(default="", compare=False)

    def __str__(self) -> str:
        unit, size = self.unit, Fraction(1)
        if self.unit in ("g", "ml") and self.written_unit in MASS_AND_VOLUME:
            unit, size = self.written_unit, MASS_AND_VOLUME[self.written_unit][1]
        amount = self.amount / size
        return f"{format_number(amount)} {unit if unit in MASS_AND_VOLUME else plural(unit, amount)}"


@dataclass(frozen=True, slots=True)
class Rate:
    """An amount for every ``per`` of something, for every batch, or for one recipe (one ``makes``).

    ``per`` is given only with basis ``quantity``.
    """

    amount: Quantity
    per: Quantity | None
    basis: Literal["quantity", "recipe", "batch"]

    def __str__(self) -> str:
        if self.per is not None:
            return f"{self.amount} per {format_per(self.per)}"
        return f"{self.amount} per batch" if self.basis == "batch" else str(self.amount)


def parse_quantity(value: object) -> Quantity:
    """Read an amount with its unit.

    Args:
        value: such as ``2 trays``, ``180 g``, ``1/2 cup`` or ``1 1/2 tsp``.

    Returns:
        The quantity in g, ml or a count; it may be zero.

    Raises:
        UnitError: when there is no number, no unit, or the unit is one of time or temperature.
    """
    text = plain_text(value, _RIGHT)
    match = _QUANTITY.fullmatch(text)
    if match is None:
        if text.startswith("-"):
            raise UnitError(f"'{text}' is below zero; {_RIGHT}")
        raise UnitError(f"'{text}' does not start with a number; {_RIGHT}")
    number, word = match.groups()
    if word.startswith(","):
        raise UnitError(f"'{text}' has a comma; write a decimal point, such as 1.5 kg")
    if not word:
        raise UnitError(f"'{text}' has no unit; say {text} g, {text} trays or whatever it counts")
    return _quantity(parse_number(number), word, text)


def parse_rate(value: object) -> Rate:
    """Read an amount per something.

    Args:
        value: such as ``1 tray per tray``, ``1 tray per 12 pieces``, ``0.4 l per kg``, ``1 place per batch``, or
            without ``per`` (for one recipe) ``3 l``.

    Returns:
        The rate.

    Raises:
        UnitError: when either side is no quantity.
    """
    text = plain_text(value, "write a rate like 1 tray per tray, 3 l or 1 place per batch")
    amount, per, of = text.partition(" per ")
    if per and re.fullmatch(NUMBER, amount.strip(), re.ASCII):
        raise UnitError(f"'{text}' has no word behind {amount}; write {amount} bases per {of}, in a word of your own")
    quantity = parse_quantity(amount)
    if not per or of.strip().lower() == "recipe":
        return Rate(quantity, None, "recipe")
    if of.strip().lower() == "batch":
        return Rate(quantity, None, "batch")
    return Rate(quantity, parse_per(of), "quantity")


def parse_per(text: str) -> Quantity:
    """Read what stands behind ``per``: ``tray`` (one), ``10 pieces`` or ``kg``.

    Raises:
        UnitError: when it is neither a quantity nor a unit, or zero.
    """
    stripped = text.strip()
    per = parse_quantity(stripped) if stripped[:1] in "0123456789." else _quantity(Fraction(1), stripped, text)
    if per.amount <= 0:
        raise UnitError(f"'per {stripped}' divides by zero; write per tray, or per 10 pieces")
    return per


def format_per(per: Quantity) -> str:
    """Print what stands behind ``per``: ``tray``, ``10 pieces``, ``kg``."""
    text = str(per)
    # `1 tray` is just `tray`, but `1 1/2 trays` are no `1/2 trays`.
    return text if text[2:3].isdigit() else text.removeprefix("1 ")


def format_quantity(amount: Fraction | int, unit: str) -> str:
    """Print an amount for reading, in a handy unit and rounded: ``1.25 kg``, ``350 ml``, ``2 trays``.

    Args:
        amount: in ``unit``.
        unit: 'g', 'ml' or a singular noun.

    Returns:
        Text with at most three decimals for kg and l, one for g and ml, two for counts.
    """
    if unit in ("g", "ml"):
        if amount >= 1000:
            return f"{_rounded(amount / Fraction(1000), 3)} {'kg' if unit == 'g' else 'l'}"
        return f"{_rounded(amount, 1)} {unit}"
    return f"{_rounded(amount, 2)} {plural(unit, amount)}"


def _rounded(amount: Fraction | int, decimals: int) -> str:
    return format_number(round(Fraction(amount), decimals))


def _quantity(number: Fraction, word: str, text: str) -> Quantity:
    lower = word.lower().rstrip(".")
    known = MASS_AND_VOLUME.get(lower)
    if known is not None:
        unit, size = known
        return Quantity(number * size, unit, lower)
    words = lower.split()
    if words[0] in MASS_AND_VOLUME and len(words) > 1:
        raise UnitError(f"'{text}' has words after the unit '{words[0]}'; {_RIGHT}")
    if lower in TIME_UNITS:
        raise UnitError(f"'{text}' is a time, not a quantity; {_RIGHT}")
    if _NOUN.fullmatch(lower) is None or not _NO_NOUNS.isdisjoint(words):
        raise UnitError(f"'{text}' is not a quantity; {_RIGHT}")
    noun = singular(lower)
    return Quantity(number, noun, lower)
