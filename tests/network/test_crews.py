"""People as pools."""

from __future__ import annotations

from typing import Any

import pytest

from stationplan.engine.problem import Closure, Use
from stationplan.network.crews import crews_of, hands
from stationplan.network.errors import StaffError
from stationplan.network.times import Part
from stationplan.scenario.models import Person, Shift
from stationplan.scenario.units import PeopleNeed

SHIFT = Shift.model_validate({"opens": "05:00", "closes": "13:00"})


def group(*people: dict[str, Any], shift: Shift = SHIFT) -> list[tuple[tuple[str, ...], tuple[Closure, ...]]]:
    found = crews_of([Person.model_validate(person) for person in people], shift)
    return [(crew.names, pool.closures) for crew, pool in found]


def test_people_whom_nothing_tells_apart_are_one_pool() -> None:
    found = group(
        {"name": "Ines", "skills": ["pastry", "chocolate"]},
        {"name": "Odo"},
        {"name": "Ada", "skills": ["chocolate", "pastry"]},
    )
    assert found == [(("Ines", "Ada"), ()), (("Odo",), ())]


def test_other_breaks_or_hours_are_another_pool() -> None:
    found = group({"name": "Ines", "breaks": ["09:00-09:30"]}, {"name": "Odo"}, {"name": "Ada", "hours": "05:00-12:00"})
    assert found == [
        (("Ines",), (Closure(240, 270, 1),)),
        (("Odo",), ()),
        (("Ada",), (Closure(420, 480, 1),)),
    ]


def test_the_whole_pool_is_away_in_a_break() -> None:
    same = {"breaks": ["09:00-09:30"]}
    assert group({"name": "Ines", **same}, {"name": "Odo", **same}) == [(("Ines", "Odo"), (Closure(240, 270, 2),))]


def test_hours_in_two_spans_leave_a_gap_and_breaks_merge_with_it() -> None:
    found = group({"name": "Ines", "hours": ["04:00-08:00", "10:00-14:00"], "breaks": ["07:30-08:00", "11:00-11:15"]})
    assert found == [(("Ines",), (Closure(150, 300, 1), Closure(360, 375, 1)))]


def test_a_break_outside_the_shift_or_the_hours_changes_nothing() -> None:
    assert group({"name": "Ines", "hours": "05:00-13:00", "breaks": ["14:00-14:30"]}) == [(("Ines",), ())]


def test_overlapping_breaks_are_one() -> None:
    assert group({"name": "Ines", "breaks": ["09:00-09:30", "09:20-09:40"]}) == [(("Ines",), (Closure(240, 280, 1),))]


PART = Part("hands-on", 2, 5)


def uses(need: PeopleNeed, *people: dict[str, Any]) -> tuple[Use, ...]:
    crews = crews_of([Person.model_validate(person) for person in people], SHIFT)
    return hands(PART, need, [(7 + number, crew) for number, (crew, _) in enumerate(crews)], "fold", ("here",))


INES: dict[str, Any] = {"name": "Ines", "skills": ["pastry"]}
ADA: dict[str, Any] = {"name": "Ada", "skills": ["pastry"]}
ODO: dict[str, Any] = {"name": "Odo", "skills": ["chocolate"]}


def test_one_pool_gives_all_the_hands_in_one_use() -> None:
    assert uses(PeopleNeed(2, "pastry"), INES, ADA, ODO) == (Use((7,), 2, 2, 5),)


def test_several_pools_give_them_one_by_one() -> None:
    assert uses(PeopleNeed(2), INES, ADA, ODO) == (Use((7, 8), 1, 2, 5),) * 2


def test_hands_that_the_kitchen_has_not_are_an_error() -> None:
    with pytest.raises(StaffError, match="'fold' needs 2 chocolate at once, but the kitchen has 1") as caught:
        uses(PeopleNeed(2, "chocolate"), INES, ADA, ODO)
    assert caught.value.path == ("here",)
    with pytest.raises(StaffError, match="needs 4 people"):
        uses(PeopleNeed(4), INES, ADA, ODO)
