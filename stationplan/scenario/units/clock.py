"""Times of day as minutes since midnight of the first day: ``05:30``, ``day 2 06:30``."""

from __future__ import annotations

import re
from dataclasses import dataclass

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units.durations import MINUTES_PER_DAY
from stationplan.scenario.units.numbers import plain_text

LAST_DAY = 366
_RIGHT = "write a time of day like 05:30, or day 2 06:30"
_CLOCK = re.compile(r"(?:day\s*(\d{1,3})\s+)?(\d{1,2}):(\d{2})(?::00)?", re.ASCII | re.IGNORECASE)
_OTHER_COLON = re.compile(r"(day\s*\d{1,3}\s+)?(\d{1,2})(?:[.h]([0-5]\d)|h)", re.ASCII | re.IGNORECASE)
_HALF_DAY = re.compile(r"(day\s*\d{1,3}\s+)?(\d{1,2})(?:[.:h]([0-5]\d))?\s*([ap])\.?\s?m\.?", re.ASCII | re.IGNORECASE)
_DASH = re.compile(r"\s*(?:-|\bto\b|\.\.)\s*")


class Clock(int):
    """A time of day: minutes since midnight of the first day. It prints as ``05:30`` or ``day 2 06:30``."""

    def __str__(self) -> str:
        return format_clock(self)


@dataclass(frozen=True, slots=True)
class ClockSpan:
    """From ``start`` (included) to ``end`` (excluded), minutes since midnight of the first day; end > start."""

    start: int
    end: int

    def __str__(self) -> str:
        return f"{format_clock(self.start)}-{format_clock(self.end)}"


@dataclass(frozen=True, slots=True)
class OpenSpan:
    """From ``start`` (included) to ``end`` (excluded), as :class:`ClockSpan`; without an ``end``, from then on."""

    start: int
    end: int | None = None

    def __str__(self) -> str:
        return f"{format_clock(self.start)}-{'' if self.end is None else format_clock(self.end)}"


def parse_clock(value: object) -> Clock:
    """Read a time of day.

    Args:
        value: ``HH:MM`` from 0:00 to 24:00, or with the day in front, ``day 2 06:30``; spreadsheets add ``:00``.

    Returns:
        Minutes since midnight of the first day.

    Raises:
        UnitError: when it is no time of day.
    """
    # YAML reads 15.00 as a number; it is shown as it was written.
    return _clock(f"{value:.2f}" if isinstance(value, float) else plain_text(value, _RIGHT))[0]


def parse_clock_span(value: object) -> ClockSpan:
    """Read two times of day with a dash between.

    Args:
        value: such as ``05:00-13:30``; an end at or before the start is on the next day, and an end
            without a day is on the day of the start.

    Returns:
        The span, in minutes since midnight of the first day.

    Raises:
        UnitError: when one of the two is no time of day, or the end is on a day before the start.
    """
    right = "write two times of day with a dash, such as 05:00-13:30"
    text = plain_text(value, right)
    parts = _DASH.split(text)
    if len(parts) != 2:
        raise UnitError(f"'{text}' is not a span of time; {right}")
    start, _ = _clock(parts[0])
    end, has_day = _clock(parts[1])
    if not has_day:
        end = Clock(end + start // MINUTES_PER_DAY * MINUTES_PER_DAY)
        if end < start:
            end = Clock(end + MINUTES_PER_DAY)
    if end <= start:
        raise UnitError(f"'{text}' ends no later than it starts; {right}")
    return ClockSpan(start, end)


def parse_open_span(value: object) -> OpenSpan:
    """Read two times of day with a dash between, or one with a dash behind it.

    Args:
        value: such as ``09:40-11:00``, or ``09:40-`` for from then on.

    Returns:
        The span, in minutes since midnight of the first day.

    Raises:
        UnitError: as :func:`parse_clock_span`.
    """
    text = plain_text(value, "write two times of day with a dash, such as 09:40-11:00, or 09:40- for from then on")
    if text.rstrip().endswith("-"):
        return OpenSpan(_clock(text.rstrip().removesuffix("-"))[0])
    span = parse_clock_span(text)
    return OpenSpan(span.start, span.end)


def format_clock(minutes: int) -> str:
    """Print minutes since midnight of the first day: ``05:30``, ``day 2 06:30``."""
    day, rest = divmod(int(minutes), MINUTES_PER_DAY)
    clock = f"{rest // 60:02d}:{rest % 60:02d}"
    return clock if day == 0 else f"day {day + 1} {clock}"


def _clock(text: str) -> tuple[Clock, bool]:
    match = _CLOCK.fullmatch(text.strip())
    if match is None:
        raise UnitError(f"'{text}' is not a time of day; {_right(text.strip())}")
    day, hours, minutes = int(match[1] or 1), int(match[2]), int(match[3])
    of_day = hours * 60 + minutes
    if minutes > 59 or of_day > MINUTES_PER_DAY:
        raise UnitError(f"'{text}' is not a time of day: they go from 00:00 to 24:00")
    if not 1 <= day <= LAST_DAY:
        raise UnitError(f"'{text}': days are counted from day 1 to day {LAST_DAY}")
    return Clock((day - 1) * MINUTES_PER_DAY + of_day), match[1] is not None


def in_our_fashion(text: str) -> str | None:
    """A time of day that is written as people do, the way we write it.

    Args:
        text: such as ``1.30 pm``, ``1:30pm``, ``13h30``, ``13h`` or ``13.30``, also with a day in front.

    Returns:
        ``13:30``; None for anything else.
    """
    half = _HALF_DAY.fullmatch(text.strip())
    other = _OTHER_COLON.fullmatch(text.strip())
    if half is not None and 1 <= int(half[2]) <= 12:
        hours = int(half[2]) % 12 + (12 if half[4] in "pP" else 0)
        return f"{half[1] or ''}{hours:02d}:{half[3] or '00'}"
    return None if other is None else f"{other[1] or ''}{other[2]}:{other[3] or '00'}"


def _right(text: str) -> str:
    """What to write instead of a time of day in another fashion."""
    ours = in_our_fashion(text)
    return _RIGHT if ours is None else f"write {ours}"
