"""The progress line."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable

import pytest

from stationplan.cli.progress import SECONDS_BETWEEN, ProgressLine, describe
from stationplan.engine import Progress, TierName

from .test_output import Terminal

OpenTerminal = Callable[..., Terminal]


def moment(value: int | None = 440, bound: int = 430, tier: TierName = TierName.MAKESPAN) -> Progress:
    return Progress("search", tier, value, bound, 12.3)


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
        (moment(None), "  12 s  looking for a first plan"),
        (moment(), "  12 s  best so far: finished after 7 h 20 min; 7 h 10 min is needed in any case"),
        (moment(90, 60, TierName.LATENESS), "  12 s  best so far: 1 h 30 min late in all; 1 h cannot be avoided"),
        (moment(90, 0, TierName.LATENESS), "  12 s  best so far: 1 h 30 min late in all"),
        (moment(0, 0), "  12 s  best so far: finished after 0 min"),
        (moment(500, 3, TierName.TIDINESS), "  12 s  tidying up: fewer waits and changes of temperature"),
    ],
)
def test_a_moment_in_words(progress: Progress, text: str) -> None:
    assert describe(progress) == text


def test_the_line_is_rewritten_a_few_times_a_second_at_most(
    open_terminal: OpenTerminal, clock: Callable[[float], None]
) -> None:
    terminal, line = open_terminal(), ProgressLine(quiet=False)
    for step in range(100):
        clock(1000 + step * SECONDS_BETWEEN / 10)
        line(moment(440 - step))
    assert terminal.getvalue().count("\r") == 10
    assert "\n" not in terminal.getvalue()


def test_a_shorter_line_leaves_nothing_of_a_longer_one(
    open_terminal: OpenTerminal, clock: Callable[[float], None]
) -> None:
    terminal, line = open_terminal(), ProgressLine(quiet=False)
    line(moment())
    clock(1)
    line(moment(None))
    long, short = terminal.getvalue().split("\r")[1:]
    assert len(short) == len(long)


def test_it_is_cleared_and_stays_so(open_terminal: OpenTerminal, clock: Callable[[float], None]) -> None:
    terminal, line = open_terminal(), ProgressLine(quiet=False)
    line(moment())
    line.clear()
    first, blank, rest = terminal.getvalue().split("\r")[1:]
    assert (blank.strip(), len(blank), rest) == ("", len(first), "")
    line.clear()
    clock(100)
    line(moment())
    assert terminal.getvalue().split("\r")[1:] == [first, blank, rest]


def test_it_is_cut_before_it_would_go_on_in_the_next_line(open_terminal: OpenTerminal) -> None:
    terminal = open_terminal(30)
    ProgressLine(quiet=False)(moment())
    assert len(terminal.getvalue()) == len("\r") + 29


def test_nothing_is_written_when_quiet_or_where_there_is_no_terminal(
    open_terminal: OpenTerminal, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    terminal, line = open_terminal(), ProgressLine(quiet=True)
    line(moment())
    line.clear()
    assert terminal.getvalue() == ""
    monkeypatch.undo()
    line = ProgressLine(quiet=False)
    line(moment())
    line.clear()
    assert capsys.readouterr() == ("", "")
