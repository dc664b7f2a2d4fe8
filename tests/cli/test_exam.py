"""``stationplan exam``."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from .conftest import FIRST_SHIFT, SCENARIOS, Run, invoke

EXAM = SCENARIOS / "practical-exam" / "scenario.yaml"
QUICK = ("--effort", "3", "--workers", "1", "--no-advice", "--width", "100")


def write_small(folder: Path, changes: dict[str, str] | None = None) -> Path:
    """The exam that ships with four candidates, and other changes."""
    text = EXAM.read_text(encoding="utf-8").replace("candidates: 16 ", "candidates: [Ada, Bram, Ines, Odo] ")
    for old, new in (changes or {}).items():
        assert old in text
        text = text.replace(old, new, 1)
    (folder / "scenario.yaml").write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module", name="saved")
def a_saved_exam(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = write_small(tmp_path_factory.mktemp("exam"))
    path = folder / "exam.json"
    assert invoke("exam", folder, *QUICK, "--out", path, "--quiet").exit_code == 0
    return path


def test_the_page_says_what_is_alike_and_proved_and_has_all_sheets(run: Run, tmp_path: Path) -> None:
    result = run("exam", write_small(tmp_path), *QUICK)
    assert result.exit_code == 0, result.stderr
    assert "alike: the same timeline for all" in result.stdout
    assert "proved" in result.stdout
    for part in ("timetable: ", "Ada:", "Odo:", "invigilators' list"):
        assert f"\n{part}" in result.stdout


@pytest.mark.parametrize(
    ("sheet", "there"), [("timetable", "candidate"), ("cards", "Ada:"), ("events", "invigilators'")]
)
def test_a_saved_exam_is_printed_again_a_sheet_at_a_time(run: Run, saved: Path, sheet: str, there: str) -> None:
    result = run("exam", saved, "--only", sheet)
    assert result.exit_code == 0
    begins = [line.split(maxsplit=1)[0] for line in result.stdout.splitlines() if line and not line.startswith(" ")]
    others = {"candidate", "Ada:", "invigilators'"} - {there}
    assert there in begins
    assert others.isdisjoint(begins)


def test_a_saved_exam_is_an_ordinary_plan(run: Run, saved: Path) -> None:
    assert run("verify", saved).exit_code == 0
    assert "hob of Ada" in run("chart", saved, "--width", "120").stdout


def test_a_saved_exam_holds_against_its_own_scenario_and_not_against_another(
    run: Run, saved: Path, tmp_path: Path
) -> None:
    result = run("verify", saved, "--against", saved.parent / "scenario.yaml")
    assert (result.exit_code, "The plan holds" in result.stdout) == (0, True)
    changed = write_small(tmp_path, {"hand_in: 100..110 min}": "hand_in: 100..109 min}"})
    result = run("verify", saved, "--against", changed)
    assert result.exit_code == 2
    assert "what differs: exam: menu" in result.stdout


def test_the_same_effort_gives_the_same_plan(tmp_path: Path, saved: Path, run: Run) -> None:
    again = tmp_path / "again.json"
    assert run("exam", write_small(tmp_path), *QUICK, "--out", again).exit_code == 0
    assert again.read_bytes() == saved.read_bytes()


def test_an_exam_that_was_tampered_with_is_not_shown(run: Run, saved: Path, tmp_path: Path) -> None:
    plan = json.loads(saved.read_text(encoding="utf-8"))
    plan["exam"]["candidates"][0]["cooks"] += 1
    spoilt = tmp_path / "spoilt.json"
    spoilt.write_text(json.dumps(plan), encoding="utf-8")
    result = run("exam", spoilt)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "contradicts its scenario" in result.stderr


@pytest.mark.parametrize("command", ["plan", "check"])
def test_other_commands_name_this_one(run: Run, command: str, tmp_path: Path) -> None:
    result = run(command, write_small(tmp_path))
    assert result.exit_code == 2
    assert "scenario.yaml:12: this scenario is an exam" in result.stderr
    assert f"stationplan exam {tmp_path}" in result.stderr


def test_a_scenario_or_a_plan_without_an_exam_is_refused(run: Run, plan_file: Path) -> None:
    for path, instead in ((FIRST_SHIFT, "stationplan plan"), (plan_file, "stationplan chart")):
        result = run("exam", path)
        assert result.exit_code == 2
        assert instead in result.stderr


def test_an_exam_that_cannot_be_held_says_why(run: Run, tmp_path: Path) -> None:
    folder = write_small(tmp_path, {"hand_in: 100..110 min}": "hand_in: 20..30 min}"})
    result = run("exam", folder, *QUICK)
    assert (result.exit_code, result.stdout) == (3, "")
    assert "scenario.yaml:12: this exam cannot be held as it stands" in result.stderr
    assert "oat finger takes at least 1 h 13 min, and must be ready after 30 min" in result.stderr


def test_nothing_is_searched_for_a_plan_that_cannot_be_saved(run: Run, tmp_path: Path) -> None:
    result = run("exam", write_small(tmp_path), "--out", tmp_path / "no folder" / "exam.json")
    assert result.exit_code == 2
    assert "no plan can be saved there" in result.stderr
