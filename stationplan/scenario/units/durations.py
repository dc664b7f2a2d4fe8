"""Durations in exact minutes: ``8 min``, ``1 h 30 min``, ``PT1H30M``, and ranges of them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units.numbers import NUMBER, format_number, parse_number, plain_text, suggestion

MINUTES_PER_DAY = 24 * 60
LONGEST = 366 * MINUTES_PER_DAY

TIME_UNITS = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), Fraction(1, 60)),
    **dict.fromkeys(("m", "min", "mins", "minute", "minutes"), Fraction(1)),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), Fraction(60)),
    **dict.fromkeys(("d", "day", "days"), Fraction(MINUTES_PER_DAY)),
    **dict.fromkeys(("week", "weeks"), Fraction(7 * MINUTES_PER_DAY)),
}
"""Every word for a unit of time, and its minutes."""

_RIGHT = "write a time like 8 min, 1 h 30 min or 2 days"
_PART = re.compile(rf"\s*({NUMBER})\s*([^\W\d_]+)\.?", re.ASCII)
_ISO_NUMBER = r"(\d+(?:[.,]\d+)?)"
_ISO = re.compile(
    rf"P(?:{_ISO_NUMBER}W|(?:{_ISO_NUMBER}D)?(?:T(?:{_ISO_NUMBER}H)?(?:{_ISO_NUMBER}M)?(?:{_ISO_NUMBER}S)?)?)", re.ASCII
)
_ISO_MINUTES = (Fraction(7 * MINUTES_PER_DAY), Fraction(MINUTES_PER_DAY), Fraction(60), Fraction(1), Fraction(1, 60))


@dataclass(frozen=True, slots=True)
class Span:
    """A duration that may vary: ``least`` to ``most`` minutes."""

    least: Fraction
    most: Fraction

    def __str__(self) -> str:
        if self.least == self.most:
            return format_duration(self.least)
        least, most = format_duration(self.least), format_duration(self.most)
        unit = most.rpartition(" ")[2]
        # `11..13 min`, not `11 min..13 min`, when one unit does for both.
        if most.count(" ") == least.count(" ") == 1 and least.endswith(f" {unit}"):
            least = least.removesuffix(f" {unit}")
        return f"{least}..{most}"


def parse_duration(value: object) -> Fraction:
    """Read a duration.

    Args:
        value: such as ``8 min``, ``1 h 30 min``, ``2 d``, ``90 s`` or ISO 8601 ``PT1H30M``.

    Returns:
        Exact minutes, zero or more.

    Raises:
        UnitError: when it is no duration, has no unit, or is longer than a year.
    """
    text = plain_text(value, _RIGHT)
    minutes = _parse_iso(text) if text.startswith("P") else _parse_parts(text)
    if minutes > LONGEST:
        raise UnitError(f"'{text}' is longer than a year")
    return minutes


def parse_span(value: object) -> Span:
    """Read a duration or a range of durations.

    Args:
        value: such as ``8 min``, ``11..13 min`` or ``50 min..1 h 10 min``.

    Returns:
        The range; both ends are the same for a single duration.

    Raises:
        UnitError: when an end is no duration, or the least is more than the most.
    """
    text = plain_text(value, _RIGHT)
    if ".." not in text:
        dash = re.fullmatch(rf"({NUMBER})\s*(?:-|to)\s*({NUMBER}\s*[a-z]+)", text, re.ASCII)
        if dash is not None:
            raise UnitError(f"'{text}' is not a range; write it with two dots, such as {dash[1]}..{dash[2]}")
        minutes = parse_duration(text)
        return Span(minutes, minutes)
    low, _, high = text.partition("..")
    most = parse_duration(high)
    if re.fullmatch(NUMBER, low.strip(), re.ASCII):
        # `11..13 min`: the unit of the upper end goes for both; it is the last word, as in `1..1.5 h`.
        low += " " + re.split(r"[\d\s./]+", high.strip())[-1]
    least = parse_duration(low)
    if least > most:
        raise UnitError(f"'{text}' is the wrong way round; write the shorter time first")
    return Span(least, most)


def format_duration(minutes: Fraction | int) -> str:
    """Print a duration exactly: ``1 h 30 min``, ``45 s``, ``3 days``."""
    days, rest = divmod(Fraction(minutes), MINUTES_PER_DAY)
    hours, rest = divmod(rest, 60)
    whole, rest = divmod(rest, 1)
    parts = []
    if days:
        parts.append("1 day" if days == 1 else f"{days} days")
    if hours:
        parts.append(f"{hours} h")
    if whole:
        parts.append(f"{whole} min")
    if rest:
        parts.append(f"{format_number(rest * 60)} s")
    return " ".join(parts) or "0 min"


def _parse_parts(text: str) -> Fraction:
    total = Fraction(0)
    position = 0
    while position < len(text):
        part = _PART.match(text, position)
        if part is None:
            raise UnitError(_what_is_wrong(text, text[position:].strip()))
        number, unit = part[1], part[2].lower()
        if unit not in TIME_UNITS:
            raise UnitError(f"'{text}': '{part[2]}' is no unit of time{suggestion(unit, TIME_UNITS)}; {_RIGHT}")
        total += parse_number(number) * TIME_UNITS[unit]
        position = part.end()
    return total


def _what_is_wrong(text: str, rest: str) -> str:
    if re.fullmatch(NUMBER, rest, re.ASCII):
        return (
            f"'{text}' has no unit; say {rest} min if minutes are meant"
            if text == rest
            else (f"'{text}' ends in a number without a unit; {_RIGHT}")
        )
    if text.endswith("'"):
        # Within the quotes of other messages, the mark would be lost.
        return f"the mark ' is no unit of time; write {text.rstrip(chr(39))} min if minutes are meant"
    if rest.startswith("-"):
        return f"'{text}' is below zero; {_RIGHT}"
    if "," in rest:
        return f"'{text}' has a comma; write a decimal point, such as 1.5 h"
    return f"'{text}' is not a time; {_RIGHT}"


def _parse_iso(text: str) -> Fraction:
    match = _ISO.fullmatch(text)
    numbers = match.groups() if match else ()
    if not any(numbers) or text.endswith("T"):
        raise UnitError(
            f"'{text}' is not an ISO 8601 duration of weeks, or days, hours, minutes and seconds; "
            "write one like PT8M, PT1H30M or P1DT2H"
        )
    written = [(number, minutes) for number, minutes in zip(numbers, _ISO_MINUTES, strict=True) if number]
    if any("." in number or "," in number for number, _ in written[:-1]):
        raise UnitError(f"'{text}': ISO 8601 allows a decimal only in the last part; write one like PT1H30M")
    return sum((parse_number(number.replace(",", ".")) * minutes for number, minutes in written), Fraction(0))
