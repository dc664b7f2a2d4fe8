"""The rest is planned anew from the board: beside everything else, one at a time, and never taken silently."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from live.conftest import Tell

from stationplan.board.worker import Outcome, Work, plan_anew
from stationplan.live.record import add_plan, read

from .serving import Answer, Board, serving

SIX = 6 * 60


@pytest.fixture
def late(board: Board) -> Board:
    """A board whose first batch takes 40 minutes more than planned."""
    board.tap("started", "Aa1")
    board.time.minute += 6
    board.tap("typed", "overrunning Aa1 +40")
    return board


def wish(board: Board, **more: object) -> Answer:
    return board.ask("/plan", method="POST", body=json.dumps({"shift": board.identity(), **more}))


def until(states: Iterator[dict[str, Any]], what: str) -> dict[str, Any]:
    """The first state in which something is to be read."""
    return next(state for state in states if what in state["html"])


def test_what_an_event_breaks_is_told_on_every_screen(board: Board) -> None:
    board.tap("started", "Aa1")
    with board.listening() as states:
        assert "The plan holds" in next(states)["html"]
        board.tap("failed", "Aa1")
        state = until(states, "The plan does not hold any more")
    assert "not in this plan yet: 2 failed Aa1 at 06:00" in state["html"]
    assert "Aa1 failed: Ab1 line rings and" in state["html"]
    assert state["news"] == "The plan does not hold any more."


def test_a_plan_is_proposed_to_every_screen_and_counts_once_somebody_accepts_it(late: Board, shift: Path) -> None:
    with late.listening() as one, late.listening() as other:
        assert wish(late).status == 202
        until(other, "The rest is being planned anew, since 06:06")
        for states in (one, other):
            state = until(states, "Proposed at 06:06, as 3")
            assert "because: overrunning Aa1 until 06:49 at 06:06" in state["html"]
            assert "A plan is proposed." in state["news"]
        assert read(shift).known == 0
        answer = late.tap("accept", "3", who="Tamsin")
        assert (answer.status, answer.data["told"]) == (200, "accept 3 at 06:06")
        for states in (one, other):
            assert "Proposed" not in until(states, "4: accept 3 at 06:06, Tamsin")["html"]
    log = read(shift)
    assert (log.known, log.proposed, log.events[-1].event.who) == (4, None, "Tamsin")
    assert log.plan.past is not None


def test_one_that_is_left_is_gone_and_the_plan_stays(late: Board, shift: Path) -> None:
    with late.listening() as states:
        wish(late)
        until(states, "Proposed at 06:06, as 3")
        assert late.tap("leave", "3").status == 200
        assert "Proposed" not in until(states, "4: leave 3 at 06:06, Odo")["html"]
    assert read(shift).plan == read(shift).first


def test_one_that_is_outdated_is_marked_and_refused(late: Board, shift: Path) -> None:
    with late.listening() as states:
        wish(late)
        assert 'data-kind="accept" data-of="3"' in until(states, "Proposed at 06:06, as 3")["html"]
        late.tap("finished", "Aa1")
        state = until(states, "Outdated: more was recorded since")
    assert 'data-kind="accept"' not in state["html"]
    assert 'data-kind="leave" data-of="3"' in state["html"]
    assert "outdated" in state["news"]
    answer = late.tap("accept", "3")
    assert (answer.status, answer.data["error"]) == (
        409,
        "more was recorded since that plan was proposed; plan once more",
    )
    assert read(shift).known == 0


@pytest.mark.parametrize("number", ["0", "2", "99", "x", "9" * 300])
def test_no_other_entry_can_be_accepted(late: Board, number: str) -> None:
    assert late.tap("accept", number).status == 409


def test_an_accepted_plan_sent_again_is_acknowledged_again(late: Board, shift: Path) -> None:
    with late.listening() as states:
        wish(late)
        until(states, "Proposed at 06:06, as 3")
    for _ in range(2):
        assert late.tap("accept", "3", key="a" * 32).data["number"] == 4
    assert read(shift).last == 4


def test_only_one_is_planned_at_a_time(late: Board) -> None:
    assert wish(late).status == 202
    again = wish(late)
    assert (again.status, again.data["error"]) == (409, "the rest is being planned anew already")
    # Meanwhile everything else is answered.
    assert late.ask().status == 200
    assert late.tap("typed", "note all is well").status == 200


def test_what_was_recorded_meanwhile_is_planned_around_as_well(late: Board, shift: Path) -> None:
    with late.listening() as states:
        assert wish(late).status == 202
        late.tap("typed", "away Odo until 06:30")
        state = until(states, "Proposed at 06:06, as 4")
    assert "away Odo until 06:30 at 06:06" in state["html"].partition("because: ")[2]
    assert late.tap("accept", "4").status == 200


def test_why_there_is_no_plan_is_told_until_more_is_recorded(board: Board) -> None:
    board.tap("out", "deck oven")
    with board.listening() as states:
        wish(board)
        until(states, "Not planned anew: what is left cannot be done as it stands: ")
        board.tap("back", "deck oven")
        assert "Not planned anew" not in until(states, "2: back deck oven")["html"]


@pytest.mark.parametrize("wrong", [{"shift": 1}, {"more": 1}, {"shift": "x" * 101}])
def test_what_no_page_of_ours_sends_begins_nothing(board: Board, wrong: dict[str, object]) -> None:
    assert wish(board, **wrong).status == 422
    assert wish(board, shift="another").status == 503
    body = json.dumps({"shift": board.identity()})
    assert board.ask("/plan", method="POST", body=body, Content_Type="text/plain").status == 422
    assert board.ask("/plan", method="POST", body=body, Origin="http://evil.example").status == 403
    assert board.ask("/plan").status == 405


def test_with_auto_an_event_that_breaks_the_plan_is_planned_around_at_once(shift: Path, tell: Tell) -> None:
    with serving(shift, auto=True) as board, board.listening() as states:
        board.tap("started", "Aa1")
        board.time.minute += 6
        # Also by one that is recorded in a terminal.
        tell("failed Aa1", now=SIX + 6)
        while read(shift).known == 0:
            next(states)
    log = read(shift)
    assert (log.known, log.proposed) == (3, None)
    assert "Aa2" in {batch.label for batch in log.plan.batches}


def test_without_auto_nothing_is_planned_before_it_is_asked_for(late: Board, shift: Path) -> None:
    with late.listening() as states:
        late.time.minute += 1
        assert next(states)["planning"] == {"since": None, "why": ""}
    assert (read(shift).proposed_as, read(shift).known) == (0, 0)


def test_a_board_that_is_closed_gives_up_what_it_plans(late: Board, shift: Path) -> None:
    assert wish(late).status == 202
    late.stop()
    assert read(shift).proposed is None


def test_a_plan_from_before_the_last_event_is_not_recorded(
    shift: Path, tell: Tell, monkeypatch: pytest.MonkeyPatch
) -> None:
    tell("started Aa1", now=SIX)

    def while_others_record(*args: Any, **more: Any) -> int:
        tell("finished Aa1", now=SIX + 6)
        return add_plan(*args, **more)

    monkeypatch.setattr("stationplan.live.record.add_plan", while_others_record)
    work = Work(str(shift), SIX + 5, None, 0, accept=False)
    assert plan_anew(work) == Outcome("overtaken", "entry 2 was recorded while this plan was made; plan once more")
    assert read(shift).proposed is None


def test_with_auto_what_holds_is_left_as_it_is(shift: Path, tell: Tell) -> None:
    tell("started Aa1", now=SIX)
    assert plan_anew(Work(str(shift), SIX + 1, None, 0, accept=True)) == Outcome("done")
    assert read(shift).last == 1


def test_trouble_with_the_file_is_a_sentence(tmp_path: Path) -> None:
    outcome = plan_anew(Work(str(tmp_path / "none.shift"), SIX, None, 0, accept=False))
    assert (outcome.kind, "No such file" in outcome.why) == ("failed", True)
