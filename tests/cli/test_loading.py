"""Reading a scenario and building its network."""

from __future__ import annotations

from pathlib import Path
from typing import NoReturn

import pytest

import stationplan.network
from stationplan.cli.loading import impossible
from stationplan.network.errors import BatchError
from stationplan.plan.why import Against
from stationplan.scenario import load

from .conftest import Run
from .kitchens import line_of, tart, write


def test_what_turns_out_only_when_batches_are_made_is_told_at_its_line_too(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def build(*_: object) -> NoReturn:
        raise BatchError("no bowl is large enough", ("products", "plum tart", "steps", 1, "fills"))

    monkeypatch.setattr(stationplan.network, "build", build)
    text = tart("name: mix, takes: 5 min", "name: box, takes: 1 min")
    for command in ("check", "plan"):
        result = run(command, write(tmp_path, text))
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr == f"{tmp_path / 'scenario.yaml'}:{line_of(text, 'box')}: no bowl is large enough\n"


def test_a_reason_that_stands_nowhere_in_particular_is_told_without_a_place(tmp_path: Path) -> None:
    text = tart("name: mix, takes: 5 min")
    loaded = load(write(tmp_path, text))
    told = impossible(tmp_path, loaded, (Against("nothing helps"), Against("too small", ("kitchen", "equipment", 0))))
    assert told.exit_code == 3
    assert told.message.splitlines() == [
        f"{tmp_path}: this cannot be done as it stands.",
        "nothing helps",
        f"{tmp_path / 'scenario.yaml'}:{line_of(text, 'name: oven')}: too small",
    ]


def test_what_may_not_be_meant_is_told_on_stderr_and_keeps_nobody_from_planning(run: Run, tmp_path: Path) -> None:
    text = tart("name: mix, takes: 5 min", order=', due: "3:00"')
    folder = write(tmp_path, text)
    warning = (
        f"{tmp_path / 'scenario.yaml'}:{line_of(text, '3:00')}: due 03:00 is before the shift opens at 06:00, "
        "so this order is always late; write 15:00 if the afternoon is meant\n"
    )
    checked, planned = run("check", folder), run("plan", folder, "--effort", "1", "--quiet")
    assert (checked.exit_code, planned.exit_code) == (0, 0)
    assert warning in checked.stderr
    assert warning in planned.stderr
    assert "always late" not in checked.stdout + planned.stdout
