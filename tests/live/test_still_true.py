"""Why the rest is planned anew is told by what is still true."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from stationplan.live.moment import reasons_of
from stationplan.live.record import Log, add_plan
from stationplan.live.wording import told

from .conftest import MOMENT, Tell


@pytest.mark.parametrize(
    ("words", "still"),
    [
        (["out deck oven", "back deck oven"], []),
        (["out deck oven", "back deck oven", "out deck oven until 09:00"], ["out deck oven until 09:00 at 06:03"]),
        (["out deck oven", "out deck oven until 09:00"], ["out deck oven until 09:00 at 06:02"]),
        (["away Odo", "in Odo"], []),
        (["slower deck oven 20%", "slower deck oven 0%"], []),
        (["late butter until 07:00", "in butter"], []),
        (["away Odo", "out deck oven until 08:00", "in Odo"], ["out deck oven until 08:00 at 06:02"]),
    ],
    ids=lambda value: "; ".join(value),
)
def test_what_was_taken_back_again_is_no_reason(
    words: list[str], still: list[str], tell: Tell, log: Callable[[], Log]
) -> None:
    for minute, event in enumerate(words, 361):
        tell(event, now=minute)
    assert [told(entry.event) for entry in reasons_of(log())] == still


@pytest.mark.parametrize(
    ("known", "words", "still"),
    [
        ("out deck oven until 08:00", ["back deck oven"], ["back deck oven at 06:02"]),
        ("out deck oven until 08:00", ["back deck oven", "out deck oven until 08:00"], []),
        ("away Odo", ["in Odo"], ["in Odo at 06:02"]),
        ("late butter until 07:00", ["in butter"], ["in butter at 06:02"]),
    ],
)
def test_that_something_is_as_it_should_be_again_is_a_reason_where_the_plan_reckons_with_it_not_being_so(
    known: str, words: list[str], still: list[str], shift: Path, tell: Tell, log: Callable[[], Log]
) -> None:
    tell(known, now=361)
    before = log()
    add_plan(shift, before.plan, accepted=True, after=before.last, moment=MOMENT)
    for minute, event in enumerate(words, 362):
        tell(event, now=minute)
    assert [told(entry.event) for entry in reasons_of(log())] == still
