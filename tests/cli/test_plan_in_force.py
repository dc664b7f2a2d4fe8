"""Commands that show plans, given the file of a shift: they show the plan in force, and which one that is."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from stationplan.live.record import read
from stationplan.scenario import from_plain

from .conftest import Run, invoke


@pytest.fixture(scope="module", name="shift")
def planned_anew(tmp_path_factory: pytest.TempPathFactory, plan_file: Path) -> Path:
    """A shift whose first batch failed, and that was planned anew at 06:12."""
    path = tmp_path_factory.mktemp("shift") / "monday.shift"
    for words in (
        ("start", plan_file, "--file", path),
        ("record", path, "started", "Aa1", "--now", "06:00"),
        ("record", path, "failed", "Aa1", "--now", "06:12"),
        ("replan", path, "--accept", "--now", "06:12", "--effort", "1"),
    ):
        result = invoke("shift", *words)
        assert result.exit_code == 0, result.stderr
    return path


@pytest.mark.parametrize(
    "words",
    [
        ("quantities",),
        ("quantities", "--json"),
        ("sheets",),
        ("verify",),
        ("chart", "--list", "time"),
        ("export", "--out", "-", "--to", "html"),
    ],
    ids=" ".join,
)
def test_the_plan_in_force_is_shown_and_named(run: Run, shift: Path, words: tuple[str, ...]) -> None:
    result = run(words[0], shift, *words[1:])
    assert (result.exit_code, result.stderr) == (0, "")
    assert "plan of 06:12" in result.stdout


def test_before_anything_was_planned_anew_it_is_the_first_plan(run: Run, plan_file: Path, tmp_path: Path) -> None:
    shift = tmp_path / "new.shift"
    run("shift", "start", plan_file, "--file", shift)
    assert run("quantities", shift).stdout == run("quantities", plan_file).stdout.replace(":", ", first plan:", 1)


def test_it_is_told_what_to_weigh_into_what_is_made_again(run: Run, shift: Path) -> None:
    plan = read(shift).plan
    recipes = from_plain(plan.scenario).components
    known = {batch["label"]: batch for batch in json.loads(run("quantities", shift, "--json").stdout)["batches"]}
    made_again = [batch for batch in plan.batches if batch.step == plan.batches[0].step and batch.label != "Aa1"]
    assert known["Aa1"]["begun"] == "failed"
    assert made_again
    for batch in plan.batches:
        if batch.label in known and known[batch.label]["ingredients"]:
            recipe = recipes[batch.item]
            times = (Fraction(batch.last) - Fraction(batch.first)) / recipe.makes.amount
            for portion in known[batch.label]["ingredients"]:
                written = {name: quantity for step in (recipe, *recipe.steps) for name, quantity in _into(step)}
                assert Fraction(portion["amount"]) == written[portion["ingredient"]] * times


def test_what_failed_is_on_no_sheet_and_the_store_is_for_the_whole_shift(run: Run, shift: Path) -> None:
    sheets = run("sheets", shift, "--for", "Tamsin", "--for", "Odo", "--for", "mixer").stdout
    assert "Aa1" not in sheets
    assert "Aa2" in sheets
    assert "to draw from the store, for the whole shift" in run("quantities", shift).stdout


def _into(part: object) -> list[tuple[str, Fraction]]:
    return [(name, quantity.amount) for name, quantity in getattr(part, "ingredients", {}).items()]


def test_what_is_taken_up_comes_out_of_batches_that_gave_something(run: Run, shift: Path) -> None:
    plan = read(shift).plan
    lost = {batch.label for batch in plan.batches if batch.lost}
    batches = json.loads(run("quantities", shift, "--json").stdout)["batches"]
    sources = [label for batch in batches for part in batch["components"] for label in part["out_of"]]
    assert lost
    assert sources
    assert not lost & set(sources)


def test_events_of_a_calendar_stay_the_same_events_after_replanning(run: Run, shift: Path, plan_file: Path) -> None:
    words = ("--out", "-", "--to", "ics", "--date", "2026-11-26")

    def identities(path: Path) -> set[str]:
        lines = run("export", path, *words).stdout.replace("\r\n ", "").splitlines()
        return {line for line in lines if line.startswith("UID:")}

    assert identities(shift) & identities(plan_file)


@pytest.mark.parametrize(
    ("words", "instead"),
    [
        (("check",), "stationplan shift replan"),
        (("plan",), "stationplan shift replan"),
        (("bottlenecks",), "name the plan that it began with"),
        (("smallest",), "name the plan that it began with"),
        (("shift", "start"), "stationplan shift status"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_what_cannot_be_done_with_a_shift_says_what_to_type(
    run: Run, shift: Path, words: tuple[str, ...], instead: str
) -> None:
    result = run(*words, shift)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "this is a shift" in result.stderr
    assert instead in result.stderr
