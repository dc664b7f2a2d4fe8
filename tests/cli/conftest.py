"""Running the commands, in this process and in one of their own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from stationplan.cli import main

SCENARIOS = Path(__file__).parents[2] / "scenarios"
FIRST_SHIFT = SCENARIOS / "first-shift"
PROGRAM = [sys.executable, "-c", "from stationplan.cli import main; main(prog_name='stationplan')"]

Run = Callable[..., Result]
Program = Callable[..., "subprocess.CompletedProcess[bytes]"]


def invoke(*arguments: str | Path, **environment: str | None) -> Result:
    """Run a command in this process; whatever ends it, it is with an exit code."""
    result = CliRunner(env={"NO_COLOR": None, **environment}).invoke(main, [str(argument) for argument in arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert "Traceback" not in result.stderr
    return result


@pytest.fixture(name="run")
def run_in_process() -> Run:
    return invoke


@pytest.fixture(name="program")
def run_in_its_own_process() -> Program:
    def run(*arguments: str | Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
        command = [*PROGRAM, *map(str, arguments)]
        return subprocess.run(command, capture_output=True, env={**os.environ, **environment}, check=False)

    return run


@pytest.fixture(scope="session")
def plan_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A saved plan of the first shift."""
    path = tmp_path_factory.mktemp("saved") / "plan.json"
    assert invoke("plan", FIRST_SHIFT, "--effort", "2", "--out", path).exit_code == 0
    return path
