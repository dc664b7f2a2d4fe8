"""The state of a shift is a fold of what is recorded: stored and read alike, undone without a trace."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from stationplan.live.errors import EventError
from stationplan.live.events import Recorded, Slower, Undo
from stationplan.live.record import Log, add_event, create, read
from stationplan.live.recording import understood
from stationplan.live.state import ShiftState, fold, minutes_of
from stationplan.plan.document import Plan

from .conftest import DAY, MOMENT, Tell

MOST = 14 * 60


class Shifts(RuleBasedStateMachine):
    """Whatever is typed at whatever time: the record, and a list in memory that is folded beside it."""

    plan: Plan

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.path = self.folder / "any.shift"
        self.now = 360
        self.told: list[Recorded] = []
        self.before: dict[int, ShiftState] = {}

    def teardown(self) -> None:
        shutil.rmtree(self.folder)

    @initialize()
    def begin(self) -> None:
        create(self.path, self.plan, DAY, MOMENT)

    @property
    def state(self) -> ShiftState:
        return fold(self.plan, self.told)

    def type(self, words: str) -> bool:
        """Record it, or see that a refusal changes nothing."""
        before = self.state
        try:
            entry = add_event(self.path, lambda log: understood(log, [words], now=self.now, who="Ida"), MOMENT)
        except EventError:
            assert read(self.path).state == before
            return False
        if not isinstance(entry.event, Undo):
            self.before[entry.number] = before
        self.told.append(entry)
        return True

    @rule(minutes=st.integers(0, 40))
    def time_passes(self, minutes: int) -> None:
        self.now = min(MOST, self.now + minutes)

    @rule(
        word=st.sampled_from(["started", "finished", "failed", "overrunning"]),
        label=st.sampled_from(["Aa1", "Ab1", "Ab2", "Ba1", "Ac1"]),
        ago=st.integers(0, 20),
    )
    def a_batch_goes_on(self, word: str, label: str, ago: int) -> None:
        more = " +10" if word == "overrunning" else ""
        at = f"{(self.now - ago) // 60:02d}:{(self.now - ago) % 60:02d}"
        runs = self.state.runs
        if not self.type(f"{word} {label}{more} at {at}"):
            return
        run = self.state.runs[label]
        if word == "started":
            assert label not in runs
            assert (run.start, run.end, run.outcome) == (self.now - ago, None, "running")
        else:
            assert run.start == runs[label].start <= self.now - ago
            expected = {"finished": "done", "failed": "lost", "overrunning": "running"}[word]
            assert run.outcome == expected

    @rule(person=st.sampled_from(["Odo", "Tamsin"]), word=st.sampled_from(["away", "in"]), until=st.booleans())
    def somebody_comes_or_goes(self, person: str, word: str, until: bool) -> None:
        self.type(f"{word} {person}{' until +30' if until and word == 'away' else ''}")

    @rule(words=st.sampled_from(["add 12 Larkfield tartlet", "change 1 60", "cancel 2", "change 2 due 11:30"]))
    def orders_change(self, words: str) -> None:
        self.type(f"order {words}")

    @rule()
    def the_last_is_undone(self) -> None:
        last = self.state.last_standing
        if self.type("undo"):
            # Nothing follows it, so that all is as it was before.
            assert replace(self.state, last=0) == replace(self.before[last], last=0)

    @rule(number=st.integers(1, 12))
    def another_is_undone(self, number: int) -> None:
        undone = {entry.event.number for entry in self.told if isinstance(entry.event, Undo)}
        if self.type(f"undo {number}"):
            assert number not in undone
            kept = [entry for entry in self.told[:-1] if entry.number not in undone | {number}]
            assert replace(self.state, last=0) == replace(fold(self.plan, kept), last=0)

    @rule()
    def a_note_changes_nothing_else(self) -> None:
        before = self.state
        self.type("note as it was")
        assert replace(self.state, notes=(), last=0, last_standing=0) == replace(
            before, notes=(), last=0, last_standing=0
        )

    @invariant()
    def what_is_stored_is_what_was_told(self) -> None:
        if self.path.exists():
            log = read(self.path)
            assert list(log.events) == self.told
            assert log.state == self.state

    @invariant()
    def every_run_is_one_that_can_be(self) -> None:
        for run in self.state.runs.values():
            assert (run.end is None) == (run.outcome == "running")
            assert run.end is None or run.start <= run.end


def test_any_shift_is_the_fold_of_its_events(plan: Plan) -> None:
    machine = type("AnyShift", (Shifts,), {"plan": plan})
    case = machine.TestCase
    case.settings = settings(max_examples=12, stateful_step_count=12, deadline=None, derandomize=True)
    case().runTest()


def test_a_batch_is_expected_to_take_as_long_as_planned(tell: Tell, plan: Plan, log: Callable[[], Log]) -> None:
    planned = next(batch for batch in plan.batches if batch.label == "Ba1")
    tell("started Ba1", now=420)
    assert log().state.runs["Ba1"].expected_end == 420 + planned.end - planned.start


@pytest.mark.parametrize(("percent", "longer"), [(0, 0), (20, 4), (50, 9)])
def test_slower_equipment_lengthens_machine_time_alone(plan: Plan, percent: int, longer: int) -> None:
    bake = next(batch for batch in plan.batches if batch.label == "Ac1")
    assert bake.end - bake.start == 20  # 18 minutes of baking, one to load, one to unload
    slow = Recorded(1, MOMENT, Slower(at=400, who="Ida", equipment="deck oven", percent=percent))
    state = fold(plan, [slow])
    assert minutes_of(state, bake, 450) == 20 + longer
    assert minutes_of(state, bake, 399) == 20
    # A plan that was made since reckons with it.
    assert minutes_of(fold(plan, [slow], known=1), bake, 450) == 20


def test_slower_is_taken_back_with_nothing_percent(plan: Plan) -> None:
    bake = next(batch for batch in plan.batches if batch.label == "Ac1")
    slow = [
        Recorded(n, MOMENT, Slower(at=at, who="Ida", equipment="deck oven", percent=p))
        for n, at, p in ((1, 400, 50), (2, 410, 0))
    ]
    assert [minutes_of(fold(plan, slow), bake, at) for at in (405, 415)] == [29, 20]


@pytest.mark.parametrize(("percent", "takes"), [(0, 20), (50, 29), (60, 31), (100, 38)])
def test_slower_is_said_of_the_time_in_the_recipe_and_not_of_what_a_plan_has_made_of_it(
    plan: Plan, percent: int, takes: int
) -> None:
    slow = [
        Recorded(n, MOMENT, Slower(at=at, who="Ida", equipment="deck oven", percent=p))
        for n, at, p in ((1, 400, 50), (2, 410, percent))
    ]
    bake = next(batch for batch in plan.batches if batch.label == "Ac1")
    # The plan in force reckons with half as much again of 18 minutes.
    longer = bake.model_copy(update={"end": bake.start + 29})
    assert minutes_of(fold(plan, slow, known=1), longer, 450) == takes


def test_what_the_scenario_says_of_slower_equipment_is_not_reckoned_with_twice(plan: Plan) -> None:
    machines = plan.scenario["kitchen"]["equipment"]
    slower = [machine | ({"slower": "50 %"} if machine["name"] == "deck oven" else {}) for machine in machines]
    scenario = plan.scenario | {"kitchen": plan.scenario["kitchen"] | {"equipment": slower}}
    bake = next(batch for batch in plan.batches if batch.label == "Ac1")
    longer = bake.model_copy(update={"end": bake.start + 29})
    said = [Recorded(1, MOMENT, Slower(at=400, who="Ida", equipment="deck oven", percent=100))]
    assert minutes_of(fold(plan, (), scenario=scenario), longer, 450) == 29
    assert minutes_of(fold(plan, said, scenario=scenario), longer, 450) == 38
