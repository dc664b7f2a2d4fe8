"""``stationplan smallest``: the smallest kitchen, of a scenario and of a saved plan."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from stationplan.scenario import from_plain

from .conftest import Run
from .kitchens import tart, write
from .test_bottlenecks import BAKED, WRAPPED, threads

SMALL = ("--effort", "2", "--width", "80")


@pytest.fixture(autouse=True)
def _in_threads(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("stationplan.cli.parallel.processes", threads)


@pytest.fixture(name="folder")
def scenario_with_two_ovens(tmp_path: Path) -> Path:
    text = tart(BAKED, WRAPPED, quantity=4, order=', due: "07:30"')
    return write(tmp_path, text.replace("kind: oven,", "kind: oven, count: 2,"))


def test_what_is_not_needed_is_told(run: Run, folder: Path) -> None:
    result = run("smallest", folder, *SMALL)
    assert result.exit_code == 0
    assert [line.split() for line in result.stdout.splitlines()[3:6]] == [
        ["Ines", "1", "0"],
        ["Odo", "1", "1", "not", "in", "time,", "proved"],
        ["oven", "2", "1", "not", "in", "time,", "proved"],
    ]
    assert "Not needed: Ines, one oven of 2; a plan for what is left was made and checked" in result.stdout


def test_the_smallest_kitchen_is_a_scenario(run: Run, folder: Path) -> None:
    printed = json.loads(run("smallest", folder, *SMALL, "--json").stdout)
    kitchen = from_plain(printed["scenario"]).kitchen
    assert [person.name for person in kitchen.people] == ["Odo"]
    assert [machine.count for machine in kitchen.equipment] == [1]


def test_the_same_comes_of_a_saved_plan(run: Run, folder: Path, tmp_path: Path) -> None:
    saved = tmp_path / "plan.json"
    assert run("plan", folder, "--effort", "2", "--out", saved).exit_code == 0
    assert run("smallest", saved, *SMALL).stdout == run("smallest", folder, *SMALL).stdout


def test_where_the_whole_kitchen_is_too_late_there_is_none(run: Run, tmp_path: Path) -> None:
    folder = write(tmp_path, tart(BAKED, WRAPPED, quantity=4, order=', due: "07:00"'))
    result = run("smallest", folder, *SMALL)
    assert (result.exit_code, result.stdout) == (3, "")
    assert result.stderr == (
        f"{folder}: not even with everything and everybody can all orders be ready in time: proved. "
        f"What would help: stationplan bottlenecks {folder}\n"
    )
