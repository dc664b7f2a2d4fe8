"""Changed kitchens solved side by side: against closed forms, the literature, and solving them alone."""

from __future__ import annotations

import pickle
from collections.abc import Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import AbstractContextManager, contextmanager
from math import ceil
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import pytest
from dying import answer_or_die
from machines import bakes, jobs
from planned import step
from readable import raw

from stationplan.engine.feasibility import Verdict
from stationplan.network import build
from stationplan.plan.comparing import Answer, Comparison, Gain, compare
from stationplan.plan.document import Plan
from stationplan.plan.errors import NothingFoundError
from stationplan.plan.produce import Effort, produce
from stationplan.plan.store import to_json
from stationplan.plan.trials import Known, Outcome, Trial, known_of, run_trial, side_by_side
from stationplan.plan.what_ifs import Choice, WhatIf, what_ifs
from stationplan.scenario import from_plain

LIMITS = Effort(effort=4, workers=1)


def planned(data: dict[str, Any]) -> Plan:
    return produce(build(from_plain(data)), data, LIMITS)


def trials_of(data: dict[str, Any], base: Plan | None, choices: Sequence[Choice]) -> tuple[list[WhatIf], list[Trial]]:
    scenario = from_plain(data)
    changes = what_ifs(build(scenario), scenario, data, choices)
    plain = None if base is None else to_json(base)
    return changes, [Trial(change.scenario, "longest", LIMITS, plain, change.takes_the_last) for change in changes]


def tried(data: dict[str, Any], *choices: Choice) -> Comparison:
    base = planned(data)
    changes, trials = trials_of(data, base, choices)
    return compare(known_of(base), changes, [run_trial(trial) for trial in trials])


def only(comparison: Comparison) -> Answer:
    [answer] = comparison.answers
    return answer


@pytest.mark.parametrize(("number", "ovens"), [(6, 1), (7, 1), (7, 2)])
def test_equal_bakes_take_as_many_rounds_as_the_ovens_need(number: int, ovens: int) -> None:
    # n bakes of p minutes on m ovens of one tray take ceil(n / m) * p: nothing else constrains them.
    rounds = {count: 20 * ceil(number / count) for count in (ovens, ovens + 1)}
    comparison = tried(bakes(number, 20, ovens), Choice.MORE_EQUIPMENT)
    saved = rounds[ovens] - rounds[ovens + 1]
    assert comparison.base == Known(0, rounds[ovens], 0, rounds[ovens])
    assert only(comparison).known == Known(0, rounds[ovens + 1], 0, rounds[ovens + 1])
    assert only(comparison).length == Gain(saved, saved, saved)


def test_one_oven_fewer_costs_what_one_more_saves() -> None:
    more, fewer = (
        only(tried(bakes(6, 20, ovens), choice)).length
        for ovens, choice in ((2, Choice.MORE_EQUIPMENT), (3, Choice.FEWER_EQUIPMENT))
    )
    assert more == Gain(20, 20, 20)
    assert fewer == Gain(-20, -20, -20)


# R. L. Graham, "Bounds on multiprocessing timing anomalies", SIAM Journal on Applied Mathematics 17 (1969): with the
# list 1..9 a fourth machine makes the list schedule longer, 15 instead of 12. (Processing times from memory.)
GRAHAM = ((3, 2, 2, 2, 4, 4, 4, 4, 9), {9: 1, 5: 4, 6: 4, 7: 4, 8: 4})


def test_a_machine_that_makes_a_list_schedule_longer_never_makes_the_best_plan_longer() -> None:
    minutes, after = GRAHAM
    assert _list_schedule(minutes, 3, after) == 12
    assert _list_schedule(minutes, 4, after) == 15
    comparison = tried(jobs(minutes, 3, after), Choice.MORE_EQUIPMENT)
    # 12 is 3 + 9, the chain of jobs 1 and 9, so no number of machines can do with less.
    assert only(comparison).known == Known(0, 12, 0, 12)
    assert only(comparison).length == Gain(0, 0, 0)


