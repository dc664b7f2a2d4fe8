"""``shift replan``, ``shift accept`` and ``shift record --auto``: the rest of a shift planned anew."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from stationplan.cli import shift_record, shift_replan
from stationplan.live.proposed import proposed_in
from stationplan.live.record import read
from stationplan.live.replanning import Proposal
from stationplan.plan.check import check_plan
from stationplan.render.replan import replan_lines

from .conftest import Run


@pytest.fixture(name="shift")
def begun(run: Run, tmp_path: Path, plan_file: Path) -> Path:
    """A shift of which the first batch has been started."""
    path = tmp_path / "monday.shift"
    assert run("shift", "start", plan_file, "--file", path, "--date", "2026-11-26").exit_code == 0
    assert run("shift", "record", path, "started", "Aa1", "--now", "06:00").exit_code == 0
    return path


def unwrapped(text: str) -> str:
    return text.replace("\n  ", " ")


def test_a_plan_is_proposed_and_counts_once_it_is_accepted(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "overrunning", "Aa1", "+40", "--now", "06:06")
    result = run("shift", "replan", shift, "--now", "06:06", "--effort", "1")
    assert result.exit_code == 0, result.stderr
    assert "the plan in force, pushed later where it must be, finishes" in result.stderr
    lines = result.stdout.splitlines()
    assert lines[0].startswith("finish ")
    assert any(line.startswith("because: overrunning Aa1") for line in lines)
    assert lines[-1] == f"3: proposed; to go by it: stationplan shift accept {shift}"
    before = read(shift)
    assert (before.known, before.proposed_as) == (0, 3)
    assert before.proposed is not None
    assert before.proposed.finish > before.plan.finish
    assert check_plan(before.proposed) == ()
    told = proposed_in(before)
    assert told is not None
    assert "".join(f"{line}\n" for line in replan_lines(told.differences, told.because, told.unmanned)) in unwrapped(
        result.stdout
    )
    accepted = run("shift", "accept", shift, "--now", "06:08", "--who", "Ida")
    assert accepted.stdout == "4: the plan proposed as 3 is in force now\n"
    assert run("shift", "log", shift).stdout.splitlines()[-1] == "4: accept 3 at 06:08, Ida"
    after = read(shift)
    assert (after.plan, after.known, after.proposed) == (before.proposed, 4, None)
    assert run("shift", "status", shift, "--now", "06:10").exit_code == 0
    assert run("chart", shift, "--now", "06:10").exit_code == 0


def test_a_proposed_plan_is_not_accepted_once_more_is_recorded(run: Run, shift: Path) -> None:
    assert run("shift", "accept", shift).exit_code == 2
    run("shift", "replan", shift, "--now", "06:05", "--effort", "1")
    run("shift", "record", shift, "finished", "Aa1", "--now", "06:05")
    result = run("shift", "accept", shift)
    assert (result.exit_code, read(shift).known) == (2, 0)
    assert "more was recorded since" in result.stderr


def test_an_event_that_breaks_the_plan_is_planned_around_at_once(run: Run, shift: Path) -> None:
    result = run("shift", "record", shift, "finished", "Aa1", "--now", "06:06", "--auto")
    assert result.stdout == "2: finished Aa1 at 06:06\n"
    result = run("shift", "record", shift, "away", "Odo", "--now", "06:07", "--auto")
    assert result.exit_code == 0, result.stderr
    assert result.stdout.splitlines()[-1] == "4: this plan is in force now"
    log = read(shift)
    assert (log.known, check_plan(log.plan)) == (4, ())
    later = [hand for batch in log.plan.batches for hand in batch.hands if hand.person == "Odo" and hand.start >= 367]
    assert later == []


def test_what_is_left_and_cannot_be_done_ends_with_its_reasons(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "out", "deck oven", "--now", "06:05")
    result = run("shift", "replan", shift, "--now", "06:05", "--effort", "1")
    assert result.exit_code == 3
    assert "what is left cannot be done as it stands" in result.stderr
    next_step = "record back deck oven, or until when, such as: out deck oven until 07:05"
    assert f"deck oven is out of use: {next_step}" in result.stderr
    assert read(shift).proposed is None


FROZEN = """
name: frozen slabs
shift: {opens: "06:00", closes: "14:00"}
kitchen:
  people: [{name: Ines}]
  equipment: [{name: blast freezer, kind: freezer, holds: 9 trays}]
products:
  slab:
    makes: 1 tray
    steps: [{name: spread, takes: 2 min per tray}, {wait: freeze, at_least: 60 min, in: freezer}]
