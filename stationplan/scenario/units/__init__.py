"""Times, clocks, quantities, temperatures and shares: the values a cook writes, read exactly and printed back.

Amounts are :class:`fractions.Fraction`, so that nothing is lost between ``1/3 cup`` and the plan. Every ``parse_*``
function raises :class:`stationplan.scenario.errors.UnitError` with a sentence that says what would be right.
"""

from stationplan.scenario.units.clock import (
    Clock,
    ClockSpan,
    OpenSpan,
    format_clock,
    parse_clock,
    parse_clock_span,
    parse_open_span,
)
from stationplan.scenario.units.durations import Span, format_duration, parse_duration, parse_span
from stationplan.scenario.units.nouns import plural, singular
from stationplan.scenario.units.numbers import format_number, format_share, parse_number, parse_share
from stationplan.scenario.units.quantities import (
    Quantity,
    Rate,
    format_quantity,
    parse_quantity,
    parse_rate,
)
from stationplan.scenario.units.temperatures import (
    Setting,
    format_temperature,
    format_temperature_range,
    format_temperature_rate,
    parse_setting,
    parse_temperature,
    parse_temperature_range,
    parse_temperature_rate,
)
from stationplan.scenario.units.work import (
    HandsOn,
    PeopleNeed,
    StepTime,
    parse_hands_on,
    parse_people,
    parse_step_time,
)

__all__ = [
    "Clock",
    "ClockSpan",
    "HandsOn",
    "OpenSpan",
    "PeopleNeed",
    "Quantity",
    "Rate",
    "Setting",
    "Span",
    "StepTime",
    "format_clock",
    "format_duration",
    "format_number",
    "format_quantity",
    "format_share",
    "format_temperature",
    "format_temperature_range",
    "format_temperature_rate",
    "parse_clock",
    "parse_clock_span",
    "parse_duration",
    "parse_hands_on",
    "parse_number",
    "parse_open_span",
    "parse_people",
    "parse_quantity",
    "parse_rate",
    "parse_setting",
    "parse_share",
    "parse_span",
    "parse_step_time",
    "parse_temperature",
    "parse_temperature_range",
    "parse_temperature_rate",
    "plural",
    "singular",
]
