"""``stationplan new``."""

from __future__ import annotations

from pathlib import Path

from .conftest import Run


def test_what_it_writes_can_be_planned(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "our" / "shift"
    told = run("new", folder)
    assert told.exit_code == 0
    assert str(folder / "scenario.yaml") in told.stdout
    planned = run("plan", folder, "--effort", "2", "--quiet")
    assert planned.exit_code == 0
    assert "144 harbour tartlet" in planned.stdout


def test_a_scenario_that_is_there_is_never_overwritten(run: Run, tmp_path: Path) -> None:
    target = tmp_path / "scenario.yaml"
    target.write_text("mine", encoding="utf-8")
    result = run("new", tmp_path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"{target}: is there already and is left as it is; choose another folder\n"
    assert target.read_text(encoding="utf-8") == "mine"


def test_a_file_in_the_place_of_the_folder_is_told(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    for folder in (tmp_path / "file", tmp_path / "file" / "shift"):
        result = run("new", folder)
        assert result.exit_code == 2
        assert result.stderr.startswith(f"{folder / 'scenario.yaml'}: ")
