"""``stationplan simulate``, and ``plan --confident``."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from .conftest import Run
from .kitchens import tart, write

FILLED = "name: fill, takes: 10..30 min"


@pytest.fixture(name="saved")
def plan_of_one_tart(run: Run, tmp_path: Path) -> Path:
    path = tmp_path / "plan.json"
    folder = write(tmp_path, tart(FILLED, order=', due: "06:24"'))
    assert run("plan", folder, "--durations", "typical", "--effort", "1", "--out", path).exit_code == 0
    return path


def test_the_chances_of_an_order_are_told(run: Run, saved: Path) -> None:
    result = run("simulate", saved, "--width", "80")
    assert result.exit_code == 0
    # 10..30 min, triangular: in 24 minutes or less in 1 - 6*6/200 = 82 % of all cases.
    assert "1 tray of plum tart  06:24    06:20    06:20       06:26  82 % (± 3)" in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 80


def test_everything_is_printed_as_json(run: Run, saved: Path) -> None:
    found = json.loads(run("simulate", saved, "--json", "--runs", "200", "--seed", "3").stdout)
    assert (found["format"], found["runs"], found["seed"]) == ("stationplan simulation", 200, 3)
    assert 0.7 < found["orders"][0]["in_time"]["value"] < 0.95


def test_plain_ascii_is_all_that_is_printed_when_asked_for(run: Run, saved: Path) -> None:
    shown = run("simulate", saved, "--ascii").stdout
    assert shown.isascii()
    assert "82 % (+/- 3)" in shown


def test_what_goes_wrong_makes_orders_late(run: Run, saved: Path) -> None:
    shares = [
        json.loads(run("simulate", saved, "--json", *more).stdout)["in_time"]["value"]
        for more in ((), ("--fails", "fill: 20 %"))
    ]
    # Whatever fails is late: it takes at least twice ten minutes, and nearly always more than 24 in all.
    assert shares[1] == pytest.approx(0.8 * shares[0], abs=0.05)


def test_who_stays_longer_and_what_stays_in_the_oven_are_named(run: Run, tmp_path: Path) -> None:
    text = tart(
        "name: bake, takes: 10 min, equipment: oven at 180 C, load: 1 min, unload: 1 min, "
        "hands_on: none, people: 1 pastry",
        "name: whip, takes: 5..15 min, after: none, people: 1 pastry",
        "name: fill, takes: 1 min, after: [bake, whip], people: 1 pastry",
    )
    text = text.replace("kind: oven,", "kind: oven, starts_at: 180 C,")
    text = text.replace("{name: Ines, skills: [pastry]}", '{name: Ines, skills: [pastry], hours: "06:00-06:13"}')
    path = tmp_path / "plan.json"
    assert run("plan", write(tmp_path, text), "--durations", "typical", "--effort", "2", "--out", path).exit_code == 0
    shown = " ".join(run("simulate", path).stdout.split())
    # Ten minutes of whipping while it bakes; whenever they are more, the tray is taken out late.
    assert "plum tart: bake Aa1 12 min" in shown
    assert "who stays longer person hours end stays longer in by" in shown
    assert "Ines 06:13" in shown


def test_of_a_shift_the_rest_is_worked_through(run: Run, saved: Path, tmp_path: Path) -> None:
    shift = tmp_path / "morning.shift"
    assert run("shift", "start", saved, "--file", shift, "--date", "2026-11-26").exit_code == 0
    before = run("simulate", shift, "--now", "05:00").stdout
    assert before == run("simulate", saved).stdout
    [label] = [batch["label"] for batch in json.loads(saved.read_text("utf-8"))["batches"]]
    run("shift", "record", shift, "started", label, "--now", "06:00")
    result = run("simulate", shift, "--now", "06:12")
    assert (result.exit_code, result.stderr) == (0, "")
    assert "the rest from 06:12 on: what was done by then is as it was recorded" in result.stdout
    assert json.loads(run("simulate", shift, "--now", "06:12", "--json").stdout)["now"] == 372
    assert run("simulate", saved, "--now", "06:12").exit_code == 2


def test_a_plan_without_ranges_is_said_not_to_vary(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    run("plan", write(tmp_path, tart("name: fill, takes: 10 min")), "--effort", "1", "--out", path)
    shown = run("simulate", path).stdout
    assert "nothing varies: every run is the same" in shown
    assert "where a few minutes pay" not in shown


def test_a_plan_on_the_long_ends_is_said_to_be_safe_as_far_as_ranges_go(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    run("plan", write(tmp_path, tart(FILLED)), "--effort", "1", "--out", path)
    assert "reckons with the long end" in " ".join(run("simulate", path).stdout.split())
    assert "reckons with the long end" not in " ".join(run("simulate", path, "--fails", "fill: 2 %").stdout.split())


@pytest.mark.parametrize(
    ("more", "complaint"),
    [
        (("--fails", "fill"), "'fill' does not say what fails how often"),
        (("--fails", "brush: 2 %"), "no step of this plan is called 'brush'; they are: fill"),
        (("--stops", "oven: 5 min every 2 h"), "nothing is made on 'oven' in this plan"),
    ],
)
def test_a_mishap_that_cannot_be_is_refused(run: Run, saved: Path, more: tuple[str, str], complaint: str) -> None:
    result = run("simulate", saved, *more)
    assert result.exit_code == 2
    assert complaint in result.stderr


def test_a_scenario_is_refused(run: Run, saved: Path) -> None:
    result = run("simulate", saved.parent)
    assert result.exit_code == 2
    assert "this is a scenario and no saved plan" in result.stderr


def test_a_confidence_that_is_reached_is_told(run: Run, tmp_path: Path) -> None:
    folder = write(tmp_path, tart(FILLED, order=', due: "06:27"'))
    result = run("plan", folder, "--confident", "90", "--effort", "1", "--quiet")
    assert result.exit_code == 0
    assert "step times: the typical of each range" in result.stdout
    assert "90 % are reached without any slack" in result.stdout


def test_a_confidence_that_is_not_reached_ends_with_another_exit_code(run: Run, tmp_path: Path) -> None:
    folder, path = write(tmp_path, tart(FILLED, order=', due: "06:24"')), tmp_path / "plan.json"
    result = run("plan", folder, "--confident", "90", "--effort", "1", "--quiet", "--out", path)
    assert result.exit_code == 1
    assert "! 90 % were not reached; this is the plan that comes closest" in result.stdout
    assert "no plan was found" in result.stderr.lower()
    assert path.is_file()
