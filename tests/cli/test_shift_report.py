"""``stationplan shift report``: the page, JSON, and times written into recipes."""

from __future__ import annotations

import errno
import json
from datetime import date
from pathlib import Path

import pytest

from stationplan.live.events import Finished, Started
from stationplan.live.record import add_event, create
from stationplan.plan.document import Plan
from stationplan.plan.store import load

from .conftest import FIRST_SHIFT, Run

SCENARIO = FIRST_SHIFT / "scenario.yaml"


def record(path: Path, plan: Plan, day: int, longer: int) -> Path:
    """A shift in which only bakes are written down, which take longer than their 20 minutes."""
    create(path, plan, date(2026, 11, day), "2026-11-26T06:00:00+01:00")
    for batch in plan.batches:
        if batch.step == "bake shells":
            begun = Started(at=batch.start, who="Ida", label=batch.label)
            for event in (begun, Finished(at=batch.end + longer, who="Ida", label=batch.label)):
                add_event(path, lambda _, event=event: event, "now")  # type: ignore[misc]
    return path


@pytest.fixture(scope="module")
def plan(plan_file: Path) -> Plan:
    return load(plan_file)


@pytest.fixture(scope="module")
def shifts(plan: Plan, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """Three shifts with two bakes each, of 17, 19 and 22 minutes in the oven."""
    folder = tmp_path_factory.mktemp("shifts")
    return [record(folder / f"{day}.shift", plan, day, longer) for day, longer in ((2, -1), (3, 1), (4, 4))]


@pytest.fixture
def recipes(tmp_path: Path) -> Path:
    path = tmp_path / "scenario.yaml"
    path.write_bytes(SCENARIO.read_bytes())
    return path


def test_a_report_compares_the_plan_with_what_happened(run: Run, shifts: list[Path]) -> None:
    result = run("shift", "report", shifts[2], "--width", "80")
    assert (result.exit_code, result.stderr) == (0, "")
    lines = result.stdout.splitlines()
    assert lines[0] == "First shift, 2026-11-04"
    assert lines[1].startswith("25 batches: 2 ended well; of 23 no end is recorded: ")
    assert "the finish, planned 09:33, is not known" in lines
    assert "- bake shells        2             40     48          +8" in lines
    assert "no advice on 1 of 1: fewer than 5 batches" in lines
    assert max(map(len, lines)) <= 80


def test_several_shifts_give_advice(run: Run, shifts: list[Path]) -> None:
    result = run("shift", "report", *shifts)
    assert "tartlet shell, bake shells: 19..22 min, instead of 16..18 min" in result.stdout.splitlines()


def test_json_says_the_same(run: Run, shifts: list[Path]) -> None:
    document = json.loads(run("shift", "report", *shifts, "--json").stdout)
    assert (document["format"], document["version"], len(document["shifts"])) == ("stationplan shift report", 1, 3)
    assert document["shifts"][0]["day"] == "2026-11-02"
    [bake] = document["times"]
    assert (bake["step"], bake["takes"], bake["runs"]) == ("bake shells", "16..18 min", 6)
    assert (bake["median"], bake["ninetieth"], bake["advice"]) == ("19", "22", "19..22 min")


def test_times_are_shown_and_not_written_unless_wanted(run: Run, shifts: list[Path], recipes: Path) -> None:
    before = recipes.read_bytes()
    result = run("shift", "report", *shifts, "--write-times", recipes)
    changed = [line for line in result.stdout.splitlines() if line[:1] in "+-" and line[:3] not in ("+++", "---")]
    assert changed == ["-        takes: 16..18 min", "+        takes: 19..22 min"]
    assert (result.exit_code, result.stderr) == (0, f"{recipes} is as it was; to write it, add --replace.\n")
    assert recipes.read_bytes() == before


def test_times_are_written_and_nothing_else_is(run: Run, shifts: list[Path], recipes: Path) -> None:
    before = recipes.read_bytes()
    result = run("shift", "report", *shifts, "--write-times", recipes, "--replace")
    assert (result.exit_code, result.stderr) == (0, f"Saved in {recipes}.\n")
    bake, old, new = b"- name: bake shells\n        takes: ", b"16..18 min", b"19..22 min"
    assert before.count(bake + old) == 1
    assert recipes.read_bytes() == before.replace(bake + old, bake + new)
    assert run("check", recipes).exit_code == 0
    # Planned with the old time, the shifts say nothing of the new one.
    again = run("shift", "report", *shifts, "--write-times", recipes, "--replace")
    assert again.exit_code == 2
    assert "'bake shells' of tartlet shell is not written as it was in the plan" in again.stderr
    assert again.stderr.startswith(f"{recipes}:")


def test_a_byte_order_mark_and_a_folder_are_kept(run: Run, shifts: list[Path], recipes: Path) -> None:
    mark = b"\xef\xbb\xbf"
    recipes.write_bytes(mark + recipes.read_bytes().replace(b"\n", b"\r\n"))
    before = recipes.read_bytes()
    assert run("shift", "report", *shifts, "--write-times", recipes.parent, "--replace").exit_code == 0
    after = recipes.read_bytes()
    assert after.startswith(mark)
    assert after.count(b"\r\n") == before.count(b"\r\n") == before.count(b"\n")
    assert after == before.replace(b"shells\r\n        takes: 16..18", b"shells\r\n        takes: 19..22")


def test_a_file_without_the_recipe_is_refused(run: Run, shifts: list[Path], tmp_path: Path) -> None:
    other = tmp_path / "other.yaml"
    other.write_text("components: {sponge: {makes: 1 tray, steps: []}}\n", encoding="utf-8")
    for path, why in ((other, "none of the steps"), (tmp_path / "none.yaml", "there is no such file")):
        result = run("shift", "report", *shifts, "--write-times", path)
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr.startswith(f"{path}: {why}")
    other.write_text("components: [", encoding="utf-8")
    assert run("shift", "report", *shifts, "--write-times", other).stderr.startswith(f"{other}:1: ")


def test_a_file_that_cannot_be_written_stays_as_it_is(
    run: Run, shifts: list[Path], recipes: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    before = recipes.read_bytes()
    monkeypatch.setattr("stationplan.plan.store.os.fsync", full)
    result = run("shift", "report", *shifts, "--write-times", recipes, "--replace")
    assert (result.exit_code, result.stderr) == (2, f"{recipes}: no space left on device\n")
    assert recipes.read_bytes() == before
    assert list(recipes.parent.iterdir()) == [recipes]


def test_too_little_to_go_by_changes_nothing(run: Run, shifts: list[Path], recipes: Path) -> None:
    result = run("shift", "report", shifts[0], "--write-times", recipes, "--replace")
    assert (result.exit_code, result.stdout) == (0, "")
    assert result.stderr == f"{recipes} is as it was: there is no time to correct.\n"


@pytest.mark.parametrize("options", [["--replace"], ["--json", "--write-times", "x.yaml"]])
def test_options_that_contradict_each_other_are_refused(run: Run, shifts: list[Path], options: list[str]) -> None:
    assert run("shift", "report", shifts[0], *options).exit_code == 2


def test_what_is_no_shift_is_named(run: Run, shifts: list[Path], plan_file: Path) -> None:
    result = run("shift", "report", shifts[0], plan_file)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith(f"{plan_file}: this is not the record of a shift")
