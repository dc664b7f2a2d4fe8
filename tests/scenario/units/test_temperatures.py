from __future__ import annotations

from fractions import Fraction

import pytest

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import (
    Setting,
    format_temperature,
    parse_setting,
    parse_temperature,
    parse_temperature_range,
    parse_temperature_rate,
)


# FDA Food Code 3-501.14 and 3-501.16 give these pairs, rounded to whole °C.
@pytest.mark.parametrize(("fahrenheit", "celsius"), [(135, 57), (70, 21), (41, 5), (145, 63), (155, 68)])
def test_fahrenheit_agrees_with_the_pairs_of_the_food_code(fahrenheit: int, celsius: int) -> None:
    assert round(parse_temperature(f"{fahrenheit} F")) == celsius


# The fixed points of the scales.
@pytest.mark.parametrize(("fahrenheit", "celsius"), [("32 F", 0), ("212 F", 100), ("-40 F", -40)])
def test_fahrenheit_is_converted_exactly(fahrenheit: str, celsius: int) -> None:
    assert parse_temperature(fahrenheit) == celsius


@pytest.mark.parametrize(
    ("text", "setting"),
    [
        ("180 C", Setting(Fraction(180))),
        ("180 °C", Setting(Fraction(180))),
        ("180°C", Setting(Fraction(180))),
        ("180 c", Setting(Fraction(180))),
        ("350 F", Setting(Fraction(1590, 9))),
        ("180 C fan", Setting(Fraction(180), "fan")),
        ("180 C Fan", Setting(Fraction(180), "fan")),
        ("-18 C", Setting(Fraction(-18))),
        ("\N{MINUS SIGN}18 C", Setting(Fraction(-18))),
        ("62.5 C", Setting(Fraction("62.5"))),
    ],
)
def test_a_setting_is_a_temperature_and_a_mode(text: str, setting: Setting) -> None:
    assert parse_setting(text) == setting
    assert parse_setting(str(setting)) == setting


@pytest.mark.parametrize(
    ("written", "gist"),
    [
        ("180", "say 180 C or 180 F"),
        (180, "say 180 C or 180 F"),
        ("hot", "is not a temperature"),
        ("2000 C", "no temperature a kitchen can have"),
        ("-300 C", "no temperature a kitchen can have"),
        ("180 C 3", "is no setting"),
    ],
)
def test_what_is_no_setting_is_told_in_words(written: object, gist: str) -> None:
    with pytest.raises(UnitError, match=gist):
        parse_setting(written)


def test_a_temperature_has_no_mode() -> None:
    with pytest.raises(UnitError, match="more than a temperature"):
        parse_temperature("20 C fan")


@pytest.mark.parametrize(
    ("text", "ends"), [("120..280 C", (120, 280)), ("-25..-18 C", (-25, -18)), ("32 F..212 F", (0, 100))]
)
def test_a_range_of_temperatures_has_two_ends(text: str, ends: tuple[int, int]) -> None:
    assert parse_temperature_range(text) == ends


@pytest.mark.parametrize("text", ["280..120 C", "180 C", "120..120 C", "120-280 C"])
def test_what_is_no_range_of_temperatures_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match="write"):
        parse_temperature_range(text)


@pytest.mark.parametrize(("text", "rate"), [("6 C/min", 6), ("6 °C per minute", 6), ("9 F/min", 5), ("120 C/h", 2)])
def test_a_rate_of_heating_is_degrees_celsius_a_minute(text: str, rate: int) -> None:
    assert parse_temperature_rate(text) == rate


@pytest.mark.parametrize("text", ["6 C", "6", "0 C/min", "fast"])
def test_what_is_no_rate_of_heating_is_refused(text: str) -> None:
    with pytest.raises(UnitError, match="6 C/min"):
        parse_temperature_rate(text)


def test_a_temperature_prints_rounded_for_reading() -> None:
    assert [format_temperature(value) for value in (Fraction(180), Fraction(1590, 9), -18.0)] == [
        "180 C",
        "176.7 C",
        "-18 C",
    ]
