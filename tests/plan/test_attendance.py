"""Minutes that people are there."""

from __future__ import annotations

import pytest

from stationplan.plan.attendance import minutes_present
from stationplan.scenario.models import Person, Shift

SHIFT = Shift.model_validate({"opens": "06:00", "closes": "14:00"})


@pytest.mark.parametrize(
    ("more", "start", "end", "minutes"),
    [
        ({}, 360, 420, 60),
        ({}, 800, 900, 40),
        ({"hours": "07:00-09:00"}, 360, 840, 120),
        ({"hours": "07:00-09:00", "breaks": ["08:00-08:20"]}, 450, 500, 30),
        ({"breaks": ["06:10-06:20", "06:20-06:25"]}, 360, 390, 15),
        ({"hours": ["06:00-07:00", "08:00-09:00"]}, 390, 510, 60),
    ],
)
def test_people_are_there_in_their_hours_and_not_on_their_breaks(
    more: dict[str, object], start: int, end: int, minutes: int
) -> None:
    person = Person.model_validate({"name": "Ines", **more})
    assert minutes_present(SHIFT, person, start=start, end=end) == minutes
