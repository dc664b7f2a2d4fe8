"""Numbers as people write them: ``3``, ``1.5``, ``1/2``, ``1 1/2``, ``60 %``."""

from __future__ import annotations

import re
from difflib import get_close_matches
from fractions import Fraction
from itertools import islice
from typing import TYPE_CHECKING

from stationplan.scenario.errors import UnitError

if TYPE_CHECKING:
    from collections.abc import Iterable

NUMBER = r"(?:\d+\s+\d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+)"
"""Pattern of a number without sign."""

LARGEST = 10**9
_MIXED = re.compile(r"(?:(\d+)\s+)?(\d+)/(\d+)")
# A longer decimal is shown as a fraction, which is exact.
_MOST_DECIMALS = 6
_MOST_COMPARED = 500
_KINDS = {dict: "a mapping", list: "a list", bool: "yes or no", type(None): "empty"}
# What word processors make of a minus and an apostrophe.
_PLAIN_SIGNS = str.maketrans({"\N{EN DASH}": "-", "\N{MINUS SIGN}": "-", "\N{RIGHT SINGLE QUOTATION MARK}": "'"})


def parse_number(text: str) -> Fraction:
    """Read a number of zero or more.

    Args:
        text: such as ``3``, ``1.5``, ``1/2`` or ``1 1/2``.

    Returns:
        The exact number.

    Raises:
        UnitError: when it is no number, or larger than a thousand million.
    """
    stripped = text.strip()
    if re.fullmatch(NUMBER, stripped, re.ASCII) is None:
        if "," in stripped:
            raise UnitError(f"'{text}' has a comma; write a decimal point and no thousands mark, such as 1.5 or 1500")
        if stripped.startswith("-"):
            raise UnitError(f"'{text}' is below zero, which makes no sense here")
        raise UnitError(f"'{text}' is not a number; write one like 3, 1.5 or 1 1/2")
    if len(stripped) > 40:
        raise UnitError(f"'{stripped[:20]}...' has too many digits")
    mixed = _MIXED.fullmatch(stripped)
    if mixed is None:
        value = Fraction(stripped)
    else:
        whole, top, bottom = int(mixed[1] or 0), int(mixed[2]), int(mixed[3])
        if bottom == 0:
            raise UnitError(f"'{text}' divides by zero")
        value = whole + Fraction(top, bottom)
    if value > LARGEST:
        raise UnitError(f"'{text}' is too large")
    return value


def format_number(value: Fraction | int) -> str:
    """Print a number of zero or more exactly: ``3``, ``1.5``, ``1/3`` or ``2 1/3``."""
    value = Fraction(value)
    scaled = value * 10**_MOST_DECIMALS
    if scaled.denominator == 1:
        whole, rest = divmod(int(scaled), 10**_MOST_DECIMALS)
        decimals = f"{rest:0{_MOST_DECIMALS}d}".rstrip("0")
        return f"{whole}.{decimals}" if decimals else str(whole)
    whole, rest_of = divmod(value, 1)
    return f"{whole} {rest_of}" if whole else str(rest_of)


def parse_share(value: object) -> Fraction:
    """Read a share of a whole.

    Args:
        value: ``60 %``, or a number from 0 to 1.

    Returns:
        The share, 0 to 1.

    Raises:
        UnitError: when it is no share, or not from 0 to 1.
    """
    right = "write a share like 60 %, or a number from 0 to 1"
    text = plain_text(value, right)
    body, percent, rest = text.partition("%")
    if rest.strip():
        raise UnitError(f"'{text}' is not a share; {right}")
    try:
        share = parse_number(body) / (100 if percent else 1)
    except UnitError as error:
        raise UnitError(f"'{text}' is not a share; {right}") from error
    if share > 1:
        raise UnitError(f"'{text}' is more than the whole; {right}")
    return share


def format_share(share: Fraction) -> str:
    """Print a share: ``60 %``."""
    return f"{format_number(share * 100)} %"


def plain_text(value: object, right: str) -> str:
    """The text of a written value: text as it is, a number in digits.

    Args:
        value: what stood in the file.
        right: what would be right, the end of the sentence if the value is something else.

    Returns:
        The text without spaces around it, with single spaces in it.

    Raises:
        UnitError: when it is empty or neither text nor number.
    """
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        raise UnitError(f"this is {_KINDS.get(type(value), 'something else')}; {right}")
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    text = " ".join(str(value).translate(_PLAIN_SIGNS).split())
    if not text:
        raise UnitError(f"this is empty; {right}")
    if len(text) > 200:
        raise UnitError(f"'{text[:40]}...' is too long; {right}")
    return text


def suggestion(word: str, known: Iterable[str]) -> str:
    """`` (did you mean 'x'?)`` for the known word nearest to ``word``, or nothing when none is near."""
    near = nearest(word, known)
    return f" (did you mean '{near}'?)" if near else ""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word nearest to ``word``, None when none is near."""
    by_lower = {name.lower(): name for name in islice(known, _MOST_COMPARED)}
    near = get_close_matches(word.lower()[:100], by_lower, n=1, cutoff=0.6)
    return by_lower[near[0]] if near else None
