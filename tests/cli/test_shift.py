"""``stationplan shift``: start, record, status, log."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from .conftest import FIRST_SHIFT, Run


@pytest.fixture
def shift(run: Run, plan_file: Path, tmp_path: Path) -> Path:
    path = tmp_path / "morning.shift"
    result = run("shift", "start", plan_file, "--file", path, "--date", "2026-11-26")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == f"The shift of 2026-11-26 is kept in {path}: record what happens with shift record.\n"
    return path


def test_a_shift_begun_twice_keeps_the_first(run: Run, plan_file: Path, shift: Path) -> None:
    run("shift", "record", shift, "started", "Aa1", "--now", "06:01")
    result = run("shift", "start", plan_file, "--file", shift)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"{shift}: there is such a file already; choose another name with --file\n"
    assert "1: started Aa1" in run("shift", "log", shift).stdout


def test_a_shift_is_named_after_its_plan_and_begins_today(run: Run, plan_file: Path, tmp_path: Path) -> None:
    plan = tmp_path / "sunday.json"
    plan.write_bytes(plan_file.read_bytes())
    assert run("shift", "start", plan).exit_code == 0
    assert "nothing is recorded yet" in run("shift", "log", tmp_path / "sunday.shift").stdout
    assert run("shift", "record", tmp_path / "sunday.shift", "note", "here").exit_code == 0


def test_a_shift_begins_from_a_plan_that_holds(run: Run, tmp_path: Path, plan_file: Path) -> None:
    wrong = tmp_path / "wrong.json"
    wrong.write_text(plan_file.read_text(encoding="utf-8").replace('"quantity": 90', '"quantity": 91'), "utf-8")
    result = run("shift", "start", wrong)
    assert result.exit_code == 2
    assert "this plan contradicts its scenario" in result.stderr
    assert run("shift", "start", FIRST_SHIFT).exit_code == 2
    assert not wrong.with_suffix(".shift").exists()


def test_an_event_is_acknowledged_with_its_number(run: Run, shift: Path) -> None:
    first = run("shift", "record", shift, "started", "aa1", "--now", "06:01", "--who", "Ida")
    assert (first.exit_code, first.stdout, first.stderr) == (0, "1: started Aa1 at 06:01\n", "")
    second = run("shift", "record", shift, "overrunning", "aa1", "+10", "--now", "06:05")
    assert second.stdout.startswith("2: overrunning Aa1 until 06:")
    assert run("shift", "log", shift).stdout.splitlines()[0] == "1: started Aa1 at 06:01, Ida"


def test_a_contradiction_is_a_sentence_and_exit_code_2(run: Run, shift: Path) -> None:
    result = run("shift", "record", shift, "finished", "Aa1", "--now", "06:10")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "Aa1 has not been started; record that first, such as: started Aa1 at 06:10\n"
    assert run("shift", "log", shift).stdout == "nothing is recorded yet\n"


def test_what_is_undone_stays_in_the_log(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "started", "Aa1", "--now", "06:01", "--who", "Ida")
    assert run("shift", "record", shift, "undo", "--now", "06:02", "--who", "Ida").stdout == (
        "2: undo 1 (started Aa1 at 06:01) at 06:02\nnow: Aa1 has not begun\n"
    )
    assert run("shift", "log", shift).stdout == (
        "1: started Aa1 at 06:01, Ida (undone by 2)\n2: undo 1 (started Aa1 at 06:01) at 06:02, Ida\n"
    )


def test_what_is_wanted_now_is_told_of_an_order_that_changed(run: Run, shift: Path) -> None:
    told = run("shift", "record", shift, "order", "change", "larkfield tartlet", "96", "--now", "06:01").stdout
    assert told == ("1: order change 1 Larkfield tartlet 96 at 06:01\nnow: order 1 is 96 Larkfield tartlet due 10:00\n")


def test_nothing_is_as_planned_and_no_minute_to_spare_while_something_is_blocked(run: Run, shift: Path) -> None:
    before = run("shift", "status", shift, "--now", "06:00", "--width", "120").stdout.splitlines()
    assert before[2].endswith(", as planned")
    assert before[3].endswith(" min to spare")
    run("shift", "record", shift, "out", "deck oven", "--now", "06:00")
    lines = run("shift", "status", shift, "--now", "06:00", "--width", "120").stdout.splitlines()
    assert lines[2].startswith("finish expected ")
    assert " at best, something failed or is blocked" in lines[2]
    assert lines[3].endswith(" at best, something for it failed or is blocked, due 10:00")
    assert "as planned" not in lines[2]


def test_somebody_who_is_in_again_is_not_told_that_there_is_nothing_to_do(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "away", "Odo", "--now", "06:02")
    run("shift", "replan", shift, "--now", "06:02", "--effort", "0.2", "--accept")
    run("shift", "record", shift, "in", "Odo", "--now", "06:04")
    lines = run("shift", "status", shift, "--now", "06:04", "--width", "120").stdout.splitlines()
    assert lines[3].endswith(" late")
    assert "  Odo: nothing more to do in this plan, but a new one may use Odo" in lines


def test_whoever_does_it_instead_is_told(run: Run, shift: Path) -> None:
    told = run("shift", "record", shift, "started", "Ba1", "by", "odo", "--now", "06:25", "--who", "Ida").stdout
    assert told == "1: started Ba1 by Odo at 06:25\n"
    assert run("shift", "log", shift).stdout == "1: started Ba1 by Odo at 06:25, Ida\n"


def test_other_programs_read_how_a_shift_stands_and_what_was_recorded(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "started", "Aa1", "--now", "06:03", "--who", "Ida")
    run("shift", "record", shift, "note", "Größe", "--now", "06:04", "--who", "Ida")
    run("shift", "record", shift, "undo", "--now", "06:05", "--who", "Ida")
    status = json.loads(run("shift", "status", shift, "--now", "06:15", "--json").stdout)
    assert (status["format"], status["version"], status["day"], status["now"]) == (
        "stationplan shift status", 1, "2026-11-26", 375,
    )  # fmt: skip
    first = next(batch for batch in status["batches"] if batch["label"] == "Aa1")
    assert (first["standing"], first["planned_start"], first["start"], first["end"]) == ("running", 361, 363, 375)
    assert (first["stations"], first["overdue"]) == (["mixer"], 3)
    assert len(status["batches"]) == 25
    assert [order["due"] for order in status["orders"]] == [600]
    assert status["alarms"][0]["sentence"].startswith("Aa1 mix paste should have ended at 06:12")
    events = json.loads(run("shift", "log", shift, "--json").stdout)["events"]
    assert [(event["number"], event["undone_by"], event["event"]["kind"]) for event in events] == [
        (1, None, "started"),
        (2, 3, "note"),
        (3, None, "undo"),
    ]
    assert events[1]["event"] == {"kind": "note", "at": 364, "who": "Ida", "text": "Größe"}


def test_status_says_what_runs_what_is_late_and_what_comes(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "started", "Aa1", "--now", "06:01")
    shown = run("shift", "status", shift, "--now", "06:20", "--width", "80")
    assert (shown.exit_code, shown.stderr) == (0, "")
    assert "25 batches: 0 done, 1 running, 24 to come" in shown.stdout
    assert "! Aa1 mix paste should have ended at 06:10: record finished Aa1" in shown.stdout
    assert max(map(len, shown.stdout.splitlines())) <= 80


@pytest.mark.parametrize("command", ["record", "status", "log"])
def test_what_is_no_shift_is_named(run: Run, plan_file: Path, tmp_path: Path, command: str) -> None:
    words = ("note", "here") if command == "record" else ()
    for path, why in ((plan_file, "this is not the record of a shift"), (tmp_path / "none.shift", "no such file")):
        result = run("shift", command, path, *words)
        assert (result.exit_code, result.stdout) == (2, "")
        assert result.stderr.startswith(f"{path}: {why}")


def test_the_chart_of_a_shift_marks_now_and_sets_planned_against_actual(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "started", "Aa1", "--now", "06:03")
    run("shift", "record", shift, "finished", "Aa1", "--now", "06:15")
    shown = run("chart", shift, "--now", "06:40", "--width", "80")
    assert (shown.exit_code, shown.stderr) == (0, "")
    assert "  Aa1 mix paste planned 06:01-06:10, was 06:03-06:15: 5 min later\n" in shown.stdout
    assert "║ now" in shown.stdout
    lines = shown.stdout.splitlines()
    marked = [line for line in lines if "║" in line and "║ now" not in line]
    assert len({line.index("║") for line in marked}) == 1
    assert any("├──" in line for line in marked)
    assert any(line.startswith("deck oven") for line in marked)
    assert max(map(len, lines)) <= 80
    plain = run("chart", shift, "--now", "06:40", "--ascii").stdout
    assert plain.isascii()
    assert "! now" in plain


def test_the_chart_of_a_shift_that_has_not_begun_is_that_of_its_plan(run: Run, plan_file: Path, shift: Path) -> None:
    planned = run("chart", plan_file, "--rows", "people").stdout
    running = run("chart", shift, "--rows", "people", "--now", "05:00").stdout
    # What the finish hangs on is drawn in a plan alone.
    rows = [
        line.replace("█", "▖").replace("▄", "▖").replace("◆", "▌")
        for line in planned.splitlines()
        if line.startswith("Odo")
    ]
    assert rows
    assert [line for line in running.splitlines() if line.startswith("Odo")] == rows


def test_the_time_is_given_for_charts_of_shifts_alone(run: Run, plan_file: Path, shift: Path) -> None:
    assert run("chart", plan_file, "--now", "06:40").exit_code == 2
    assert run("chart", shift, "--list", "time", "--now", "06:05").exit_code == 2


def test_nothing_is_expected_of_an_oven_while_the_scenario_says_that_it_is_out_of_use(run: Run, tmp_path: Path) -> None:
    (tmp_path / "scenario.yaml").write_text(
        """
