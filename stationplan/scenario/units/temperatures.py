"""Temperatures in exact °C: ``180 C``, ``350 F``, ``180 C fan``, ``120..280 C``, ``6 C/min``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units.numbers import NUMBER, format_number, parse_number, plain_text

COLDEST = Fraction("-273.15")
HOTTEST = Fraction(1000)
_RIGHT = "write a temperature like 180 C or 350 F"
_TEMPERATURE = re.compile(rf"(-?)\s*({NUMBER})\s*(?:°|º|deg(?:rees?)?)?\s*([CF])\b\s*(.*)", re.ASCII | re.IGNORECASE)
_MODE = re.compile(r"[^\W\d_]+(?:[ -][^\W\d_]+)*")


@dataclass(frozen=True, slots=True)
class Setting:
    """What an oven is set to: a temperature in °C and a mode, empty for the plain one."""

    celsius: Fraction
    mode: str = ""

    def __str__(self) -> str:
        return f"{_exact(self.celsius)} {self.mode}".rstrip()


def parse_setting(value: object) -> Setting:
    """Read a temperature with an optional mode.

    Args:
        value: such as ``180 C``, ``350 F`` or ``180 C fan``.

    Returns:
        The setting, in °C.

    Raises:
        UnitError: when it does not start with a temperature, or no oven could have it.
    """
    text = plain_text(value, _RIGHT)
    match = _TEMPERATURE.fullmatch(text)
    if match is None:
        if re.fullmatch(rf"-?{NUMBER}", text, re.ASCII):
            raise UnitError(f"'{text}' has no unit; say {text} C or {text} F")
        raise UnitError(f"'{text}' is not a temperature; {_RIGHT}")
    sign, number, scale, mode = match.groups()
    degrees = parse_number(number) * (-1 if sign else 1)
    celsius = degrees if scale in "Cc" else (degrees - 32) * 5 / 9
    if not COLDEST <= celsius <= HOTTEST:
        raise UnitError(f"'{text}' is no temperature a kitchen can have")
    if mode and _MODE.fullmatch(mode) is None:
        raise UnitError(f"'{text}': '{mode}' is no setting; {_RIGHT}, with a word such as fan or steam behind it")
    return Setting(celsius, mode.lower())


def parse_temperature(value: object) -> Fraction:
    """Read a temperature, such as ``180 C`` or ``350 F``.

    Returns:
        Exact °C.

    Raises:
        UnitError: when it is no temperature.
    """
    setting = parse_setting(value)
    if setting.mode:
        raise UnitError(f"'{value}' has more than a temperature; {_RIGHT}")
    return setting.celsius


def parse_temperature_range(value: object) -> tuple[Fraction, Fraction]:
    """Read a range of temperatures, such as ``120..280 C``.

    Returns:
        The lowest and the highest, in °C.

    Raises:
        UnitError: when an end is no temperature or the first is not the lower.
    """
    right = "write a range of temperatures like 120..280 C"
    text = plain_text(value, right)
    low, dots, high = text.partition("..")
    if not dots:
        raise UnitError(f"'{text}' is not a range; {right}")
    highest = parse_temperature(high)
    if re.fullmatch(rf"-?\s*{NUMBER}", low.strip(), re.ASCII):
        low += f" {high.strip()[-1]}"
    lowest = parse_temperature(low)
    if lowest >= highest:
        raise UnitError(f"'{text}' is the wrong way round; write the lower temperature first")
    return lowest, highest


def parse_temperature_rate(value: object) -> Fraction:
    """Read how fast something heats or cools, such as ``6 C/min``.

    Returns:
        °C per minute, more than zero.

    Raises:
        UnitError: when it is no such rate.
    """
    right = "write degrees a minute, such as 6 C/min"
    text = plain_text(value, right)
    match = re.fullmatch(
        rf"({NUMBER})\s*(?:°|º|deg(?:rees?)?)?\s*([CF])\s*(?:/|per|a)\s*(min|mins|minutes?|h|hours?)",
        text,
        re.ASCII | re.IGNORECASE,
    )
    if match is None:
        raise UnitError(f"'{text}' does not say how fast it heats or cools; {right}")
    rate = parse_number(match[1])
    if match[2] in "Ff":
        rate = rate * 5 / 9
    if match[3][0] in "Hh":
        rate /= 60
    if rate <= 0:
        raise UnitError(f"'{text}' would take for ever; {right}")
    return rate


def format_temperature(celsius: Fraction | float) -> str:
    """Print a temperature for reading, rounded to a tenth of a degree: ``180 C``, ``176.7 C``."""
    return f"{_signed(Fraction(round(float(celsius), 1)).limit_denominator(10))} C"


def format_temperature_range(ends: tuple[Fraction, Fraction]) -> str:
    """Print a range of temperatures exactly: ``120 C..280 C``."""
    return f"{_exact(ends[0])}..{_exact(ends[1])}"


def format_temperature_rate(rate: Fraction) -> str:
    """Print °C a minute exactly: ``6 C/min``."""
    return f"{format_number(rate)} C/min"


def _exact(celsius: Fraction) -> str:
    fahrenheit = celsius * 9 / 5 + 32
    # 350 F is 176.666... C: it is only exact in the scale that it was written in.
    if (celsius * 1000).denominator != 1 and (fahrenheit * 1000).denominator == 1:
        return f"{_signed(fahrenheit)} F"
    return f"{_signed(celsius)} C"


def _signed(number: Fraction) -> str:
    return f"-{format_number(-number)}" if number < 0 else format_number(number)
