"""``stationplan chart``."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import FIRST_SHIFT, Run


@pytest.mark.parametrize("options", [(), ("--width", "80"), ("--rows", "people"), ("--rows", "products"), ("--ascii",)])
def test_a_saved_plan_looks_as_it_did_when_it_was_made(run: Run, plan_file: Path, options: tuple[str, ...]) -> None:
    shown = run("chart", plan_file, *options)
    assert (shown.exit_code, shown.stderr) == (0, "")
    assert shown.stdout == run("plan", FIRST_SHIFT, "--effort", "2", *options).stdout


def test_rows_say_whose_they_are(run: Run, plan_file: Path) -> None:
    assert "\ndeck oven " in run("chart", plan_file).stdout
    people = run("chart", plan_file, "--rows", "people").stdout
    assert "\nTamsin " in people
    assert "\ndeck oven " not in people
    assert "\nB lemon cream " in run("chart", plan_file, "--rows", "products").stdout


@pytest.mark.parametrize("by", ["time", "person", "station"])
def test_a_list_says_exactly_when_how_much_and_who(run: Run, plan_file: Path, by: str) -> None:
    shown = run("chart", plan_file, "--list", by)
    assert (shown.exit_code, shown.stderr) == (0, "")
    assert "\nAc1 bake shells 07:" in shown.stdout
    assert ", 2 trays, on deck oven, takes 2 trays, " in shown.stdout
    assert "signs:" not in shown.stdout
    assert shown.stdout == run("plan", FIRST_SHIFT, "--effort", "2", "--list", by).stdout


def test_a_list_may_be_of_some_hours_only(run: Run, plan_file: Path) -> None:
    morning = run("chart", plan_file, "--list", "time", "--to", "06:30").stdout
    assert "\nAa1 mix paste " in morning
    assert "\nDc4 " not in morning


def test_a_span_is_drawn_alone(run: Run, plan_file: Path) -> None:
    text = run("chart", plan_file, "--from", "08:00", "--to", "9:00").stdout
    axis = next(line for line in text.splitlines() if "08:00" in line and ":30" in line)
    assert "07:00" not in axis
    assert "10:00" not in axis
    early = run("chart", plan_file, "--to", "07:00").stdout
    assert "06:00" in early
    assert not any(line.split()[:1] == ["09:00"] for line in early.splitlines())


@pytest.mark.parametrize("option", ["--from", "--to"])
@pytest.mark.parametrize(
    ("clock", "right"),
    [
        ("9", "write a time of day like 05:30"),
        ("noon", "write a time of day like 05:30"),
        ("", "write a time of day like 05:30"),
        ("25:00", "they go from 00:00 to 24:00"),
        ("day 0 09:00", "days are counted from day 1"),
    ],
)
def test_a_bad_clock_is_a_usage_error_that_says_what_is_right(
    run: Run, plan_file: Path, option: str, clock: str, right: str
) -> None:
    result = run("chart", plan_file, option, clock)
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"Invalid value for '{option}': " in result.stderr
    assert right in result.stderr


@pytest.mark.parametrize(
    ("options", "first", "last"),
    [
        (("--from", "09:00", "--to", "08:00"), "09:00", "08:00"),
        (("--from", "09:00", "--to", "09:00"), "09:00", "09:00"),
        (("--to", "05:00"), "06:00", "05:00"),
    ],
)
def test_a_span_without_length_is_told(
    run: Run, plan_file: Path, options: tuple[str, ...], first: str, last: str
) -> None:
    result = run("chart", plan_file, *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"there is nothing to draw from {first} to {last}\n"


def test_a_span_in_which_nothing_happens_says_so(run: Run, plan_file: Path) -> None:
    assert (
        "nothing happens in this time" in run("chart", plan_file, "--from", "day 2 06:00", "--to", "day 2 07:00").stdout
    )


@pytest.mark.parametrize("color", ["auto", "never", "always"])
def test_colours_are_there_only_when_asked_for_or_on_a_terminal(run: Run, plan_file: Path, color: str) -> None:
    assert ("\x1b[" in run("chart", plan_file, "--color", color).stdout) == (color == "always")


def test_what_is_no_file_or_no_plan_is_named(run: Run, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("butter, eggs", encoding="utf-8")
    for name, why in {"notes.txt": "this is not a plan", "none.json": "no such file", "": ""}.items():
        result = run("chart", tmp_path / name)
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr.startswith(f"{tmp_path / name}: {why}")
        assert result.stderr.count("\n") == 1
