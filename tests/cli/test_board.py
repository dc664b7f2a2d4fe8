"""``stationplan board``: serves until it is told to stop, and says where."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection
from pathlib import Path

import pytest

from .conftest import PROGRAM, Run


@pytest.fixture
def shift(run: Run, plan_file: Path, tmp_path: Path) -> Path:
    path = tmp_path / "morning.shift"
    assert run("shift", "start", plan_file, "--file", path).exit_code == 0
    return path


@contextmanager
def served(*arguments: str | Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """The program while it serves, and the line that it has printed."""
    command = [*PROGRAM, "board", *map(str, arguments)]
    program = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, "PYTHONUNBUFFERED": "1"}
    )
    assert program.stdout is not None
    try:
        yield program, program.stdout.readline()
    finally:
        program.kill()
        program.communicate()


def status(port: str, path: str, **headers: str) -> int:
    connection = HTTPConnection("127.0.0.1", int(port))
    connection.request("GET", path, headers=headers)
    response = connection.getresponse()
    response.read()
    connection.close()
    return response.status


def test_it_serves_this_machine_until_ctrl_c(shift: Path) -> None:
    with served(shift, "--port", "0", "--now", "06:20") as (program, line):
        found = re.fullmatch(rf"The board of {re.escape(str(shift))} is at http://127\.0\.0\.1:(\d+)/\n", line)
        assert found is not None
        assert status(found[1], "/") == 200
        # A tablet that listens does not keep it from ending.
        listening = HTTPConnection("127.0.0.1", int(found[1]))
        listening.request("GET", "/events")
        assert b"state" in listening.getresponse().readline()
        program.send_signal(signal.SIGINT)
        out, err = program.communicate()
        listening.close()
    assert (program.returncode, out, err) == (0, "The board is closed.\n", "")


def told_of(line: str) -> tuple[str, str]:
    """The port and the token in what was printed."""
    found = re.search(r" is at http://[^/]+:(\d+)/\?token=([\w-]{32,})\n", line)
    assert found is not None
    return found[1], found[2]


def test_whom_others_can_ask_asks_for_a_token(shift: Path) -> None:
    with served(shift, "--host", "0.0.0.0", "--port", "0") as (program, line):
        port, token = told_of(line)
        assert status(port, "/") == 403
        assert status(port, f"/?token={token[:-1]}") == 403
        assert status(port, f"/?token={token}") == 200
        assert status(port, "/", Host=socket.gethostname(), Cookie=f"board-{port}={token}") == 200
        program.send_signal(signal.SIGINT)
        # It is told once, where the board is started, and nothing that was asked for is.
        assert program.communicate() == ("The board is closed.\n", "")


def test_a_restart_locks_nobody_out_and_a_new_token_does(shift: Path) -> None:
    tokens = []
    for options in ([], [], ["--new-token"]):
        with served(shift, "--host", "0.0.0.0", "--port", "0", *options) as (_, line):
            port, token = told_of(line)
            tokens.append(token)
            first = status(port, "/", Cookie=f"board-{port}={tokens[0]}")
            assert first == (200 if token == tokens[0] else 403)
    assert tokens[0] == tokens[1] != tokens[2]


def test_a_port_that_is_taken_is_told(run: Run, shift: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        result = run("board", shift, "--port", str(port))
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"--host 127.0.0.1 --port {port}: address already in use\n"


def test_what_is_no_shift_is_told_before_anything_is_served(run: Run, plan_file: Path) -> None:
    result = run("board", plan_file, "--port", "0")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "this is not the record of a shift" in result.stderr


def test_without_its_packages_it_names_them(run: Run, shift: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "stationplan.board.serving", None)
    result = run("board", shift)
    assert result.exit_code == 2
    assert result.stderr == "a board needs the packages for it: pip install 'stationplan[board]'\n"