name: An oven that goes
shift: {opens: "06:00", closes: "12:00"}
kitchen:
  people: [{name: Ida}]
  equipment: [{name: oven, kind: oven, holds: 1 tray, starts_at: 180 C, out_of_use: "06:55-08:00"}]
products:
  tart:
    makes: 1 tray
    steps:
      - {name: mix, takes: 10 min}
      - {name: bake, takes: 30 min, equipment: oven at 180 C, hands_on: none}
orders: [{product: tart, quantity: 1}]
""",
        encoding="utf-8",
    )
    plan, shift = tmp_path / "plan.json", tmp_path / "plan.shift"
    assert run("plan", tmp_path, "--effort", "1", "--out", plan).exit_code == 0
    run("shift", "start", plan, "--date", "2026-11-26")
    run("shift", "record", shift, "started", "Aa1", "--now", "06:01")
    run("shift", "record", shift, "finished", "Aa1", "--now", "06:40")
    lines = run("shift", "status", shift, "--now", "06:41").stdout.splitlines()
    assert lines[2] == "finish expected 08:30, 1 h 50 min later than planned (06:40)"


def test_people_are_free_for_other_work_until_they_take_out_what_is_in_the_oven(run: Run, shift: Path) -> None:
    """As long as nothing has happened everything is expected as planned."""
    lines = run("shift", "status", shift, "--now", "06:00").stdout.splitlines()
    assert lines[2].endswith("as planned")
