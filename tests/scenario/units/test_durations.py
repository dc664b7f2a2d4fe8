from __future__ import annotations

from fractions import Fraction

import pytest

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import Span, format_duration, parse_duration, parse_span


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("8 min", 8),
        ("8 mins", 8),
        ("8min", 8),
        ("8 minutes", 8),
        ("1 minute", 1),
        ("1 h 30 min", 90),
        ("1h30min", 90),
        ("1 hr", 60),
        ("2 hours", 120),
        ("1.5 h", 90),
        ("1/2 h", 30),
        ("1 1/2 h", 90),
        ("90 s", Fraction(3, 2)),
        ("10 seconds", Fraction(1, 6)),
        ("3 days", 4320),
        ("2 d", 2880),
        ("1 week", 10080),
        ("0 min", 0),
    ],
)
def test_a_duration_is_exact_minutes(text: str, minutes: Fraction) -> None:
    assert parse_duration(text) == minutes


# ISO 8601-1:2019, 5.5.2: durations with designators; PnW or PnDTnHnMnS, a decimal only in the smallest part, with
# comma or point. Years and months have no fixed length and are refused (RFC 5545, 3.3.6, refuses them likewise).
@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("PT8M", 8),
        ("PT1H30M", 90),
        ("P1DT2H", 1560),
        ("P3D", 4320),
        ("P1W", 10080),
        ("PT90S", Fraction(3, 2)),
        ("PT0.5H", 30),
        ("PT0,5H", 30),
        ("P15DT5H0M20S", 15 * 1440 + 300 + Fraction(1, 3)),  # the example of RFC 5545, 3.3.6
        ("P7W", 7 * 10080),  # likewise
    ],
)
def test_an_iso_8601_duration_is_read(text: str, minutes: Fraction) -> None:
    assert parse_duration(text) == minutes


@pytest.mark.parametrize("text", ["P", "PT", "P1Y", "P1M", "P1DT", "PT0.5H30M", "P1W2D", "PT1M1H", "P-1D"])
def test_what_is_no_iso_8601_duration_of_fixed_length_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match=r"ISO 8601"):
        parse_duration(text)


@pytest.mark.parametrize(
    ("written", "gist"),
    [
        ("8", "say 8 min"),
        (8, "say 8 min"),
        ("8 mns", "did you mean 'mins'"),
        ("1 h 30", "ends in a number without a unit"),
        ("-8 min", "below zero"),
        ("1,5 h", "write a decimal point"),
        ("soon", "is not a time"),
        ("", "this is empty"),
        (None, "this is empty"),
        ([], "this is a list"),
        (True, "this is yes or no"),
        ("1/0 h", "divides by zero"),
        ("400 days", "longer than a year"),
        ("9" * 30 + " min", "too large"),
    ],
)
def test_what_is_no_duration_is_told_in_words(written: object, gist: str) -> None:
    with pytest.raises(UnitError, match=gist):
        parse_duration(written)


@pytest.mark.parametrize(
    ("minutes", "text"),
    [
        (Fraction(90), "1 h 30 min"),
        (Fraction(8), "8 min"),
        (Fraction(3, 2), "1 min 30 s"),
        (Fraction(3, 4), "45 s"),
        (Fraction(0), "0 min"),
        (Fraction(1440), "1 day"),
        (Fraction(3 * 1440 + 61), "3 days 1 h 1 min"),
        (Fraction(1, 180), "1/3 s"),
    ],
)
def test_a_duration_prints_as_a_cook_says_it(minutes: Fraction, text: str) -> None:
    assert format_duration(minutes) == text


@pytest.mark.parametrize(
    ("text", "least", "most"),
    [
        ("11..13 min", 11, 13),
        ("11 .. 13 min", 11, 13),
        ("1..1.5 h", 60, 90),
        ("50 min..1 h 10 min", 50, 70),
        ("30..90 s", Fraction(1, 2), Fraction(3, 2)),
        ("5 min", 5, 5),
    ],
)
def test_a_range_has_two_ends(text: str, least: Fraction, most: Fraction) -> None:
    assert parse_span(text) == Span(Fraction(least), Fraction(most))


@pytest.mark.parametrize(
    ("text", "gist"), [("13..11 min", "wrong way round"), ("11-13 min", r"11\.\.13 min"), ("..3 min", "empty")]
)
def test_what_is_no_range_is_told_in_words(text: str, gist: str) -> None:
    with pytest.raises(UnitError, match=gist):
        parse_span(text)


@pytest.mark.parametrize("text", ["11..13 min", "1..2 h", "8 min", "50 min..1 h 10 min"])
def test_a_range_prints_as_it_is_written(text: str) -> None:
    assert str(parse_span(text)) == text
