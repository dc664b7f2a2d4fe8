"""The command group: help, usage errors, and what is imported for what."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from stationplan import __version__

from .conftest import FIRST_SHIFT, Run

HEAVY = ("ortools", "networkx", "ruamel", "numpy", "icalendar", "openpyxl")


@pytest.mark.parametrize("option", ["--help", "-h"])
def test_help_names_the_commands_and_the_exit_codes(run: Run, option: str) -> None:
    result = run(option)
    assert result.exit_code == 0
    for name in ("new", "import", "check", "plan", "chart", "sheets", "quantities", "export", "verify", "schema"):
        assert f"\n  {name} " in result.stdout
    text = " ".join(result.stdout.split())
    assert "Exit codes: 0 done; 2 something in the input is wrong; 3 the scenario cannot be done; 1" in text
    assert "STATIONPLAN_TRACEBACK=1" in text


def test_the_version_is_that_of_the_package(run: Run) -> None:
    assert run("--version").stdout == f"stationplan, version {__version__}\n"


@pytest.mark.parametrize(
    "arguments",
    [
        ("bake",),
        ("plan",),
        ("plan", FIRST_SHIFT, FIRST_SHIFT),
        ("plan", FIRST_SHIFT, "--width", "59"),
        ("plan", FIRST_SHIFT, "--width", "401"),
        ("plan", FIRST_SHIFT, "--seed", "-1"),
        ("plan", FIRST_SHIFT, "--workers", "0"),
        ("plan", FIRST_SHIFT, "--effort", "0"),
        ("plan", FIRST_SHIFT, "--effort", "inf"),
        ("plan", FIRST_SHIFT, "--time-limit", "nan"),
        ("plan", FIRST_SHIFT, "--time-limit", "-1"),
        ("plan", FIRST_SHIFT, "--durations", "lucky"),
        ("plan", FIRST_SHIFT, "--rows", "ovens"),
        ("check", FIRST_SHIFT, "--color", "always"),
        ("chart",),
        ("verify", "--against"),
        ("new",),
        ("import", "orders"),
        ("import", "menu", "menu.csv"),
        ("schema", "now"),
    ],
    ids=lambda arguments: " ".join(map(str, arguments[:1] + arguments[2:])),
)
def test_a_usage_error_is_exit_code_2(run: Run, arguments: tuple[str | Path, ...]) -> None:
    result = run(*arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Error: " in result.stderr


@pytest.mark.parametrize(
    "arguments", [("--help",), ("plan", "--help"), ("export", "--help"), ("schema",), ("chart", "PLAN")], ids=str
)
def test_nothing_heavy_is_imported_for_what_does_not_need_it(arguments: tuple[str, ...], plan_file: Path) -> None:
    code = (
        "import sys\n"
        "from stationplan.cli import main\n"
        "try:\n"
        "    main(sys.argv[1:])\n"
        "finally:\n"
        f"    print([name for name in {HEAVY!r} if name in sys.modules], file=sys.stderr)\n"
    )
    given = [str(plan_file) if argument == "PLAN" else argument for argument in arguments]
    done = subprocess.run([sys.executable, "-c", code, *given], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "[]\n")
