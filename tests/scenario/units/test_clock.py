from __future__ import annotations

import json

import pytest

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import Clock, ClockSpan, format_clock, parse_clock, parse_clock_span


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("05:30", 330),
        ("5:30", 330),
        ("0:00", 0),
        ("24:00", 1440),
        ("15:00:00", 900),
        ("day 1 05:30", 330),
        ("Day 2 06:30", 1830),
    ],
)
def test_a_time_of_day_counts_from_the_first_midnight(text: str, minutes: int) -> None:
    assert parse_clock(text) == minutes


@pytest.mark.parametrize(
    "written", ["25:00", "24:01", "12:60", "5.30", "5:3", "noon", 330, "day 0 05:00", "day 400 05:00", ""]
)
def test_what_is_no_time_of_day_is_refused(written: object) -> None:
    with pytest.raises(UnitError, match=r"time of day|counted from day 1"):
        parse_clock(written)


@pytest.mark.parametrize(
    ("written", "right"),
    [
        ("3 pm", "15:00"),
        ("3:30PM", "15:30"),
        ("12 p.m.", "12:00"),
        ("12:15 am", "00:15"),
        ("15.30", "15:30"),
        ("15h30", "15:30"),
        ("15h", "15:00"),
        ("1.30 pm", "13:30"),
        ("1:30 p. m.", "13:30"),
        ("day 2 1.30 pm", "day 2 13:30"),
        (15.0, "15:00"),
    ],
)
def test_a_time_of_day_in_another_fashion_is_told_the_right_one(written: object, right: str) -> None:
    with pytest.raises(UnitError, match=f"is not a time of day; write {right}$"):
        parse_clock(written)


@pytest.mark.parametrize(
    ("minutes", "text"), [(330, "05:30"), (1439, "23:59"), (1440, "day 2 00:00"), (1830, "day 2 06:30")]
)
def test_a_time_of_day_prints_with_its_day(minutes: int, text: str) -> None:
    assert format_clock(minutes) == text
    assert str(Clock(minutes)) == text


def test_a_time_of_day_is_a_number_to_everything_else() -> None:
    assert json.dumps(Clock(330)) == "330"
    assert Clock(330) + 30 == 360


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("05:00-13:30", 300, 810),
        ("05:00 - 13:30", 300, 810),
        ("05:00\N{EN DASH}13:30", 300, 810),
        ("05:00 to 13:30", 300, 810),
        ("22:00-06:00", 1320, 1800),
        ("22:00-day 2 06:00", 1320, 1800),
        ("day 2 06:00-14:00", 1800, 2280),
        ("day 2 22:00-06:00", 2760, 3240),
        ("20:00-24:00", 1200, 1440),
    ],
)
def test_a_span_of_time_may_go_over_midnight(text: str, start: int, end: int) -> None:
    span = parse_clock_span(text)
    assert span == ClockSpan(start, end)
    assert parse_clock_span(str(span)) == span


@pytest.mark.parametrize("text", ["05:00", "05:00-06:00-07:00", "day 2 05:00-day 1 06:00", "05:00-05:00", "early-late"])
def test_what_is_no_span_of_time_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match="write"):
        parse_clock_span(text)
