"""When people are away."""

from __future__ import annotations

from typing import Any

from stationplan.render.presence import DAY, Absence, times_away

from .invented_plans import make


def away(person: dict[str, Any]) -> tuple[Absence, ...]:
    plan = make().model_copy(update={"scenario": {"kitchen": {"people": [{"name": "Ines", **person}]}}})
    return times_away(plan)["Ines"]


END = 1050 + DAY


def test_a_person_is_off_outside_the_hours_and_rests_inside_them() -> None:
    assert away({"hours": "05:00-13:30", "breaks": ["09:00-09:30"]}) == (
        Absence(0, 300, rests=False),
        Absence(540, 570, rests=True),
        Absence(810, END, rests=False),
    )


def test_hours_that_are_not_given_are_the_shift() -> None:
    assert away({}) == (Absence(0, 300, rests=False), Absence(1050, END, rests=False))


def test_hours_of_several_days_leave_the_nights_off() -> None:
    found = away({"hours": ["05:00-13:30", "day 2 05:00-day 2 13:30"], "breaks": "day 2 09:00-day 2 09:30"})
    assert [(a.start, a.end) for a in found if not a.rests] == [(0, 300), (810, 1740), (2250, END)]
    assert [(a.start, a.end) for a in found if a.rests] == [(1980, 2010)]


def test_a_break_outside_the_hours_is_only_off_time() -> None:
    assert not any(a.rests for a in away({"hours": "05:00-08:00", "breaks": "09:00-09:30"}))


def test_hours_that_cannot_be_read_leave_a_person_always_there() -> None:
    people = [{"name": "Ines", "hours": "early"}, "Marc", {"name": "Zoé", "hours": "05:00-06:00"}]
    plan = make().model_copy(update={"scenario": {"kitchen": {"people": people}}})
    assert set(times_away(plan)) == {"Zoé"}


def test_a_plan_without_a_kitchen_has_nobody_away() -> None:
    assert times_away(make().model_copy(update={"scenario": {}})) == {}