def _list_schedule(minutes: Sequence[int], machines: int, after: dict[int, int]) -> int:
    """Graham's rule: whenever a machine is free it takes the first job of the list that may begin."""
    ends: dict[int, int] = {}
    free = [0] * machines
    now = 0
    while len(ends) < len(minutes):
        for machine in range(machines):
            ready = [
                job
                for job in range(1, len(minutes) + 1)
                if job not in ends and (job not in after or ends.get(after[job], now + 1) <= now)
            ]
            if free[machine] <= now and ready:
                ends[ready[0]] = free[machine] = now + minutes[ready[0] - 1]
        now += 1
    return max(ends.values())


def test_unequal_jobs_agree_with_the_published_optimum_and_never_beat_splitting_them() -> None:
    # The tight case of "longest first" on two machines (R. L. Graham, 1969; from memory): 7 by the rule, 6 at best.
    minutes = (3, 3, 2, 2, 2)
    comparison = tried(jobs(minutes, 2), Choice.MORE_EQUIPMENT, Choice.FEWER_EQUIPMENT)
    assert comparison.best == Known(0, 6, 0, 6)
    lengths = [answer.known.length for answer in comparison.answers if answer.known]
    assert lengths == [5, 12]
    # R. McNaughton, "Scheduling with deadlines and loss functions", Management Science 6 (1959): with jobs that may be
    # interrupted, max(sum / machines, longest) is enough, and nothing is below it.
    for machines, length in ((3, 5), (1, 12)):
        assert length >= max(sum(minutes) / machines, max(minutes))


def test_a_trial_agrees_with_solving_the_changed_scenario_alone() -> None:
    mixed = raw(
        step("mix", "9 min"),
        step("bake", "25 min", equipment="oven at 180 C", batch="1 tray", load="2 min"),
        step("box", "12 min", batch="1 tray"),
        quantity=5,
        people=[{"name": "Ines"}],
    )
    base = planned(mixed)
    changes, trials = trials_of(mixed, base, tuple(Choice))
    possible = 0
    for change, outcome in zip(changes, map(run_trial, trials), strict=True):
        if outcome.known is None:
            assert outcome.verdict is Verdict.IMPOSSIBLE, change.sentence
            continue
        alone = known_of(planned(change.scenario))
        assert (alone.late, alone.length) == (alone.least_late, alone.least_length)
        assert outcome.known == alone, change.sentence
        possible += 1
    assert possible >= 4


def test_without_what_it_takes_nothing_can_be_done() -> None:
    [without_oven] = trials_of(bakes(2, 20, 1), None, (Choice.FEWER_EQUIPMENT,))[1]
    assert run_trial(without_oven) == Outcome(Verdict.IMPOSSIBLE)
    short = bakes(40, 20, 1)
    short["shift"]["closes"] = "06:30"
    assert run_trial(Trial(short, "longest", LIMITS)) == Outcome(Verdict.IMPOSSIBLE)


def test_where_the_base_plan_cannot_be_beaten_nothing_is_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    data = jobs((5, 3), 2)
    base = planned(data)
    monkeypatch.setattr("stationplan.plan.trials.produce", None)
    [trial] = trials_of(data, base, (Choice.MORE_EQUIPMENT,))[1]
    assert run_trial(trial) == Outcome(Verdict.POSSIBLE, Known(0, 5, 0, 5), alike=True, base_holds=True)


def test_a_search_that_finds_nothing_or_worse_leaves_the_base_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    data = bakes(4, 20, 1)
    base = planned(data)
    [trial] = trials_of(data, base, (Choice.MORE_EQUIPMENT,))[1]

    def nothing(*_: object) -> Plan:
        raise NothingFoundError(interrupted=False)

    monkeypatch.setattr("stationplan.plan.trials.produce", nothing)
    assert run_trial(trial) == Outcome(Verdict.POSSIBLE, Known(0, 80, 0, 40), alike=True, base_holds=True)

    worse = planned(bakes(5, 20, 1))
    tiers = tuple(tier.model_copy(update={"bound": 0}) for tier in worse.tiers)
    monkeypatch.setattr("stationplan.plan.trials.produce", lambda *_: worse.model_copy(update={"tiers": tiers}))
    assert run_trial(trial).known == Known(0, 80, 0, 0)


