"""Ctrl-C and a request to terminate, sent to the real program in the middle of a long search."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from stationplan.cli.interruption import SECONDS_TO_STOP, SIGNALS, Interruption

from .conftest import PROGRAM, Run
from .hard import write_hard_scenario

pty = pytest.importorskip("pty", reason="needs a pseudo-terminal")

# A program started in the background may have Ctrl-C switched off; the tests want it as on a terminal.
COMMAND = [sys.executable, "-c", f"import signal; signal.signal(2, signal.default_int_handler); {PROGRAM[2]}"]


def read_until(terminal: int, wanted: bytes) -> bytes:
    """What the program writes on the terminal, up to where it has said something."""
    told = b""
    while wanted not in told:
        part = os.read(terminal, 1000)
        assert part, "the program has ended before it said what was waited for"
        told += part
    return told


def read_rest(terminal: int) -> bytes:
    told = b""
    try:
        while part := os.read(terminal, 1000):
            told += part
    except OSError:
        pass  # how Linux tells that the other side of a pseudo-terminal is closed
    return told


@pytest.mark.parametrize("number", SIGNALS, ids=lambda number: number.name)
def test_the_best_plan_so_far_is_shown_and_saved(run: Run, tmp_path: Path, number: signal.Signals) -> None:
    out = tmp_path / "plan.json"
    arguments = [
        str(write_hard_scenario(tmp_path / "hard")),
        "--workers",
        "1",
        "--time-limit",
        "300",
        "--out",
        str(out),
    ]
    terminal, other_side = pty.openpty()
    with subprocess.Popen([*COMMAND, "plan", *arguments], stdout=subprocess.PIPE, stderr=other_side) as process:
        os.close(other_side)
        progress = read_until(terminal, b"finished after")
        process.send_signal(number)
        process.send_signal(number)  # whoever presses twice gets the plan, too
        assert process.stdout is not None
        shown = process.stdout.read().decode("utf-8")
        progress += read_rest(terminal)
    os.close(terminal)
    assert process.returncode == 0
    assert shown.startswith("Twenty cakes: 1 cake 1, ")
    assert "Traceback" not in shown
    assert f"\rInterrupted: this is the best plan so far.\r\nSaved in {out}.\r\n" in progress.decode("utf-8")
    assert run("verify", out).exit_code == 0
    assert run("chart", out).stdout == shown


@pytest.mark.parametrize("number", SIGNALS, ids=lambda number: number.name)
def test_a_signal_interrupts_and_those_that_follow_upon_it_do_not(
    monkeypatch: pytest.MonkeyPatch, number: signal.Signals
) -> None:
    now = 1000.0
    monkeypatch.setattr("time.monotonic", lambda: now)
    with Interruption() as interruption:
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(number)
        for late in SIGNALS:
            signal.raise_signal(late)
        now += SECONDS_TO_STOP
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(number)
        now += 1000 * SECONDS_TO_STOP
        interruption.hold()
        signal.raise_signal(number)


def test_the_signals_are_given_back() -> None:
    before = [signal.getsignal(number) for number in SIGNALS]
    with Interruption():
        assert [signal.getsignal(number) for number in SIGNALS] != before
    assert [signal.getsignal(number) for number in SIGNALS] == before


def test_a_signal_that_is_ignored_stays_so() -> None:
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        with Interruption():
            signal.raise_signal(signal.SIGINT)
        assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    finally:
        signal.signal(signal.SIGINT, before)
