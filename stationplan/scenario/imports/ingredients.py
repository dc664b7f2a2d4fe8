"""Takes a line such as ``200 g plain flour, sifted`` apart, where it is clear."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from stationplan.scenario.errors import UnitError
from stationplan.scenario.fields import LONGEST_NAME
from stationplan.scenario.units import Quantity, parse_number, singular
from stationplan.scenario.units.numbers import NUMBER
from stationplan.scenario.units.quantities import MASS_AND_VOLUME

_COUNTED = frozenset(
    [
        *("bunch", "can", "clove", "dash", "drop", "handful", "leaf", "packet", "piece", "pinch", "pod", "sachet"),
        *("sheet", "slice", "sprig", "stick"),
    ]
)
"""What ingredients are counted in besides pieces."""

_ABOUT = re.compile(r"(?:about|approx\.?|approximately|ca\.?|circa)\s+", re.IGNORECASE)
_AMOUNT = re.compile(rf"({NUMBER})\s*(.*)", re.ASCII | re.DOTALL)
_SAME_IN_OTHER_UNITS = re.compile(rf"(?:\([^()]*\)|/\s*(?:{NUMBER})\s*[^\W\d_]+\.?)\s*")
_NOT_ONE_AMOUNT = re.compile(r"(?:[-\u2013\u2014+*/&%]|[x\u00d7](?=\s*\d)|to\b|or\b|plus\b|and\b|\d)", re.IGNORECASE)
_END_OF_NAME = re.compile(r"\s*(?:[,;(]|\s[-\u2013\u2014]\s)")
_FRACTION_SIGN = re.compile(r"(?<=\d)(?=[\u00bc-\u00be\u2150-\u215e])")


@dataclass(frozen=True, slots=True)
class Ingredient:
    """A name, and the amount where the line tells one clearly; ``text`` is the line as it was."""

    name: str
    amount: Quantity | None
    text: str


def read_ingredient(text: str) -> Ingredient:
    """Take the line of an ingredient apart.

    Args:
        text: one line, printable.

    Returns:
        The ingredient, with an amount only if there is a single clear one.
    """
    # An empty space before the sign of a fraction, which then becomes a fraction in digits: 1½ is 1 1/2.
    line = unicodedata.normalize("NFKC", _FRACTION_SIGN.sub(" ", text)).replace("\u2044", "/")
    line = re.sub(r"(?<=\d),(?=\d{1,2}(?!\d))", ".", _ABOUT.sub("", line, count=1))
    line = re.sub(r"^(?:a|an)\s+(?=\w)", "1 ", line, flags=re.IGNORECASE)
    match = _AMOUNT.fullmatch(line)
    amount, rest = _amount(*match.groups()) if match is not None else (None, line)
    rest = re.sub(r"^[\W\d_]+", "", rest)
    if amount is None:
        rest = _without_amounts(rest)
    rest = rest.removeprefix("of ")
    name = _END_OF_NAME.split(rest, maxsplit=1)[0].strip(" .*") or rest or text
    return Ingredient(name[:LONGEST_NAME].strip(), amount, text)


def _without_amounts(rest: str) -> str:
    """What stands behind amounts that are not clear, such as ``kg 200 g flour``."""
    words = rest.split(" ")
    while len(words) > 1 and (
        words[0][:1].isdigit()
        or words[0].lower().rstrip(".") in {*MASS_AND_VOLUME, "plus", "and", "or", "to", "x", "\u00d7"}
    ):
        words = words[1:]
    return " ".join(words)


def _amount(number: str, rest: str) -> tuple[Quantity | None, str]:
    """The amount, None if it is not clear; and what stands behind it."""
    unit, size, written, after = _unit(rest)
    after = _SAME_IN_OTHER_UNITS.sub("", after, count=1) if _SAME_IN_OTHER_UNITS.match(after) else after
    if (
        after.strip(" .").lower() in {"", *MASS_AND_VOLUME}
        or _NOT_ONE_AMOUNT.match(rest)
        or _NOT_ONE_AMOUNT.match(after)
    ):
        return None, rest
    try:
        value = parse_number(number) * size
    except UnitError:
        return None, rest
    return (Quantity(value, unit, written), after) if value else (None, after)


def _unit(rest: str) -> tuple[str, Fraction, str, str]:
    """The unit, its size in it, how it was written, and what stands behind it."""
    words = rest.split(" ")
    for count in (2, 1):
        word = " ".join(words[:count]).lower().rstrip(".")
        if len(words) > count and word in MASS_AND_VOLUME:
            unit, size = MASS_AND_VOLUME[word]
            return unit, size, word, " ".join(words[count:])
    counted = singular(words[0]) if len(words) > 1 and words[0] else ""
    if counted in _COUNTED:
        return counted, Fraction(1), counted, " ".join(words[1:])
    return "piece", Fraction(1), "piece", rest
