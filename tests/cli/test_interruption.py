"""Ctrl-C, a request to terminate, a terminal that hangs up: sent to the real program in the middle of a search."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from stationplan.cli.interruption import SECONDS_OF_ONE_WISH, SIGNALS, Interruption

from .conftest import PROGRAM, Run
from .hard import write_hard_scenario

pty = pytest.importorskip("pty", reason="needs a pseudo-terminal")

# A program started in the background may have Ctrl-C or the end of the terminal switched off; the tests want both.
AS_ON_A_TERMINAL = "import signal; signal.signal(2, signal.default_int_handler); signal.signal(1, signal.SIG_DFL)"
COMMAND = [sys.executable, "-c", f"{AS_ON_A_TERMINAL}; {PROGRAM[2]}"]


@pytest.fixture(autouse=True)
def as_on_a_terminal() -> Iterator[None]:
    """The same for this process, where tests raise signals: a solver may have left it as if nobody had taken them."""
    before = [(number, signal.getsignal(number)) for number in SIGNALS]
    for number in SIGNALS:
        signal.signal(number, signal.default_int_handler if number == signal.SIGINT else signal.SIG_DFL)
    yield
    for number, handler in before:
        signal.signal(number, handler)


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


@contextmanager
def searching(folder: Path, *options: str) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """The program in a search that goes on for minutes and has found a plan, and the terminal it tells its progress."""
    arguments = [str(write_hard_scenario(folder / "hard")), "--workers", "1", "--time-limit", "300", *options]
    terminal, other_side = pty.openpty()
    try:
        with subprocess.Popen([*COMMAND, "plan", *arguments], stdout=subprocess.PIPE, stderr=other_side) as process:
            os.close(other_side)
            try:
                read_until(terminal, b"finished ")
                yield process, terminal
            finally:
                process.kill()
    finally:
        os.close(terminal)


@pytest.mark.parametrize("number", SIGNALS, ids=lambda number: number.name)
def test_the_best_plan_so_far_is_shown_and_saved(run: Run, tmp_path: Path, number: signal.Signals) -> None:
    out = tmp_path / "plan.json"
    with searching(tmp_path, "--out", str(out)) as (process, terminal):
        process.send_signal(number)
        process.send_signal(number)  # as when whoever has started the program passes it on, too
        assert process.stdout is not None
        shown = process.stdout.read().decode("utf-8")
        told = read_rest(terminal).decode("utf-8")
        assert process.wait() == 0
    assert shown.startswith("Twenty cakes: 1 cake 1, ")
    assert "\nsearch ended: it was interrupted\n" in shown
    assert "Traceback" not in shown
    assert told.endswith(f"\rInterrupted: this is the best plan so far.\r\nSaved in {out}.\r\n")
    assert run("verify", out).exit_code == 0
    assert run("chart", out).stdout == shown


def test_a_search_whose_reader_goes_is_still_saved_when_it_is_ended(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "plan.json"
    with searching(tmp_path, "--out", str(out)) as (process, terminal):
        assert process.stdout is not None
        process.stdout.close()
        process.send_signal(signal.SIGTERM)
        told = read_rest(terminal).decode("utf-8")
        assert process.wait() == 0
    assert told.endswith(f"Saved in {out}.\r\n")
    assert "Traceback" not in told
    assert run("verify", out).exit_code == 0


def test_a_terminal_that_is_closed_takes_no_plan_with_it(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "plan.json"
    terminal, other_side = pty.openpty()
    arguments = [str(write_hard_scenario(tmp_path / "hard")), "--workers", "1", "--time-limit", "300"]
    command = [*COMMAND, "plan", *arguments, "--out", str(out)]
    with subprocess.Popen(command, stdout=other_side, stderr=other_side) as process:
        os.close(other_side)
        read_until(terminal, b"finished ")
        os.close(terminal)
        process.send_signal(signal.SIGHUP)
        process.wait()
    assert run("verify", out).exit_code == 0


def test_a_second_ctrl_c_leaves_at_once_as_if_it_had_not_been_taken_over() -> None:
    # A search that does not heed the first, as while a large model is being built.
    program = f"""
import signal, sys, time
from stationplan.cli.interruption import Interruption
signal.signal(signal.SIGINT, signal.default_int_handler)
with Interruption():
    try:
        print("begun", flush=True)
        time.sleep(60)
    except KeyboardInterrupt:
        print("wished", flush=True)
    time.sleep({2 * SECONDS_OF_ONE_WISH})
    print("later", flush=True)
    time.sleep(60)
"""
    with subprocess.Popen([sys.executable, "-c", program], stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == b"begun\n"
        process.send_signal(signal.SIGINT)
        assert process.stdout.readline() == b"wished\n"
        assert process.stdout.readline() == b"later\n"
        process.send_signal(signal.SIGINT)
        assert process.stdout.read() == b""
    assert process.returncode == -signal.SIGINT


@pytest.mark.parametrize("number", SIGNALS, ids=lambda number: number.name)
def test_the_first_signal_interrupts_and_the_next_ends_the_process_unless_it_is_of_the_same_wish(
    monkeypatch: pytest.MonkeyPatch, number: signal.Signals
) -> None:
    now = 1000.0
    raised: list[int] = []
    monkeypatch.setattr("time.monotonic", lambda: now)
    with Interruption() as interruption:
        assert not interruption.wished
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(number)
        assert interruption.wished
        for late in SIGNALS:
            signal.raise_signal(late)
        now += SECONDS_OF_ONE_WISH
        again = signal.getsignal(number)
        assert callable(again)
        monkeypatch.setattr(signal, "raise_signal", raised.append)
        again(number, None)
        assert raised == [number]
        assert signal.getsignal(number) is signal.SIG_DFL


def test_once_the_search_is_over_the_first_signal_waits_for_its_plan() -> None:
    with Interruption() as interruption:
        interruption.hold()
        signal.raise_signal(signal.SIGTERM)
        assert interruption.wished


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