orders: [{product: slab, quantity: 4}]
"""


def test_more_than_its_place_holds_is_told_of_where_an_order_grows(run: Run, tmp_path: Path) -> None:
    shift, plan = tmp_path / "frozen.shift", tmp_path / "frozen.json"
    (tmp_path / "frozen.yaml").write_text(FROZEN)
    assert run("plan", tmp_path / "frozen.yaml", "--effort", "1", "--out", plan).exit_code == 0
    assert run("shift", "start", plan, "--file", shift, "--date", "2026-11-26").exit_code == 0
    assert run("shift", "record", shift, "order", "change", "1", "10", "--now", "06:00").exit_code == 0
    result = run("shift", "replan", shift, "--now", "06:00", "--effort", "1")
    assert result.exit_code == 3
    assert "10 trays of slab at once takes 10 trays, and the freezer holds 9 trays" in unwrapped(result.stderr)


def test_nothing_is_planned_around_a_batch_in_equipment_that_is_out_of_use(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "out", "mixer", "--now", "06:03")
    result = run("shift", "replan", shift, "--now", "06:03", "--effort", "1")
    assert result.exit_code == 2
    assert "Aa1 is in mixer, which is out of use since " in result.stderr


def test_what_is_undone_after_a_plan_has_reckoned_with_it_is_told_of(run: Run, shift: Path) -> None:
    run("shift", "record", shift, "order", "change", "1", "96", "--now", "06:01")
    assert (
        "! not in this plan yet: 2 order change 1 Larkfield tartlet 96"
        in run("shift", "status", shift, "--now", "06:02").stdout
    )
    assert run("shift", "replan", shift, "--now", "06:02", "--effort", "1", "--accept").exit_code == 0
    assert "not in this plan yet" not in run("shift", "status", shift, "--now", "06:02").stdout
    run("shift", "record", shift, "undo", "2", "--now", "06:03")
    assert "! not in this plan yet: 4 undo 2" in run("shift", "status", shift, "--now", "06:03").stdout


def test_the_pushed_plan_is_told_before_the_solver_is_imported(run: Run, shift: Path) -> None:
    code = (
        "import sys\n"
        "from stationplan.cli import main, shift_replan\n"
        "shift_replan.tell = lambda text: print(text, 'ortools' in sys.modules)\n"
        "main(sys.argv[1:])\n"
    )
    arguments = ["shift", "replan", str(shift), "--now", "06:05", "--effort", "0.1"]
    done = subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[0].startswith("the plan in force, pushed later where it must be, ")
    assert done.stdout.splitlines()[0].endswith("looking for a better one False")


def record_during(monkeypatch: pytest.MonkeyPatch, run: Run, shift: Path, times: int) -> list[str]:
    """Let somebody else record something while the first plans are made; what they were told."""
    plan, told = shift_replan.proposal_of, list[str]()

    def disturbed(*arguments: Any) -> Proposal:
        found = plan(*arguments)
        if len(told) < times:
            until = f"06:{30 + len(told)}"
            told.append(run("shift", "record", shift, "overrunning", "Aa1", "until", until, "--now", "06:06").stdout)
        return found

    monkeypatch.setattr(shift_replan, "proposal_of", disturbed)
    return told


@pytest.mark.parametrize("accept", [(), ("--accept",)])
def test_a_plan_is_refused_that_does_not_reckon_with_what_was_recorded_while_it_was_made(
    run: Run, shift: Path, monkeypatch: pytest.MonkeyPatch, accept: tuple[str, ...]
) -> None:
    told = record_during(monkeypatch, run, shift, 1)
    refused = run("shift", "replan", shift, "--now", "06:06", "--effort", "0.1", *accept)
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert refused.stderr.splitlines()[-1] == "entry 2 was recorded while this plan was made; plan once more"
    log = read(shift)
    assert told == ["2: overrunning Aa1 until 06:30 at 06:06\n"]
    assert (log.proposed, log.known, log.last) == (None, 0, 2)


def test_at_once_what_others_record_meanwhile_is_planned_around_too(
    run: Run, shift: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shift_record, "SECONDS_AT_ONCE", 0.2)
    record_during(monkeypatch, run, shift, 1)
    result = run("shift", "record", shift, "--auto", "overrunning", "Aa1", "+40", "--now", "06:06")
    assert result.exit_code == 0, result.stderr
    assert result.stdout.splitlines()[-1] == "4: this plan is in force now"
    log = read(shift)
    assert (log.known, len(log.events)) == (4, 3)
    assert next(batch for batch in log.plan.batches if batch.label == "Aa1").end == 390


def test_at_once_it_is_told_when_others_record_faster_than_it_can_be_planned_around(
    run: Run, shift: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shift_record, "SECONDS_AT_ONCE", 0.2)
    record_during(monkeypatch, run, shift, 9)
    result = run("shift", "record", shift, "--auto", "overrunning", "Aa1", "+40", "--now", "06:06")
    assert (result.exit_code, result.stdout.splitlines()[-1][:20]) == (1, "2: overrunning Aa1 u")
    assert result.stderr.splitlines()[-1] == (
        "it is recorded, but no plan reckons with it yet: others record faster than that; "
        f"plan once more: stationplan shift replan {shift}"
    )
    log = read(shift)
    assert (log.known, log.proposed) == (0, None)
