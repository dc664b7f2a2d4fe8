"""A tap is recorded exactly once, at the time at which it was made, by the same rules as what is typed."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from stationplan.live.events import Finished, Overrunning, Recorded, Started, Undo
from stationplan.live.record import read

from .serving import Board

SIX = 6 * 60


def events(path: Path) -> list[Recorded]:
    return list(read(path).events)


def test_taps_are_recorded_as_if_they_had_been_typed(board: Board, shift: Path) -> None:
    assert board.tap("started", "Aa1").data["told"] == "started Aa1 at 06:00"
    board.time.minute += 4
    assert board.tap("+5", "Aa1").data["told"].startswith("overrunning Aa1 until 06:")
    board.time.minute += 4
    assert board.tap("finished", "Aa1", who="Tamsin").data["number"] == 3
    assert board.tap("undo", "3").data["told"] == "undo 3 (finished Aa1 at 06:08) at 06:08"
    started, longer, finished, undone = (entry.event for entry in events(shift))
    planned = next(batch for batch in read(shift).plan.batches if batch.label == "Aa1")
    assert isinstance(started, Started)
    assert started.people == tuple(hand.person for hand in planned.hands)
    assert isinstance(longer, Overrunning)
    assert longer.until == SIX + planned.end - planned.start + 5
    assert finished == Finished(at=SIX + 8, who="Tamsin", label="Aa1")
    assert undone == Undo(at=SIX + 8, who="Odo", number=3, undone="finished Aa1 at 06:08")


def test_a_tap_that_cannot_be_is_told_in_the_words_of_the_record(board: Board, shift: Path) -> None:
    answer = board.tap("finished", "Aa1")
    assert answer.status == 409
    assert answer.data == {"error": "Aa1 has not been started; record that first, such as: started Aa1 at 06:00"}
    assert events(shift) == []


def test_a_tap_sent_again_is_acknowledged_again_and_recorded_once(board: Board, shift: Path) -> None:
    first = board.tap("started", "Aa1", key="a" * 32)
    board.time.minute += 2
    board.tap("finished", "Aa1")
    again = board.tap("started", "Aa1", key="a" * 32)
    assert (again.status, again.data["number"], again.data["told"]) == (200, first.data["number"], first.data["told"])
    assert [entry.event.kind for entry in events(shift)] == ["started", "finished"]


def test_a_tap_is_known_again_after_the_board_was_started_anew(board: Board, shift: Path) -> None:
    board.tap("started", "Aa1", key="b" * 32)
    board.stop()
    board.start()
    assert board.tap("started", "Aa1", key="b" * 32).data["number"] == 1
    assert len(events(shift)) == 1


def test_a_tap_keeps_the_time_at_which_it_was_made(board: Board, shift: Path) -> None:
    board.time.minute = SIX + 40
    board.tap("started", "Aa1", at=SIX + 3)
    board.tap("finished", "Aa1", at=SIX + 12)
    assert [entry.event.at for entry in events(shift)] == [SIX + 3, SIX + 12]


def test_a_tap_of_yesterday_is_not_taken_for_one_of_today(board: Board, shift: Path) -> None:
    board.time.minute = SIX + 23 * 60
    board.tap("started", "Aa1", at=SIX)
    assert events(shift)[0].event.at == SIX


def test_a_tap_from_a_tablet_whose_clock_is_ahead_happened_now_at_the_latest(board: Board, shift: Path) -> None:
    board.tap("started", "Aa1", at=SIX + 9)
    assert events(shift)[0].event.at == SIX


def test_a_tap_meant_for_another_shift_is_kept_for_it(board: Board, shift: Path) -> None:
    assert board.tap("started", "Aa1", shift="another").status == 503
    assert events(shift) == []


@pytest.mark.parametrize(
    "wrong", [{"kind": "burnt"}, {"key": "short"}, {"of": ""}, {"of": "x" * 301}, {"at": -1}, {"who": ""}, {"more": 1}]
)
def test_what_no_page_of_ours_sends_is_no_tap(board: Board, shift: Path, wrong: dict[str, object]) -> None:
    tap = {"key": "c" * 32, "shift": board.identity(), "kind": "started", "of": "Aa1", "at": SIX, "who": "Odo", **wrong}
    assert board.ask("/taps", method="POST", body=json.dumps(tap)).status == 422
    assert board.ask("/taps", method="POST", body="{").status == 422
    assert board.ask("/taps", method="POST", body=" " * 5000).status == 422
    assert board.ask("/taps", method="POST", body=json.dumps(tap), Content_Type="text/plain").status == 422
    assert events(shift) == []


def test_while_the_record_cannot_be_read_a_tap_is_to_be_sent_again(board: Board, shift: Path) -> None:
    away = shift.rename(shift.with_suffix(".away"))
    answer = board.ask(
        "/taps",
        method="POST",
        body=json.dumps(
            {"key": "d" * 32, "shift": read(away).identity, "kind": "started", "of": "Aa1", "at": SIX, "who": "Odo"}
        ),
    )
    assert answer.status == 503
    with board.listening() as states:
        while not (state := next(states))["trouble"]:
            pass
    assert "cannot be read" in state["trouble"]
    away.rename(shift)
    assert board.tap("started", "Aa1", key="d" * 32).status == 200


def test_every_tablet_hears_of_a_tap(board: Board) -> None:
    with board.listening() as one, board.listening() as other:
        assert [next(states)["last"] for states in (one, other)] == [0, 0]
        board.tap("started", "Aa1")
        for states in (one, other):
            state = next(states)
            assert (state["last"], state["standings"]["Aa1"]) == (1, "running")


def test_a_tablet_hears_of_what_another_program_records(board: Board, shift: Path) -> None:
    command = ["shift", "record", str(shift), "started", "Aa1", "--now", "06:00", "--who", "Ida"]
    program = "from stationplan.cli import main; main()"
    with board.listening() as states:
        assert next(states)["last"] == 0
        subprocess.run([sys.executable, "-c", program, *command], check=True, capture_output=True)
        state = next(states)
    assert state["last"] == 1
    assert "started Aa1 at 06:00, Ida" in state["html"]


def test_the_chart_shows_what_began_when_it_did(board: Board) -> None:
    board.time.minute = SIX + 17
    before = board.ask("/chart").text
    board.tap("started", "Aa1")
    after = board.ask("/chart").text
    assert (f'data-start="{SIX + 17}"' in before, f'data-start="{SIX + 17}"' in after) == (False, True)


def test_a_tablet_hears_of_the_minute(board: Board) -> None:
    with board.listening() as states:
        next(states)
        board.time.minute += 30
        assert "should have begun at 06:01, 29 min ago" in next(states)["html"]
