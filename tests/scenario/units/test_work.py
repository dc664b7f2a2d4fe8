from __future__ import annotations

from fractions import Fraction

import pytest

from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import (
    HandsOn,
    PeopleNeed,
    Quantity,
    Span,
    StepTime,
    parse_hands_on,
    parse_people,
    parse_share,
    parse_step_time,
)


def span(least: int, most: int | None = None) -> Span:
    return Span(Fraction(least), Fraction(least if most is None else most))


@pytest.mark.parametrize(
    ("text", "time"),
    [
        ("6 min", StepTime(span(6))),
        ("11..13 min", StepTime(span(11, 13))),
        ("6 min + 2 min per tray", StepTime(span(6), span(2), Quantity(Fraction(1), "tray"))),
        ("2 min per tray", StepTime(span(0), span(2), Quantity(Fraction(1), "tray"))),
        ("1..2 min per 10 pieces", StepTime(span(0), span(1, 2), Quantity(Fraction(10), "piece"))),
        ("10 min + 1..2 min per kg", StepTime(span(10), span(1, 2), Quantity(Fraction(1000), "g"))),
    ],
)
def test_a_step_time_is_fixed_and_per_quantity(text: str, time: StepTime) -> None:
    assert parse_step_time(text) == time
    assert str(parse_step_time(text)) == text


@pytest.mark.parametrize(
    "text", ["6", "6 min + 2 min", "1 min per tray + 2 min per kg", "6 min +", "6 min per", "2 per tray"]
)
def test_what_is_no_step_time_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        parse_step_time(text)


@pytest.mark.parametrize(
    ("text", "hands"),
    [
        ("all", HandsOn(all=True)),
        ("none", HandsOn(all=False)),
        ("first 2 min", HandsOn(all=False, first=Fraction(2))),
        ("last 3 min", HandsOn(all=False, last=Fraction(3))),
        ("first 2 min and last 3 min", HandsOn(all=False, first=Fraction(2), last=Fraction(3))),
    ],
)
def test_hands_on_is_all_none_or_the_ends(text: str, hands: HandsOn) -> None:
    assert parse_hands_on(text) == hands
    assert str(hands) == text


@pytest.mark.parametrize("written", ["2 min", "first 2", "first 1 min and first 2 min", "middle 2 min", True])
def test_unclear_hands_are_refused(written: object) -> None:
    with pytest.raises(UnitError):
        parse_hands_on(written)


@pytest.mark.parametrize(
    ("written", "needs"),
    [
        ("1 pastry", [PeopleNeed(1, "pastry")]),
        ("pastry", [PeopleNeed(1, "pastry")]),
        ("2", [PeopleNeed(2)]),
        (2, [PeopleNeed(2)]),
        ("2 people", [PeopleNeed(2)]),
        ("2 Pastry", [PeopleNeed(2, "pastry")]),
        ("1 pastry and 1 chocolate", [PeopleNeed(1, "pastry"), PeopleNeed(1, "chocolate")]),
        ("1 sugar work", [PeopleNeed(1, "sugar work")]),
    ],
)
def test_people_are_numbers_with_skills(written: object, needs: list[PeopleNeed]) -> None:
    assert parse_people(written) == tuple(needs)


@pytest.mark.parametrize("written", ["0", "1 pastry or 1 chocolate", "1.5", "", None, "9999 pastry", "and"])
def test_unclear_people_are_refused(written: object) -> None:
    with pytest.raises(UnitError):
        parse_people(written)


@pytest.mark.parametrize(
    ("written", "share"), [("60 %", Fraction(3, 5)), ("0 %", 0), (0.5, Fraction(1, 2)), (1, 1), ("1/3", Fraction(1, 3))]
)
def test_a_share_is_a_percentage_or_a_number_up_to_one(written: object, share: Fraction) -> None:
    assert parse_share(written) == share


@pytest.mark.parametrize("written", ["160 %", 1.5, "-5 %", "60 % of it", "half", "%"])
def test_what_is_no_share_is_refused(written: object) -> None:
    with pytest.raises(UnitError):
        parse_share(written)
