"""From the banquet at half time: every kind of event is recorded, planned around, accepted, and shown."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from stationplan.live.record import Log, read
from stationplan.live.said import WORDS
from stationplan.network import build
from stationplan.plan.check import check_plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import load

from .conftest import SCENARIOS, Run
from .half_time import EVENTS, HalfTime, half_time

LITTLE = "0.01"
"""Effort of the search: it begins from the plan that is pushed later, and from a few quick ones."""


@pytest.fixture(scope="session")
def half() -> HalfTime:
    loaded = load(SCENARIOS / "banquet")
    limits = Effort(effort=0.1, seed=1, workers=1, gap=0.2)
    return half_time(produce(build(loaded.scenario), loaded.raw, limits))


@pytest.fixture(scope="session")
def written(half: HalfTime, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("banquet") / "banquet.shift"
    half.write(path)
    return path


@pytest.fixture
def shift(written: Path, tmp_path: Path) -> Path:
    return Path(shutil.copy(written, tmp_path))


def test_there_is_a_line_for_every_kind() -> None:
    typed = {line.split()[0] for lines in EVENTS.values() for line in lines}
    assert typed == set(WORDS)


@pytest.mark.parametrize("lines", EVENTS.values(), ids=EVENTS)
def test_the_rest_is_planned_anew_after(run: Run, half: HalfTime, shift: Path, lines: list[str]) -> None:
    now = ("--now", half.clock)
    for line in lines:
        recorded = run("shift", "record", shift, *line.format(**half.names).split(), *now)
        assert (recorded.exit_code, recorded.stderr) == (0, ""), line
    proposed = run("shift", "replan", shift, "--effort", LITTLE, *now)
    assert proposed.exit_code == 0, proposed.stderr
    assert run("shift", "accept", shift).exit_code == 0
    log = read(shift)
    assert check_plan(log.plan) == ()
    assert_what_has_begun_is_as_recorded(log, half.now)
    for command in (("shift", "status", shift, *now), ("chart", shift, *now), ("shift", "report", shift)):
        shown = run(*command)
        assert (shown.exit_code, shown.stderr) == (0, ""), command
        assert len(shown.stdout.splitlines()) > 5
    assert "not in this plan yet" not in run("shift", "status", shift, *now).stdout


def assert_what_has_begun_is_as_recorded(log: Log, now: int) -> None:
    runs = log.state.runs
    assert set(runs) <= {batch.label for batch in log.plan.batches}
    for batch in log.plan.batches:
        done = runs.get(batch.label)
        if done is None:
            assert batch.start >= now, batch.label
            continue
        assert batch.start == done.start
        assert batch.end == (max(done.expected_end, now) if done.end is None else done.end)
        assert batch.lost == (done.outcome == "lost")
        assert tuple(seat.station for seat in batch.seats) == done.stations
        begun = [hand.person for hand in batch.hands if hand.start < now]
        assert set(begun) <= set(done.people)


WRONG = {
    "started {running}": "{running} has been started already, at ",
    "started Zz9": "there is no batch 'Zz9' in the plan",
    "started {next} at +5": "'+5' is not a time of day",
    "started {next} at {later}": "{later} is still to come: it is {now}",
    "started {next} by Nobody": "there is no person 'Nobody'",
    "started {next} on nothing": "there is no station 'nothing'",
    "finished {next}": "{next} has not been started; record that first",
    "finished {ended}": "{ended} has been finished already, at ",
    "finished {running} at 05:00": "05:00 is too early: {running} was started at ",
    "finished {running} at {later}": "{later} is still to come",
    "overrunning {next} +10": "{next} has not been started",
    "overrunning {ended} +10": "{ended} has been finished already",
    "overrunning {running}": "say how much longer {running} takes",
    "overrunning {running} +10 at 05:00": "05:00 is too early: {running} was started at ",
    "failed {next}": "{next} has not been started",
    "failed {running} at {later}": "{later} is still to come",
    "out steam oven": "there is no equipment 'steam oven'",
    "out convection oven 3": "there is no convection oven 3: there are 2",
    "out walk-in chiller at {later}": "{later} is still to come",
    "back convection oven": "convection oven is not recorded as out of use",
    "slower convection oven 400%": "say by how much it is slower, 100 % at most",
    "slower nothing 20%": "there is no equipment 'nothing'",
    "away Nobody": "there is no person 'Nobody'",
    "away Corwin at {later}": "{later} is still to come",
    "in Corwin": "Corwin is not recorded as away at {now}",
    "late Maude": "say until when",
    "late snow until +30": "there is no person or ingredient 'snow'",
    "order add none Weldermere dome": "say how many of what",
    "order add 3 plum tart": "there is no product 'plum tart'",
    "order change 7 30": "there is no order 7",
    "order change 1": "say what is new about the order",
    "order cancel 1": "no plan could reckon with it",
    "order cancel 9": "there is no order 9",
    "stock 3 trays snow": "is no amount of something that is made here",
    "stock many trays oat crisp": "'many trays' does not start with a number",
    "note": "there is nothing to note",
    "undo 999": "there is no event 999",
    "undo none": "'none' is no number of an event",
    "rested Ac1": "'rested' is nothing that can be recorded",
}
"""What is typed and cannot be, and how the answer begins or what is in it."""


@pytest.mark.parametrize("line", WRONG)
def test_is_refused_with_a_sentence_and_changes_nothing(run: Run, half: HalfTime, shift: Path, line: str) -> None:
    later = half.now + 45
    names = {**half.names, "now": half.clock, "later": f"{later // 60:02}:{later % 60:02}"}
    before = read(shift)
    refused = run("shift", "record", shift, *line.format(**names).split(), "--now", half.clock)
    assert (refused.exit_code, refused.stdout) == (2, "")
    assert WRONG[line].format(**names) in refused.stderr
    assert refused.stderr.count("\n") == 1
    assert read(shift) == before


def test_stock_that_is_found_when_all_has_been_taken_up_changes_nothing(run: Run, half: HalfTime, shift: Path) -> None:
    taken = [batch for batch in half.plan.batches if batch.item == "white chocolate mousse"]
    assert all(batch.end <= half.now for batch in taken)
    now = ("--now", half.clock)
    assert run("shift", "record", shift, "stock 2 kg white chocolate mousse", *now).exit_code == 0
    assert run("shift", "replan", shift, "--effort", LITTLE, "--accept", *now).exit_code == 0
    made = [batch.label for batch in read(shift).plan.batches if batch.item == "white chocolate mousse"]
    assert made == [batch.label for batch in taken]
