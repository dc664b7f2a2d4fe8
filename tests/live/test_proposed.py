"""A plan that is proposed counts once somebody has accepted it, and not after more was recorded."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from stationplan.live.errors import EventError
from stationplan.live.events import Recorded
from stationplan.live.proposed import Decision, decided, proposed_in
from stationplan.live.record import Log, add_event, add_plan
from stationplan.live.replanning import proposal
from stationplan.live.wording import told
from stationplan.plan.produce import Effort

from .conftest import MOMENT, Tell

SIX = 6 * 60
Decide = Callable[..., Recorded]


@pytest.fixture
def decide(shift: Path) -> Decide:
    def record(decision: Decision, number: int, key: str | None = None, at: int = SIX + 9) -> Recorded:
        return add_event(shift, lambda log: decided(log, decision, number, at=at, who="Ida"), MOMENT, key=key)

    return record


@pytest.fixture
def number(shift: Path, tell: Tell, log: Callable[[], Log]) -> int:
    """Of a plan that is proposed because the first batch takes longer."""
    tell("started Aa1", now=SIX)
    tell("overrunning Aa1 +40", now=SIX + 6)
    found = proposal(log(), SIX + 6, Effort(effort=0, workers=1))
    return add_plan(shift, found.replanned.plan, accepted=False, after=2, moment=MOMENT)


def test_what_is_proposed_is_told_as_when_it_was_made(number: int, log: Callable[[], Log]) -> None:
    found = proposed_in(log())
    assert found is not None
    assert (found.number, found.made, found.outdated) == (number, SIX + 6, False)
    assert [told(entry.event) for entry in found.because] == ["overrunning Aa1 until 06:49 at 06:06"]
    assert found.differences.finish[0] == log().plan.finish < found.differences.finish[1]


def test_once_accepted_it_is_in_force_and_the_record_says_who_did_it(
    number: int, log: Callable[[], Log], decide: Decide
) -> None:
    proposed = log().proposed
    entry = decide("accept", number)
    after = log()
    assert (after.plan, after.known, after.proposed, proposed_in(after)) == (proposed, entry.number, None, None)
    assert (told(after.events[-1].event), after.events[-1].event.who) == ("accept 3 at 06:09", "Ida")
    assert after.state.runs.keys() == {"Aa1"}


def test_nobody_decides_before_the_plan_was_made(number: int, decide: Decide) -> None:
    assert decide("accept", number, at=-90).event.at == SIX + 6


def test_once_left_it_is_gone_and_an_undo_brings_it_back(
    number: int, log: Callable[[], Log], decide: Decide, tell: Tell
) -> None:
    before = log()
    left = decide("leave", number)
    assert (log().plan, log().known, proposed_in(log())) == (before.plan, 0, None)
    tell(f"undo {left.number}", now=SIX + 10)
    assert proposed_in(log()) == proposed_in(before)
    decide("accept", number)
    assert log().plan == before.proposed


def test_after_more_was_recorded_it_cannot_be_accepted_and_can_still_be_left(
    number: int, log: Callable[[], Log], decide: Decide, tell: Tell
) -> None:
    tell("finished Aa1", now=SIX + 8)
    found = proposed_in(log())
    assert found is not None
    assert found.outdated
    assert [told(entry.event) for entry in found.because] == ["overrunning Aa1 until 06:49 at 06:06"]
    with pytest.raises(EventError, match=r"^more was recorded since that plan was proposed; plan once more$"):
        decide("accept", number)
    assert log().known == 0
    decide("leave", number)
    assert proposed_in(log()) is None


def test_a_note_makes_no_plan_outdated(number: int, log: Callable[[], Log], decide: Decide, tell: Tell) -> None:
    note = tell("note the new flour takes more water", now=SIX + 7)
    tell(f"undo {note.number}", now=SIX + 8)
    decide("accept", number)
    assert log().known == 6


def test_an_undo_makes_it_outdated(number: int, decide: Decide, tell: Tell) -> None:
    tell("undo 2", now=SIX + 8)
    with pytest.raises(EventError, match="more was recorded since"):
        decide("accept", number)


@pytest.mark.parametrize("decision", ["accept", "leave"])
def test_only_the_plan_proposed_last_can_be_decided_on_and_only_once(
    number: int, shift: Path, log: Callable[[], Log], decide: Decide, decision: Decision
) -> None:
    proposed = log().proposed
    assert proposed is not None
    again = add_plan(shift, proposed, accepted=False, after=number, moment=MOMENT)
    with pytest.raises(EventError, match=r"^no plan is proposed as 3 any more; the one that is has number 4$"):
        decide(decision, number)
    decide(decision, again, key="a" * 32)
    for other in (again, 0, 99):
        with pytest.raises(EventError, match=f"^no plan is proposed as {other} any more$"):
            decide(decision, other)
    assert decide(decision, again, key="a" * 32).number == 5


def test_that_one_was_accepted_is_not_undone(number: int, log: Callable[[], Log], decide: Decide, tell: Tell) -> None:
    accepted = decide("accept", number)
    with pytest.raises(EventError, match="has put a plan in force; to go by another one, plan the rest anew"):
        tell(f"undo {accepted.number}", now=SIX + 10)
    # Without a number it is the last event of the kitchen that was a mistake.
    assert told(tell("undo", now=SIX + 10).event).startswith("undo 2 (overrunning Aa1 ")
    assert log().known == accepted.number


def test_a_plan_proposed_after_one_was_accepted_takes_its_place(
    number: int, shift: Path, log: Callable[[], Log], decide: Decide, tell: Tell
) -> None:
    decide("accept", number)
    tell("finished Aa1", now=SIX + 12)
    found = proposal(log(), SIX + 12, Effort(effort=0, workers=1))
    add_plan(shift, found.replanned.plan, accepted=True, after=log().last, moment=MOMENT)
    assert (log().known, log().plan, log().proposed) == (6, found.replanned.plan, None)


def test_an_order_that_has_changed_is_known_again_by_its_number(
    shift: Path, tell: Tell, log: Callable[[], Log]
) -> None:
    [first] = log().plan.orders
    tell(f"order add 12 {first.product} due 11:30", now=SIX)
    tell("order change 1 96 due 10:30", now=SIX + 1)

    def orders() -> list[tuple[int, int | None]]:
        found = proposal(log(), SIX + 4, Effort(effort=0, workers=1)).replanned
        number = add_plan(shift, found.plan, accepted=False, after=log().last, moment=MOMENT)
        proposed = proposed_in(log())
        assert proposed is not None
        assert proposed.differences == found.differences
        add_event(shift, lambda log: decided(log, "accept", number, at=SIX + 4, who="Ida"), MOMENT)
        return [(order.quantity, order.before) for order in found.differences.orders]

    assert orders() == [(96, first.ready), (12, None)]
    changed, added = log().plan.orders
    tell("order cancel 1", now=SIX + 3)
    tell("order change 2 24 due 10:30", now=SIX + 3)
    assert orders() == [(24, added.ready), (96, changed.ready)]
