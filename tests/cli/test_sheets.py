"""``stationplan sheets``."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import Run


def test_there_is_a_page_for_each_person_and_station_with_80_columns(run: Run, plan_file: Path) -> None:
    shown = run("sheets", plan_file)
    assert (shown.exit_code, shown.stderr) == (0, "")
    pages = shown.stdout.split("\f")
    names = ["Tamsin", "Odo", "deck oven", "mixer", "ring", "rack", "fridge", "timers"]
    assert [page.partition(" - ")[0] for page in pages] == names
    assert max(len(line) for line in shown.stdout.splitlines()) <= 80


def test_only_the_sheets_asked_for_are_printed(run: Run, plan_file: Path) -> None:
    shown = run("sheets", plan_file, "--for", "chiller", "--for", "Odo", "--from", "07:00", "--to", "07:30")
    odo, fridge = shown.stdout.split("\f")
    assert odo.startswith("Odo - First shift")
    assert "Ac1 bake shells: put in" in odo
    assert "mix paste" not in odo
    assert fridge.startswith("fridge - First shift")


def test_a_name_that_nobody_has_is_told(run: Run, plan_file: Path) -> None:
    result = run("sheets", plan_file, "--for", "Odette")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("there is no sheet for 'Odette'; there are sheets for Tamsin, Odo, ")
    assert result.stderr.count("\n") == 1


@pytest.mark.parametrize(("options", "size"), [((), "A4"), (("--paper", "letter"), "letter")])
def test_a_page_to_print_is_written_for_the_paper(
    run: Run, plan_file: Path, tmp_path: Path, options: tuple[str, ...], size: str
) -> None:
    page = tmp_path / "sheets.html"
    result = run("sheets", plan_file, "--html", page, *options)
    assert (result.exit_code, result.stdout, result.stderr) == (0, "", f"Saved in {page}.\n")
    text = page.read_text(encoding="utf-8")
    assert f"size: {size};" in text
    assert text.count("<section") == 8


def test_a_file_that_is_there_stays_unless_it_may_go(run: Run, plan_file: Path, tmp_path: Path) -> None:
    page = tmp_path / "orders.html"
    page.write_text("orders", encoding="utf-8")
    result = run("sheets", plan_file, "--html", page)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "there is such a file already" in result.stderr
    assert page.read_text(encoding="utf-8") == "orders"
    assert run("sheets", plan_file, "--html", page, "--replace").exit_code == 0
    assert "Tamsin" in page.read_text(encoding="utf-8")


def test_a_page_that_cannot_be_written_is_told(run: Run, plan_file: Path, tmp_path: Path) -> None:
    result = run("sheets", plan_file, "--html", tmp_path / "none" / "sheets.html")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.count("\n") == 1


def test_a_plan_that_contradicts_its_scenario_gets_no_sheets(run: Run, plan_file: Path, tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.json"
    text = plan_file.read_text(encoding="utf-8")
    wrong.write_text(text.replace('"person": "Odo"', '"person": "Tamsin"'), encoding="utf-8")
    result = run("sheets", wrong)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "contradicts its scenario" in result.stderr


@pytest.mark.parametrize(
    ("options", "why"),
    [
        (("--from", "noon"), "write a time of day like 05:30"),
        (("--paper", "a3"), "is not one of 'a4', 'letter'"),
        (("--width", "20"), "is not in the range"),
    ],
)
def test_a_bad_option_is_a_usage_error(run: Run, plan_file: Path, options: tuple[str, str], why: str) -> None:
    result = run("sheets", plan_file, *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"Invalid value for '{options[0]}'" in result.stderr
    assert why in result.stderr