def test_what_is_sent_and_what_comes_back_is_plain_and_the_answer_small() -> None:
    data = bakes(3, 20, 1)
    [trial] = trials_of(data, planned(data), (Choice.MORE_EQUIPMENT,))[1]
    assert pickle.loads(pickle.dumps(trial)) == trial
    assert len(pickle.dumps(run_trial(trial))) < 1000


def answers(data: dict[str, Any], executor: Executor) -> tuple[Outcome | None, ...]:
    return side_by_side(run_trial, trials_of(data, planned(data), tuple(Choice))[1], executor)


def test_threads_processes_and_no_executor_at_all_give_the_same_answers() -> None:
    data = bakes(4, 20, 2)
    alone = tuple(run_trial(trial) for trial in trials_of(data, planned(data), tuple(Choice))[1])
    with ThreadPoolExecutor(3) as threads:
        assert answers(data, threads) == alone
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as processes:
        assert answers(data, processes) == alone
    assert len(alone) > 2


class Backwards(Executor):
    """Answers the last question first, and is interrupted before it comes to the first."""

    def __init__(self) -> None:
        self.futures: list[Future[int]] = []

    def submit(self, fn: Any, /, *args: Any, **_: Any) -> Future[int]:
        future: Future[int] = Future()
        self.futures.append(future)
        if len(self.futures) == 3:
            future.set_result(fn(*args))
        return future


def test_answers_stand_in_the_order_of_the_questions_and_an_interruption_leaves_those_there_are() -> None:
    heard: list[int] = []

    def interrupted(number: int) -> None:
        heard.append(number)
        raise KeyboardInterrupt

    assert side_by_side(abs, [-1, -2, -3], Backwards(), interrupted) == (None, None, 3)
    assert heard == [2]


@contextmanager
def one_process() -> Iterator[Executor]:
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as process:
        yield process


def test_what_a_dead_process_leaves_is_asked_again_one_by_one(tmp_path: Path) -> None:
    questions = [(1, ""), (2, str(tmp_path / "dead")), (3, "always"), (4, "")]
    heard: list[int] = []
    with one_process() as pool:
        answers = side_by_side(answer_or_die, questions, pool, heard.append, alone=one_process, lost=-1)
    assert answers == (1, 2, -1, 4)
    assert sorted(heard) == [0, 1, 2, 3]


def test_without_anybody_to_go_on_a_dead_process_is_an_error() -> None:
    with one_process() as pool, pytest.raises(BrokenExecutor):
        side_by_side(answer_or_die, [(1, "always")], pool)


def test_an_interruption_after_a_death_leaves_what_was_not_asked_again_open() -> None:
    def interrupted() -> AbstractContextManager[Executor]:
        raise KeyboardInterrupt

    with one_process() as pool:
        answers = side_by_side(answer_or_die, [(1, "always"), (2, "")], pool, alone=interrupted, lost=-1)
    assert answers == (None, None)


def test_an_error_of_a_trial_is_not_lost() -> None:
    with ThreadPoolExecutor(1) as threads, pytest.raises(TypeError):
        side_by_side(abs, ["no number"], threads)  # type: ignore[list-item]


def test_a_recipe_that_nobody_ordered_does_not_keep_its_oven_in_the_kitchen() -> None:
    data = raw(
        step("bake", "20 min", equipment="deck oven at 180 C or tall oven at 180 C"),
        equipment=[{"name": name, "kind": "oven", "holds": "2 trays"} for name in ("deck oven", "tall oven")],
    )
    data["products"]["loaf"] = {"makes": "1 tray", "steps": [step("bake loaf", equipment="tall oven at 200 C")]}
    comparison = tried(data, Choice.FEWER_EQUIPMENT)
    assert [answer.length for answer in comparison.answers] == [Gain(0, 0, 0), Gain(0, 0, 0)]


def test_that_a_change_cannot_be_read_proves_nothing_by_itself() -> None:
    data = bakes(2, 20, 1)
    data["kitchen"]["equipment"] = []
    assert run_trial(Trial(data, "longest", LIMITS)) == Outcome(Verdict.UNDECIDED)
    assert run_trial(Trial(data, "longest", LIMITS, takes_the_last=True)) == Outcome(Verdict.IMPOSSIBLE)
