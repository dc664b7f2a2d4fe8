"""Events that contradict what is recorded are refused with a sentence, and change nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from stationplan.live.errors import EventError
from stationplan.live.events import Back, Event, Out, Recorded, Started
from stationplan.live.record import Log
from stationplan.live.rules import complaint
from stationplan.live.state import fold
from stationplan.plan.document import Plan

from .conftest import MOMENT, Tell

SEVEN = 7 * 60


@pytest.mark.parametrize(
    ("before", "words", "complaint"),
    [
        ([], "started Aa1 at 07:01", "07:01 is still to come: it is 07:00"),
        (["started Aa1 at 06:01"], "started Aa1", "Aa1 has been started already, at 06:01"),
        ([], "finished Aa1", "Aa1 has not been started; record that first, such as: started Aa1 at 07:00"),
        ([], "overrunning Aa1 +10", "Aa1 has not been started"),
        ([], "failed Aa1", "Aa1 has not been started"),
        (["started Aa1 at 06:01"], "finished Aa1 at 06:00", "06:00 is too early: Aa1 was started at 06:01"),
        (["started Aa1 at 06:01"], "failed Aa1 at 06:00", "06:00 is too early: Aa1 was started at 06:01"),
        (["started Aa1 at 06:01"], "overrunning Aa1 until day 1 06:50", "until 06:50 is not after 07:00"),
        (["started Aa1 at 06:01", "finished Aa1 at 06:11"], "finished Aa1", "Aa1 has been finished already, at 06:11"),
        (["started Aa1 at 06:01", "finished Aa1 at 06:11"], "overrunning Aa1 +5", "Aa1 has been finished already"),
        (["started Aa1 at 06:01", "failed Aa1 at 06:11"], "finished Aa1", "Aa1 is recorded as failed since 06:11"),
        (["started Aa1 at 06:01", "failed Aa1 at 06:11"], "failed Aa1", "Aa1 is recorded as failed since 06:11"),
        (["away Odo at 06:30"], "away Odo", "Odo is recorded as away since 06:30"),
        (["away Odo at 06:30 until 09:00"], "away Odo until 09:00", "Odo is recorded as away since 06:30"),
        (["away Odo at 06:30"], "in Odo at 06:20", "06:20 is too early: Odo is away since 06:30"),
        ([], "in butter", "butter is not recorded as late at 07:00"),
        (["late butter until 06:50 at 06:30"], "in butter", "butter is not recorded as late at 07:00"),
        (["away Odo at 06:30"], "started Aa1 by Odo", "Odo is recorded as away since 06:30; say who does it"),
        ([], "in Odo", "Odo is not recorded as away at 07:00"),
        (["away Odo at 06:30", "in Odo at 06:40"], "in Odo", "Odo is not recorded as away at 07:00"),
        (["out deck oven at 06:30"], "out deck oven at 06:10 until 06:20", "deck oven is recorded as out of use since"),
        (["out deck oven at 06:30"], "out deck oven at 06:10 until 06:30", "deck oven is recorded as out of use since"),
        ([], "back deck oven", "deck oven is not recorded as out of use"),
        (["order add 12 Larkfield tartlet", "order cancel 1"], "order change 1 50", "order 1 has been cancelled"),
        ([], "order cancel 1", "no plan could reckon with it: orders: nothing is ordered"),
        ([], "undo 3", "there is no event 3"),
        (["started Aa1 at 06:01", "undo"], "undo 1", "event 1 has been undone already"),
        (["started Aa1 at 06:01", "undo"], "undo 2", "event 2 is itself an undo; record again what it has undone"),
        (
            ["started Aa1 at 06:01", "finished Aa1 at 06:11"],
            "undo 1",
            "event 2, finished Aa1 at 06:11, builds on it; undo that first",
        ),
    ],
)
def test_a_contradiction_is_told_and_changes_nothing(
    tell: Tell, log: Callable[[], Log], shift: Path, before: list[str], words: str, complaint: str
) -> None:
    for earlier in before:
        tell(earlier, now=SEVEN)
    recorded = log()
    with pytest.raises(EventError) as error:
        tell(words, now=SEVEN)
    assert complaint in str(error.value)
    assert log() == recorded


def test_an_event_may_be_told_late_and_out_of_order(tell: Tell, log: Callable[[], Log]) -> None:
    tell("started Ba1", now=SEVEN)
    tell("started Aa1 at 06:01", now=SEVEN)
    tell("finished Aa1 at 06:11", now=SEVEN)
    assert {label: (run.start, run.end) for label, run in log().state.runs.items()} == {
        "Ba1": (SEVEN, None),
        "Aa1": (361, 371),
    }


def test_another_time_of_return_moves_the_absence(tell: Tell, log: Callable[[], Log]) -> None:
    tell("away Odo until 07:30", now=SEVEN)
    tell("away Odo until 08:00", now=SEVEN + 20)
    [absence] = log().state.absences
    assert (absence.start, absence.end) == (SEVEN, 480)


def test_whoever_said_when_they_are_back_is_away_again_later(tell: Tell, log: Callable[[], Log]) -> None:
    tell("away Odo until 07:30", now=SEVEN)
    tell("away Odo", now=SEVEN + 60)
    assert [(absence.start, absence.end) for absence in log().state.absences] == [(420, 450), (480, None)]


def test_an_absence_told_late_that_was_over_before_another_began_stands_beside_it(
    tell: Tell, log: Callable[[], Log]
) -> None:
    tell("away Odo at 06:30", now=SEVEN)
    tell("away Odo at 06:10 until 06:30", now=SEVEN)
    assert [(absence.start, absence.end) for absence in log().state.absences] == [(390, None), (370, 390)]
    tell("in Odo at 06:15", now=SEVEN)
    tell("in Odo", now=SEVEN)
    assert [(absence.start, absence.end) for absence in log().state.absences] == [(390, 420), (370, 375)]


def test_a_shift_that_begins_tomorrow_records_nothing_today(tell: Tell) -> None:
    with pytest.raises(EventError, match="the shift begins on 2026-11-26, which is still to come"):
        tell("started Aa1", now=-600)


def test_equipment_is_out_once_and_comes_back_once(plan: Plan) -> None:
    def out(unit: int | None = None, until: int | None = None, name: str = "ring") -> Out:
        return Out(at=SEVEN, who="Ida", equipment=name, unit=unit, until=until)

    def why(event: Event, *before: Event) -> str | None:
        state = fold(plan, [Recorded(number, MOMENT, other) for number, other in enumerate(before, 1)])
        return complaint(state, event, SEVEN + 60)

    back = Back(at=SEVEN + 30, who="Ida", equipment="ring")
    back_2 = Back(at=SEVEN + 30, who="Ida", equipment="ring", unit=2)
    assert why(out(), out()) == "ring is recorded as out of use since 07:00"
    assert why(out(2), out()) == "ring is recorded as out of use since 07:00"
    assert why(out(until=500), out()) is None
    assert why(out(1), out(2)) is None
    assert why(out(until=SEVEN)) == "until 07:00 is not after 07:00"
    assert why(back) == "ring is not recorded as out of use"
    assert why(back, out(1), out(2)) is None
    assert why(back, out(), back) == "ring is not recorded as out of use"
    assert why(back_2, out()) == "ring 2 is not recorded as out of use; all of it is: back ring"
    early = Back(at=SEVEN - 5, who="Ida", equipment="ring")
    assert why(early, out()) == "06:55 is too early: ring is out of use since 07:00"


def test_nothing_starts_on_equipment_that_is_out(plan: Plan) -> None:
    broken = Out(at=SEVEN, who="Ida", equipment="deck oven", until=SEVEN + 10)
    state = fold(plan, [Recorded(1, MOMENT, broken)])
    baking = Started(at=SEVEN + 30, who="Ida", label="Ac1", stations=("deck oven",))
    assert complaint(state, baking, SEVEN + 60) == (
        "deck oven is recorded as out of use since 07:00; record that it is back first"
    )
