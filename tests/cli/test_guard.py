"""What ends a command, and with which exit code."""

from __future__ import annotations

import errno
from pathlib import Path
from typing import Any, NoReturn

import pytest
from click.testing import CliRunner

from stationplan.cli import main
from stationplan.plan import check, produce, store
from stationplan.plan.document import Plan
from stationplan.plan.make import make
from stationplan.render import text
from stationplan.render.errors import RenderError

from .conftest import FIRST_SHIFT, Run


def raising(error: Exception) -> Any:
    def function(*_: object, **__: object) -> NoReturn:
        raise error

    return function


@pytest.mark.parametrize(
    "error",
    [ZeroDivisionError("oven"), KeyError("Aa1"), RecursionError(), MemoryError(), OSError(errno.EIO, "inside")],
    ids=lambda error: type(error).__name__,
)
def test_what_nobody_foresaw_is_our_fault(
    run: Run, plan_file: Path, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    """Also trouble with files that has nothing to do with those that the user has named."""
    monkeypatch.setattr(check, "check_plan", raising(error))
    result = run("verify", plan_file)
    assert (result.exit_code, result.stdout) == (1, "")
    first, second = result.stderr.splitlines()
    assert first == f"This should not have happened: {error!r}."
    assert second.startswith("It is an error of this program, not of your input. With STATIONPLAN_TRACEBACK=1 ")


def test_its_traceback_is_shown_on_demand(plan_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check, "check_plan", raising(ZeroDivisionError("oven")))
    result = CliRunner(env={"STATIONPLAN_TRACEBACK": "1"}).invoke(main, ["verify", str(plan_file)])
    assert result.exit_code == 1
    assert result.stderr.startswith("Traceback (most recent call last):")
    assert "This should not have happened: ZeroDivisionError('oven')." in result.stderr


def test_a_file_that_cannot_be_read_is_the_users_to_mend(
    run: Run, plan_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store, "load", raising(PermissionError(errno.EACCES, "Permission denied", "other name")))
    result = run("chart", plan_file)
    assert (result.exit_code, result.stderr) == (2, f"{plan_file}: permission denied\n")


def test_a_page_that_cannot_be_drawn_is_told(run: Run, plan_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(text, "page", raising(RenderError("too narrow for its names")))
    result = run("chart", plan_file)
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", "too narrow for its names\n")


def test_a_plan_that_contradicts_its_scenario_is_neither_shown_nor_saved(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*arguments: Any, **named: Any) -> Plan:
        plan = make(*arguments, **named)
        order = plan.orders[0]
        return plan.model_copy(update={"orders": (order.model_copy(update={"ready": order.ready - 1}),)})

    monkeypatch.setattr(produce, "make", broken)
    out = tmp_path / "plan.json"
    result = run("plan", FIRST_SHIFT, "--effort", "2", "--out", out)
    assert (result.exit_code, result.stdout) == (1, "")
    lines = result.stderr.splitlines()
    assert lines[0] == "The plan that was found contradicts the scenario, so it is not shown:"
    assert any("Larkfield tartlet" in line for line in lines[1:-1])
    assert lines[-1].startswith("It is an error of this program")
    assert not out.exists()


def test_ctrl_c_before_any_search_ends_without_a_traceback(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr("stationplan.scenario.load", interrupted)
    result = run("check", FIRST_SHIFT)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "Aborted!" in result.stderr


def test_ctrl_c_while_a_compiled_module_is_imported_is_no_error_of_ours(
    run: Run, plan_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    error = ImportError("initialization failed")
    error.__cause__ = KeyboardInterrupt()
    monkeypatch.setattr(check, "check_plan", raising(error))
    result = run("verify", plan_file)
    assert result.exit_code == 1
    assert result.stderr.strip() == "Aborted!"
