"""Other hours and breaks for people: what becomes of the plain data, and how each change is told."""

from __future__ import annotations

from typing import Any

from altered import alterations, changed
from planned import step
from readable import raw

from stationplan.plan.demands import Kind

PEOPLE = (
    {"name": "Ines", "skills": ["pastry"], "hours": "08:00-12:00", "breaks": ["09:00-09:30", "11:00-11:10"]},
    {"name": "Odo", "breaks": "19:00-19:50"},
    {"name": "Ada", "breaks": "19:00-19:50"},
)


def scenario() -> dict[str, Any]:
    return raw(step("mix", people="1"), people=[dict(person) for person in PEOPLE])


def test_each_is_told_with_its_clock() -> None:
    assert [change.tell(10) for change in alterations(scenario(), Kind.HOURS)] == [
        "the break of Ines 10 min later, 09:10-09:40",
        "the break of Ines 10 min earlier, 08:50-09:20",
        "the break of Ines 10 min later, 11:10-11:20",
        "the break of Ines 10 min earlier, 10:50-11:00",
        "Ines comes 10 min earlier, at 07:50",
        "Ines stays 10 min longer, until 12:10",
        "the break of Odo and Ada 10 min later, 19:10-20:00",
        "the break of Odo and Ada 10 min earlier, 18:50-19:40",
    ]


def test_the_other_breaks_and_hours_stay() -> None:
    data = scenario()
    changes = alterations(data, Kind.HOURS)
    first, *_ = (changed(data, change, 10)["kitchen"]["people"][0] for change in changes)
    assert first == {**PEOPLE[0], "breaks": ["09:10-09:40", "11:00-11:10"]}
    assert changed(data, changes[4], 10)["kitchen"]["people"][0]["hours"] == ["07:50-12:00"]
    assert changed(data, changes[5], 10)["kitchen"]["people"][0]["hours"] == ["08:00-12:10"]


def test_people_of_the_same_hours_change_them_together() -> None:
    data = scenario()
    people = changed(data, alterations(data, Kind.HOURS)[7], 10)["kitchen"]["people"]
    assert [person["breaks"] for person in people[1:]] == [["18:50-19:40"]] * 2


def test_no_further_than_opening_and_closing_and_a_break_no_more_than_three_hours() -> None:
    assert [(change.most, change.steady) for change in alterations(scenario(), Kind.HOURS)] == [
        (180, False),
        (180, False),
        (180, False),
        (180, False),
        (120, True),
        (480, True),
        (10, False),
        (180, False),
    ]
