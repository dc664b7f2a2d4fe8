"""``stationplan verify``."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from .conftest import FIRST_SHIFT, SCENARIOS, Run


def test_a_good_plan_holds(run: Run, plan_file: Path) -> None:
    result = run("verify", plan_file)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.startswith("The plan holds: 25 batches and 20 waits on 5 stations with 2 people, checked")


def test_a_plan_holds_against_the_scenario_it_was_made_from(run: Run, plan_file: Path) -> None:
    result = run("verify", plan_file, "--against", FIRST_SHIFT)
    assert result.exit_code == 0
    assert result.stdout.endswith(f"checked against {FIRST_SHIFT}.\n")


def test_a_plan_for_other_orders_does_not_hold(run: Run, plan_file: Path, tmp_path: Path) -> None:
    text = (FIRST_SHIFT / "scenario.yaml").read_text(encoding="utf-8")
    (tmp_path / "scenario.yaml").write_text(text.replace("quantity: 90", "quantity: 100"), encoding="utf-8")
    result = run("verify", plan_file, "--against", tmp_path)
    assert result.exit_code == 2
    assert all(line.startswith(f"{plan_file}: ") for line in result.stdout.splitlines()[:-1])
    assert "Larkfield tartlet" in result.stdout
    assert result.stdout.splitlines()[-1].endswith("faults: do not work from this plan.")


def test_a_due_time_that_has_changed_is_told_with_both_times(run: Run, plan_file: Path, tmp_path: Path) -> None:
    text = (FIRST_SHIFT / "scenario.yaml").read_text(encoding="utf-8")
    assert '"10:00"' in text
    (tmp_path / "scenario.yaml").write_text(text.replace('"10:00"', '"11:15"'), encoding="utf-8")
    result = run("verify", plan_file, "--against", tmp_path)
    assert result.exit_code == 2
    assert result.stdout.splitlines() == [
        f"{plan_file}: The order of 90 Larkfield tartlet is due 11:15 now, 10:00 in the plan.",
        "1 fault: do not work from this plan.",
    ]


@pytest.mark.parametrize("command", ["chart", "verify"])
@pytest.mark.parametrize("name", ["", "scenario.yaml"])
def test_a_scenario_in_the_place_of_a_plan_is_told_what_to_do(run: Run, command: str, name: str) -> None:
    path = FIRST_SHIFT / name
    result = run(command, path)
    assert (result.exit_code, result.stdout) == (2, "")
    expected = f"{path}: this is a scenario and no saved plan; make one: stationplan plan {path} --out my-plan.json\n"
    assert result.stderr == expected


def test_a_wrong_scenario_to_check_against_is_told_at_its_line(run: Run, plan_file: Path, tmp_path: Path) -> None:
    (tmp_path / "scenario.yaml").write_text("name: Nothing\nshif: {}\n", encoding="utf-8")
    result = run("verify", plan_file, "--against", tmp_path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{tmp_path / 'scenario.yaml'}:2: " in result.stderr


def _sooner(plan: dict[str, Any]) -> None:
    """A batch out of the oven a minute too soon."""
    batch = next(batch for batch in plan["batches"] if batch["step"] == "bake shells")
    batch["end"] -= 1
    batch["seats"][0]["end"] -= 1


def _helped(plan: dict[str, Any]) -> None:
    """Hands that nobody has."""
    next(batch for batch in plan["batches"] if batch["hands"])["hands"][0]["person"] = "Nobody\x1b]0;oven\x07"


def _promised(plan: dict[str, Any]) -> None:
    """An order said to be ready before it is."""
    plan["orders"][0]["ready"] -= 30


@pytest.mark.parametrize("spoil", [_sooner, _helped, _promised])
def test_a_corrupted_plan_is_found_out(
    run: Run, plan_file: Path, tmp_path: Path, spoil: Callable[[dict[str, Any]], None]
) -> None:
    plan = json.loads(plan_file.read_text(encoding="utf-8"))
    spoil(plan)
    spoiled = tmp_path / "spoiled.json"
    spoiled.write_text(json.dumps(plan), encoding="utf-8")
    result = run("verify", spoiled)
    assert result.exit_code == 2
    assert result.stdout.startswith(f"{spoiled}: ")
    assert "do not work from this plan" in result.stdout
    assert "\x1b" not in result.stdout


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "it is not JSON"),
        (b"\x7fELF\x00\xff\xfe", "it is not text"),
        (b"[]", 'does not say "format"'),
        (b'{"format": "stationplan plan", "version": 99}', "this plan is of version 99"),
        (b'{"format": "stationplan plan", "version": 1}', "this plan is damaged"),
    ],
    ids=["empty", "binary", "other JSON", "other version", "hardly anything"],
)
def test_what_is_no_plan_is_told_in_one_line(run: Run, tmp_path: Path, content: bytes, why: str) -> None:
    path = tmp_path / "file"
    path.write_bytes(content)
    result = run("verify", path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(f"{path}: ")
    assert why in result.stderr
    assert result.stderr.count("\n") == 1


def test_a_plan_cut_short_is_no_plan(run: Run, plan_file: Path, tmp_path: Path) -> None:
    whole = plan_file.read_bytes()
    path = tmp_path / "cut.json"
    path.write_bytes(whole[: len(whole) // 2])
    result = run("verify", path)
    assert result.exit_code == 2
    assert result.stderr.startswith(f"{path}: this is not a plan: it is not JSON")


def test_a_scenario_is_no_plan(run: Run) -> None:
    result = run("verify", SCENARIOS / "first-shift" / "scenario.yaml")
    assert result.exit_code == 2
    assert "this is a scenario" in result.stderr
