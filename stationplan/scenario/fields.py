"""The field types of the models: text on the way in, exact values inside, text on the way out.

Each knows the piece of JSON Schema that describes what a user may write.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Annotated, Any

from pydantic_core import core_schema

from stationplan.scenario import units
from stationplan.scenario.allergens import ALLERGENS, parse_allergens
from stationplan.scenario.errors import UnitError
from stationplan.scenario.units.durations import TIME_UNITS
from stationplan.scenario.units.numbers import NUMBER, plain_text

if TYPE_CHECKING:
    from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler

LONGEST_NAME = 80
MOST_ORDERED = 10**7
WEAKEST, STRONGEST = 50, 325
"""Gelatin is sold from about the one strength (bloom) to about the other."""
CONVERSIONS = ("proportion", "root")
_TEMPERATURE = rf"-?\s*{NUMBER}\s*[°º]?\s*[CF]"
_DURATION = rf"(?:P[0-9.,DTHMSW]+|(?:\s*{NUMBER}\s*(?:{'|'.join(sorted(TIME_UNITS, key=len, reverse=True))})\.?)+)"
_SPAN = rf"(?:(?:{NUMBER}|{_DURATION})\s*\.\.\s*)?{_DURATION}"


@dataclass(frozen=True, eq=False)
class Written:
    """Tells pydantic to read a field with ``parse``, to dump it with ``write``, and how to describe it.

    A value that is a ``kind`` already is kept, so that models can also be made in Python.
    """

    kind: type | None
    parse: Callable[[Any], Any]
    write: Callable[[Any], Any]
    schema: dict[str, Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self._read, serialization=core_schema.plain_serializer_function_ser_schema(self.write)
        )

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        return dict(self.schema)

    def _read(self, value: Any) -> Any:
        return value if self.kind is not None and isinstance(value, self.kind) else self.parse(value)


def _text(pattern: str, *examples: str, description: str) -> dict[str, Any]:
    return {"type": "string", "pattern": rf"^\s*{pattern}\s*$", "examples": list(examples), "description": description}


def parse_name(value: object) -> str:
    """Read a name: one line of at most 80 characters, without spaces around it.

    Raises:
        UnitError: when it is empty, too long, or more than one line.
    """
    right = "write a name"
    if isinstance(value, str):
        name = value.strip()
        if not name.isprintable():
            raise UnitError(f"the name {name!r} has a line break or an unprintable sign in it; {right} on one line")
    else:
        name = plain_text(value, right)
    if not name:
        raise UnitError(f"this is empty; {right}")
    if len(name) > LONGEST_NAME:
        raise UnitError(f"the name '{name[:40]}...' is too long; {right} of at most {LONGEST_NAME} characters")
    return name


def _parse_word(value: object) -> str:
    return parse_name(value).lower()


def _whole_number(least: int, most: int) -> Callable[[object], int]:
    right = f"write one like {max(least, min(most, 2))}"

    def parse(value: object) -> int:
        text = plain_text(value, right)
        if not text.isdecimal() or not text.isascii() or not least <= int(text[:20]) <= most:
            raise UnitError(f"'{text}' is not a whole number from {least} to {most}; {right}")
        return int(text)

    return parse


class Ordered(int):
    """How many are ordered, and the unit that was written behind the number ('' for none)."""

    unit: str

    def __new__(cls, amount: int | Fraction, unit: str = "") -> Ordered:
        """An amount in whole units."""
        ordered = super().__new__(cls, amount)
        ordered.unit = unit
        return ordered


def _parse_order_quantity(value: object) -> Ordered:
    text = plain_text(value, "write how many are ordered, such as 240")
    if re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", text, re.ASCII):
        # Whether 1.500 is one and a half or fifteen hundred depends on the country.
        raise UnitError(f"'{text}' has a comma or a point in it; write a whole number with neither, such as 1500")
    if text[-1].isdigit() or not text[0].isdigit():
        return Ordered(_whole_number(1, MOST_ORDERED)(text))
    quantity = units.parse_quantity(text)
    if quantity.amount.denominator > 1 or not 1 <= quantity.amount <= MOST_ORDERED:
        raise UnitError(f"'{text}' is not a whole number from 1 to {MOST_ORDERED}; write one like 240")
    return Ordered(quantity.amount, quantity.unit)


def _parse_loss(value: object) -> Fraction:
    share = units.parse_share(value)
    if share == 1:
        raise UnitError(f"'{value}' would leave nothing; write a loss of less than 100 %")
    return share


def _parse_people(value: object) -> tuple[units.PeopleNeed, ...]:
    if isinstance(value, list):
        return tuple(need for part in value for need in units.parse_people(part))
    return units.parse_people(value)


def _parse_clock_spans(value: object) -> tuple[units.ClockSpan, ...]:
    return tuple(units.parse_clock_span(part) for part in (value if isinstance(value, list) else [value]))


def _parse_bloom(value: object) -> int:
    text = plain_text(value, "write the strength of the gelatin, such as 200").removesuffix("bloom")
    return _whole_number(WEAKEST, STRONGEST)(text)


def _parse_conversion(value: object) -> str:
    if value not in CONVERSIONS:
        raise UnitError(f"'{value}' is no way of converting gelatin; write {' or '.join(CONVERSIONS)}")
    return str(value)


def _write_each(values: tuple[object, ...]) -> list[str]:
    return [str(value) for value in values]


def _counted(least: int, most: int) -> Written:
    return Written(None, _whole_number(least, most), int, {"type": "integer", "minimum": least, "maximum": most})


def _one_or_list(schema: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": [schema, {"type": "array", "items": schema}]}


_NAME_SCHEMA = {"type": "string", "minLength": 1, "maxLength": LONGEST_NAME}
_QUANTITY_SCHEMA = _text(
    rf"{NUMBER}\s*[^\d\s].*", "2 trays", "180 g", "1.5 l", "1/2 cup", description="An amount with its unit."
)
_CLOCK_SPAN_SCHEMA = _text(
    r"(?:day\s*\d+\s+)?\d{1,2}:\d{2}(?::00)?\s*(?:-|to|\.\.)\s*(?:day\s*\d+\s+)?\d{1,2}:\d{2}(?::00)?",
    "05:00-13:30",
    "22:00-day 2 06:00",
    description="From one time of day to another.",
)
_OPEN_SPAN_SCHEMA = _text(
    r"(?:day\s*\d+\s+)?\d{1,2}:\d{2}(?::00)?\s*(?:-|(?:-|to|\.\.)\s*(?:day\s*\d+\s+)?\d{1,2}:\d{2}(?::00)?)",
    "09:40-11:00",
    "09:40-",
    description="From one time of day to another, or with nothing behind the dash from then on.",
)
_SHARE_SCHEMA = {
    "anyOf": [
        _text(rf"{NUMBER}\s*%?", "60 %", description="A share of the whole."),
        {"type": "number", "minimum": 0, "maximum": 1},
    ]
}
_PEOPLE_SCHEMA = {
    "anyOf": [
        {"type": "string", "minLength": 1, "examples": ["1 pastry", "1 pastry and 1 chocolate"]},
        {"type": "integer", "minimum": 1},
    ],
    "description": "How many people, with which skill.",
}

Name = Annotated[str, Written(None, parse_name, str, _NAME_SCHEMA)]
Word = Annotated[str, Written(None, _parse_word, str, _NAME_SCHEMA)]
Count = Annotated[int, _counted(1, 1000)]
Rounds = Annotated[int, _counted(1, 50)]
Weight = Annotated[int, _counted(1, 1000)]
OrderQuantity = Annotated[
    int,
    Written(
        Ordered,
        _parse_order_quantity,
        int,
        {
            "anyOf": [
                {"type": "integer", "minimum": 1},
                {"type": "string", "pattern": rf"^\s*(?:\d+|{NUMBER}\s*[^\d\s].*)\s*$"},
            ]
        },
    ),
]
Minutes = Annotated[
    Fraction,
    Written(
        Fraction,
        units.parse_duration,
        units.format_duration,
        _text(_DURATION, "8 min", "1 h 30 min", "2 days", "PT8M", description="A duration."),
    ),
]
StepTime = Annotated[
    units.StepTime,
    Written(
        units.StepTime,
        units.parse_step_time,
        str,
        _text(
            rf"{_SPAN}(?:\s+per\s+.+?)?(?:\s*\+\s*{_SPAN}(?:\s+per\s+.+?)?)?",
            "6 min",
            "11..13 min",
            "6 min + 2 min per tray",
            "1..2 min per 10 pieces",
            description="How long the step takes: fixed, per quantity, or both; each may be a range.",
        ),
    ),
]
HandsOn = Annotated[
    units.HandsOn,
    Written(
        units.HandsOn,
        units.parse_hands_on,
        str,
        _text(
            rf"(?:all|none|(?:first|last)\s+{_DURATION}(?:(?:\s+and\s+|,\s*)(?:first|last)\s+{_DURATION})?)",
            "all",
            "none",
            "first 2 min",
            "first 2 min and last 3 min",
            description="The part of the step that needs hands.",
        ),
    ),
]
People = Annotated[
    tuple[units.PeopleNeed, ...], Written(tuple, _parse_people, _write_each, _one_or_list(_PEOPLE_SCHEMA))
]
Quantity = Annotated[units.Quantity, Written(units.Quantity, units.parse_quantity, str, _QUANTITY_SCHEMA)]
Rate = Annotated[
    units.Rate,
    Written(
        units.Rate,
        units.parse_rate,
        str,
        _text(
            rf"{NUMBER}\s*[^\d\s].*",
            "1 tray per tray",
            "3 l",
            "1 tray per 12 pieces",
            "1 place per batch",
            description="An amount per quantity, per batch, or (alone) for one recipe.",
        ),
    ),
]
Temperature = Annotated[
    Fraction,
    Written(
        Fraction,
        units.parse_temperature,
        lambda celsius: str(units.Setting(celsius)),
        _text(_TEMPERATURE, "20 C", "70 F", description="A temperature."),
    ),
]
TemperatureRange = Annotated[
    tuple[Fraction, Fraction],
    Written(
        tuple,
        units.parse_temperature_range,
        units.format_temperature_range,
        _text(
            rf"(?:-?\s*{NUMBER}|{_TEMPERATURE})\s*\.\.\s*{_TEMPERATURE}",
            "120..280 C",
            description="The lowest and the highest temperature.",
        ),
    ),
]
TemperatureRate = Annotated[
    Fraction,
    Written(
        Fraction,
        units.parse_temperature_rate,
        units.format_temperature_rate,
        _text(
            rf"{NUMBER}\s*[°º]?\s*[CF]\s*(?:/|per|a)\s*(?:min|mins|minutes?|h|hours?)",
            "6 C/min",
            description="How fast it heats or cools.",
        ),
    ),
]
Setting = Annotated[
    units.Setting,
    Written(
        units.Setting,
        units.parse_setting,
        str,
        _text(rf"{_TEMPERATURE}(?:\s+\S.*)?", "180 C", "350 F", "180 C fan", description="Temperature and mode."),
    ),
]
Share = Annotated[Fraction, Written(Fraction, units.parse_share, units.format_share, _SHARE_SCHEMA)]
Loss = Annotated[Fraction, Written(Fraction, _parse_loss, units.format_share, _SHARE_SCHEMA)]
Clock = Annotated[
    units.Clock,
    Written(
        units.Clock,
        units.parse_clock,
        str,
        _text(r"(?:day\s*\d+\s+)?\d{1,2}:\d{2}(?::00)?", "05:30", "day 2 06:30", description="A time of day."),
    ),
]
ClockSpans = Annotated[
    tuple[units.ClockSpan, ...], Written(tuple, _parse_clock_spans, _write_each, _one_or_list(_CLOCK_SPAN_SCHEMA))
]
OpenSpan = Annotated[units.OpenSpan, Written(units.OpenSpan, units.parse_open_span, str, _OPEN_SPAN_SCHEMA)]
Allergens = Annotated[
    tuple[str, ...],
    Written(
        tuple,
        parse_allergens,
        lambda names: _write_each(names) or "none",
        {
            **_one_or_list({"type": "string", "minLength": 1, "examples": [*ALLERGENS, "none"]}),
            "description": "Allergens by name, or none.",
        },
    ),
]
Bloom = Annotated[
    int,
    Written(
        None,
        _parse_bloom,
        int,
        {"type": "integer", "minimum": WEAKEST, "maximum": STRONGEST, "description": "Strength of gelatin in bloom."},
    ),
]
Conversion = Annotated[
    str,
    Written(
        None,
        _parse_conversion,
        str,
        {"enum": list(CONVERSIONS), "description": "How gelatin of one strength is replaced by another."},
    ),
]
