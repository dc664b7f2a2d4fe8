"""A practical examination: who takes it, what everybody makes, and what must be alike for all.

Times in it are relative: hand-ins count from the moment at which a candidate may begin
to cook, after their own set-up. docs/format/exam.md explains each field.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from stationplan.scenario import fields, units
from stationplan.scenario.base import Model
from stationplan.scenario.errors import UnitError
from stationplan.scenario.units.numbers import plain_text

MOST_CANDIDATES = 500
_STARTS_RIGHT = "write together, every 10 min, or as close as possible"
_CANDIDATES_RIGHT = "write how many there are, such as 16, or a list of their names"


@dataclass(frozen=True, slots=True)
class Starts:
    """When candidates of a wave begin: ``every`` so many minutes; None for as close after one another as can be."""

    every: Fraction | None

    def __str__(self) -> str:
        if self.every is None:
            return "as close as possible"
        return f"every {units.format_duration(self.every)}" if self.every else "together"


def parse_starts(value: object) -> Starts:
    """Read how candidates start.

    Args:
        value: ``together``, ``every 10 min`` or ``as close as possible``.

    Raises:
        UnitError: when it is none of these.
    """
    text = plain_text(value, _STARTS_RIGHT)
    words = " ".join(text.lower().split())
    if words == "together":
        return Starts(Fraction(0))
    if words == "as close as possible":
        return Starts(None)
    if not words.startswith("every "):
        raise UnitError(f"'{text}' does not say when candidates start; {_STARTS_RIGHT}")
    return Starts(Fraction(ceil(units.parse_duration(text.strip()[len("every ") :]))))


def parse_candidates(value: object) -> tuple[str, ...]:
    """Read the candidates' names; a number stands for candidate 1, candidate 2 and so on.

    Raises:
        UnitError: when it is neither a number from 1 on nor a list of names.
    """
    if isinstance(value, list):
        names = tuple(fields.parse_name(name) for name in value)
        if not 1 <= len(names) <= MOST_CANDIDATES:
            raise UnitError(f"there are {len(names)} candidates; an exam has 1 to {MOST_CANDIDATES}")
        return names
    text = plain_text(value, _CANDIDATES_RIGHT)
    if not re.fullmatch(r"[0-9]{1,9}", text) or not 1 <= int(text) <= MOST_CANDIDATES:
        raise UnitError(f"'{text}' is not a whole number from 1 to {MOST_CANDIDATES}; {_CANDIDATES_RIGHT}")
    return tuple(f"candidate {number}" for number in range(1, int(text) + 1))


def _parse_clocks(value: object) -> tuple[units.Clock, ...]:
    return tuple(units.parse_clock(part) for part in (value if isinstance(value, list) else [value]))


def _parse_menu(value: object) -> Any:
    if isinstance(value, list) and not value:
        raise UnitError("there is nothing on the menu; write at least one dish")
    return value


Candidates = Annotated[
    tuple[str, ...],
    fields.Written(
        tuple,
        parse_candidates,
        list,
        {
            "anyOf": [
                {"type": "integer", "minimum": 1, "maximum": MOST_CANDIDATES},
                {"type": "array", "minItems": 1, "items": {"type": "string", "minLength": 1}},
            ]
        },
    ),
]
StartRule = Annotated[
    Starts,
    fields.Written(
        Starts,
        parse_starts,
        str,
        {
            "type": "string",
            "pattern": r"^\s*(?:together|as close as possible|every\s.+)\s*$",
            "examples": ["together", "every 10 min", "as close as possible"],
        },
    ),
]
Window = Annotated[
    units.Span,
    fields.Written(
        units.Span,
        units.parse_span,
        str,
        {"type": "string", "minLength": 1, "examples": ["100..110 min", "120 min", "1 h 40 min..1 h 50 min"]},
    ),
]
Clocks = Annotated[
    tuple[units.Clock, ...],
    fields.Written(
        tuple,
        _parse_clocks,
        lambda clocks: [str(clock) for clock in clocks],
        {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]},
    ),
]


class Dish(Model):
    """One dish that every candidate makes and hands in."""

    product: fields.Name = Field(description="Name of a product.")
    quantity: fields.OrderQuantity = Field(description="How many each candidate makes, in the product's unit.")
    hand_in: Window | None = Field(
        None, description="From when to when it is handed in, after the start of cooking; without it, any time."
    )
    stands: fields.Minutes | None = Field(
        None, description="Longest time that it may stand ready before it is handed in; without it, no limit."
    )


class Tolerance(Model):
    """What a hand-in beside its window costs."""

    tolerance: fields.Minutes = Field(default=Fraction(0), description="Minutes beside the window that cost nothing.")
    points: fields.Weight = Field(default=1, description="Points that each further minute costs.")
    fails_after: fields.Minutes | None = Field(
        default=None,
        description="Minutes beside the window after which it is refused; without it, never.",
    )


class Exam(Model):
    """A practical examination: the same menu for every candidate, on equipment partly their own, partly shared."""

    candidates: Candidates = Field(description="How many candidates there are, or their names.")
    menu: Annotated[tuple[Dish, ...], BeforeValidator(_parse_menu)] = Field(description="What each of them makes.")
    own: Annotated[
        tuple[fields.Name, ...],
        BeforeValidator(
            lambda value: [value] if isinstance(value, str) else value,
            json_schema_input_type=fields.Name | tuple[fields.Name, ...],
        ),
    ] = Field((), description="Names of the equipment that each candidate has alone; all other equipment is shared.")
    set_up: fields.Minutes = Field(Fraction(0), description="Time at the workplace before cooking may begin.")
    time_allowed: fields.Minutes = Field(description="Time for cooking, from its start to the stop.")
    clean_down: fields.Minutes = Field(Fraction(0), description="Time for cleaning the workplace after the stop.")
    starts: StartRule = Field(Starts(None), description="When candidates start one after another.")
    at_a_time: fields.Count = Field(1, description="How many candidates start at the same moment.")
    may_differ: fields.Minutes = Field(
        Fraction(0), description="How much longer one may wait for a turn at shared equipment than another."
    )
    workplaces: fields.Count | None = Field(None, description="Most candidates at a time; without it, all of them.")
    waves: Clocks = Field((), description="When waves begin; without it, one after another from opening on.")
    pause: fields.Minutes = Field(Fraction(0), alias="break", description="Least time between two waves.")
    days: fields.Count = Field(1, description="How many days there are, each with the hours of the shift.")
    early: Tolerance = Field(Tolerance(), description="What a hand-in before its window costs.")
    late: Tolerance = Field(Tolerance(), description="What a hand-in after its window costs.")


def candidates_at_most(exam: Exam) -> int | None:
    """How many candidates the waves that are given hold on all days; None where nothing limits them."""
    if not exam.waves or exam.workplaces is None:
        return None
    return len(exam.waves) * exam.days * exam.workplaces
