"""The progress line."""

from __future__ import annotations

import errno
import io
import sys
import threading
import time
from collections.abc import Callable
from typing import NoReturn

import pytest

from stationplan.cli.progress import ProgressLine, describe
from stationplan.engine import Progress, TierName
from stationplan.engine.result import Phase

from .test_output import Terminal

OpenTerminal = Callable[..., Terminal]


OPENS = 330


def moment(value: int | None = 440, bound: int = 430, tier: TierName = TierName.MAKESPAN) -> Progress:
    return Progress(Phase.EXACT, tier, value, bound, 12.3)


def new_line(*, quiet: bool = False, stopping: bool = False) -> ProgressLine:
    return ProgressLine(quiet=quiet, opens=OPENS, stopping=lambda: stopping)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Callable[[float], None]:
    """Sets the clock."""
    now = [0.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    return lambda seconds: now.__setitem__(0, seconds)


@pytest.fixture
def open_terminal(monkeypatch: pytest.MonkeyPatch) -> OpenTerminal:
    """Puts a terminal of so many columns in the place of stderr; only once the test runs, or pytest takes it away."""

    def put(width: int = 80) -> Terminal:
        stream = Terminal()
        monkeypatch.setattr(sys, "stderr", stream)
        monkeypatch.setenv("COLUMNS", str(width))
        return stream

    return put


@pytest.mark.parametrize(
    ("progress", "text"),
    [
        (None, "  12 s  looking for a first plan"),
        (moment(None), "  12 s  looking for a first plan"),
        (moment(), "  12 s  the whole in detail: finished 12:50, at the earliest 12:40 (gap 2.3 %)"),
        (moment(440, 440), "  12 s  the whole in detail: finished 12:50, at the earliest 12:50 (gap 0.0 %)"),
        (moment(0, 0), "  12 s  the whole in detail: finished 05:30, at the earliest 05:30 (gap 0.0 %)"),
        (moment(90, 60, TierName.LATENESS), "  12 s  the whole in detail: 1 h 30 min late in all, at least 1 h"),
        (moment(0, 0, TierName.LATENESS), "  12 s  the whole in detail: nothing late"),
        (moment(500, 3, TierName.TIDINESS), "  12 s  the whole in detail: fewer waits and changes of temperature"),
    ],
)
def test_a_moment_in_words(progress: Progress | None, text: str) -> None:
    assert describe(progress, 12.3, OPENS) == text


def test_every_phase_has_words_of_its_own_and_fits_a_terminal() -> None:
    lines = {describe(Progress(phase, TierName.MAKESPAN, 440, 430, 0.0), 9999.0, OPENS) for phase in Phase}
    assert len(lines) == len(Phase)
    assert max(map(len, lines)) < 80


def test_the_clock_goes_on_while_there_is_no_news(open_terminal: OpenTerminal, clock: Callable[[float], None]) -> None:
    terminal, line = open_terminal(), new_line()
    line(moment())
    for seconds in (1, 2):
        clock(seconds)
        line.draw()
    assert [shown.split("  ")[1].strip() for shown in terminal.getvalue().split("\r")[1:]] == ["1 s", "2 s"]


def test_only_the_latest_news_is_shown_however_much_there_is(open_terminal: OpenTerminal) -> None:
    terminal, line = open_terminal(), new_line()
    for step in range(100):
        line(moment(540 - step, 430))
    line.draw()
    assert terminal.getvalue().count("\r") == 1
    assert "finished 12:51" in terminal.getvalue()
    assert "\n" not in terminal.getvalue()


def test_it_is_shown_by_itself_while_the_search_is_busy(open_terminal: OpenTerminal) -> None:
    terminal = open_terminal()
    with new_line() as line:
        line(moment())
        for _ in range(1000):
            if "finished 12:50" in terminal.getvalue():
                break
            time.sleep(0.01)
    assert "finished 12:50" in terminal.getvalue()
    assert terminal.getvalue().endswith(" \r")


def test_who_has_asked_to_stop_is_told_that_it_was_heard(open_terminal: OpenTerminal) -> None:
    terminal, line = open_terminal(), new_line(stopping=True)
    line(moment())
    line.draw()
    assert terminal.getvalue().startswith("\rstopping with the best plan so far; Ctrl-C again ")


def test_a_shorter_line_leaves_nothing_of_a_longer_one(open_terminal: OpenTerminal) -> None:
    terminal, line = open_terminal(), new_line()
    line(moment())
    line.draw()
    line(moment(None))
    line.draw()
    long, short = terminal.getvalue().split("\r")[1:]
    assert len(short) == len(long)


def test_it_is_taken_away_at_the_end(open_terminal: OpenTerminal) -> None:
    terminal, line = open_terminal(), new_line()
    with line:
        line(moment())
        line.draw()
    *_, shown, blank, rest = terminal.getvalue().split("\r")
    assert (blank.strip(), len(blank), rest) == ("", len(shown), "")


def test_it_is_cut_before_it_would_go_on_in_the_next_line(open_terminal: OpenTerminal) -> None:
    terminal, line = open_terminal(30), new_line()
    line(moment())
    line.draw()
    assert len(terminal.getvalue()) == len("\r") + 29


def test_a_terminal_that_has_gone_does_not_end_the_search(
    open_terminal: OpenTerminal, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(_: str) -> NoReturn:
        raise OSError(errno.EIO, "Input/output error")

    terminal, line = open_terminal(), new_line()
    monkeypatch.setattr(terminal, "write", gone)
    with line:
        line(moment())
        line.draw()
    assert terminal.getvalue() == ""


@pytest.mark.parametrize("stderr", [None, io.StringIO()], ids=["closed", "a file"])
def test_nothing_is_written_where_there_is_no_terminal(
    monkeypatch: pytest.MonkeyPatch, stderr: io.StringIO | None
) -> None:
    monkeypatch.setattr(sys, "stderr", stderr)
    before = threading.active_count()
    with new_line() as line:
        line(moment())
        assert threading.active_count() == before
    assert stderr is None or stderr.getvalue() == ""


def test_nothing_is_written_when_quiet(open_terminal: OpenTerminal) -> None:
    terminal = open_terminal()
    before = threading.active_count()
    with new_line(quiet=True) as line:
        line(moment())
        assert threading.active_count() == before
    assert terminal.getvalue() == ""
