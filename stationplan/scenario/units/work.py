"""The work in a step: how long it takes, which part of it needs hands, and whose."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units.durations import Span, format_duration, parse_duration, parse_span
from stationplan.scenario.units.numbers import plain_text
from stationplan.scenario.units.quantities import Quantity, format_per, parse_per

MOST_PEOPLE = 1000
_ZERO = Span(Fraction(0), Fraction(0))
_TIME_RIGHT = "write a time like 6 min, 11..13 min or 6 min + 2 min per tray"
_HANDS_RIGHT = "write all, none, first 2 min, last 3 min, or first 2 min and last 3 min"
_PEOPLE_RIGHT = "write people like 1 pastry, 2, or 1 pastry and 1 chocolate"
_PEOPLE = re.compile(r"(?:(\d{1,6})\s*)?([^\W\d_][\w' -]*)?")
_ANYBODY = frozenset({"person", "people", "cook", "cooks", "anyone", "anybody"})


@dataclass(frozen=True, slots=True)
class StepTime:
    """How long a step takes: ``fixed``, and ``each`` for every ``per`` of the batch (both or neither given)."""

    fixed: Span
    each: Span | None = None
    per: Quantity | None = None

    def __str__(self) -> str:
        if self.each is None or self.per is None:
            return str(self.fixed)
        each = f"{self.each} per {format_per(self.per)}"
        return each if self.fixed == _ZERO else f"{self.fixed} + {each}"


@dataclass(frozen=True, slots=True)
class HandsOn:
    """The part of a step that needs a person: all of it, or its ``first`` and ``last`` minutes."""

    all: bool
    first: Fraction = Fraction(0)
    last: Fraction = Fraction(0)

    def __str__(self) -> str:
        if self.all:
            return "all"
        parts = (("first", self.first), ("last", self.last))
        return " and ".join(f"{word} {format_duration(part)}" for word, part in parts if part) or "none"


@dataclass(frozen=True, slots=True)
class PeopleNeed:
    """So many people with a skill; any person when ``skill`` is None."""

    count: int
    skill: str | None = None

    def __str__(self) -> str:
        return f"{self.count} {self.skill}" if self.skill else str(self.count)


def parse_step_time(value: object) -> StepTime:
    """Read how long a step takes.

    Args:
        value: such as ``6 min``, ``11..13 min``, ``6 min + 2 min per tray`` or ``1..2 min per 10 pieces``.

    Returns:
        The time, in minutes, with the quantity that it grows with.

    Raises:
        UnitError: when a part is no time, or there are more than one fixed part and one part per quantity.
    """
    text = plain_text(value, _TIME_RIGHT)
    fixed: list[Span] = []
    growing: list[tuple[Span, Quantity]] = []
    for part in text.split("+"):
        time, per, of = part.partition(" per ")
        if not time.strip():
            raise UnitError(f"'{text}' has a + with nothing beside it; {_TIME_RIGHT}")
        if per:
            growing.append((parse_span(time), parse_per(of)))
        else:
            fixed.append(parse_span(time))
    if len(fixed) > 1 or len(growing) > 1:
        raise UnitError(f"'{text}' has too many parts: one fixed time and one per quantity can be added; {_TIME_RIGHT}")
    each, of_each = growing[0] if growing else (None, None)
    return StepTime(fixed[0] if fixed else _ZERO, each, of_each)


def parse_hands_on(value: object) -> HandsOn:
    """Read which part of a step needs hands.

    Args:
        value: ``all``, ``none``, ``first 2 min``, ``last 3 min``, or ``first 2 min and last 3 min``.

    Returns:
        The part.

    Raises:
        UnitError: when it is none of these.
    """
    if isinstance(value, bool):
        raise UnitError(f"this is yes/no; {_HANDS_RIGHT}")
    text = plain_text(value, _HANDS_RIGHT)
    lower = text.lower()
    if lower in ("all", "none"):
        return HandsOn(all=lower == "all")
    minutes: dict[str, Fraction] = {}
    for part in re.split(r"\s+and\s+|,\s*", lower):
        word, _, time = part.partition(" ")
        if word not in ("first", "last") or word in minutes:
            raise UnitError(f"'{text}' does not say when hands are needed; {_HANDS_RIGHT}")
        minutes[word] = parse_duration(time)
    return HandsOn(all=False, first=minutes.get("first", Fraction(0)), last=minutes.get("last", Fraction(0)))


def parse_people(value: object) -> tuple[PeopleNeed, ...]:
    """Read how many people with which skills.

    Args:
        value: a number, or text such as ``1 pastry`` or ``1 pastry and 1 chocolate``.

    Returns:
        One need for each skill named.

    Raises:
        UnitError: when a part is no number of people.
    """
    text = plain_text(value, _PEOPLE_RIGHT)
    needs = []
    for part in re.split(r"\s+and\s+|,\s*", text):
        match = _PEOPLE.fullmatch(part)
        if match is None or re.search(r"\b(and|or|with|of)\b", part):
            raise UnitError(f"'{text}' does not say how many people; {_PEOPLE_RIGHT}")
        count = int(match[1]) if match[1] else 1
        if not 1 <= count <= MOST_PEOPLE:
            raise UnitError(f"'{text}' asks for {count} people; {_PEOPLE_RIGHT}")
        skill = (match[2] or "").strip().lower()
        if not match[1] and not skill:
            raise UnitError(f"'{text}' does not say how many people; {_PEOPLE_RIGHT}")
        needs.append(PeopleNeed(count, None if not skill or skill in _ANYBODY else skill))
    return tuple(needs)
