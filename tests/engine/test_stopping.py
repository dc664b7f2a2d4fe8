"""What ends a search before everything is proved, one rule at a time."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from ortools.sat.python import cp_model

from stationplan.engine import Problem, Status, search, solve
from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.result import Phase, Progress, Stopped, StoppedBy, TierName
from stationplan.engine.solver import Settings, run
from stationplan.engine.stopping import GapRule, StallRule
from stationplan.engine.windows import Windows, find_windows

from .build import check, kitchen, task

if TYPE_CHECKING:
    from stationplan.engine.result import Result


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> list[float]:
    """The seconds that the limits read: change the only item."""
    now = [0.0]
    monkeypatch.setattr("time.monotonic", lambda: now[0])
    return now


@pytest.mark.parametrize(
    ("value", "bound", "enough"),
    [
        (None, (0, 100), False),
        ((0, 100), (0, 70), False),
        ((0, 100), (0, 71), True),
        ((0, 100), (0, 100), True),
        ((5, 100), (4, 100), False),
        ((5, 100), (5, 71), True),
        ((0, 100, 30), (0, 71, 0), True),
    ],
)
def test_a_gap_is_a_share_of_the_makespan_once_no_lateness_can_be_gained(
    value: tuple[int, ...] | None, bound: tuple[int, ...], enough: bool
) -> None:
    rule = GapRule(0.29)
    assert rule.hears(value, bound) is enough
    assert not rule.tires(1e9)


def test_no_gap_at_all_asks_for_a_proof() -> None:
    rule = GapRule(0.0)
    assert not rule.hears((0, 100), (0, 99))
    assert rule.hears((0, 0), (0, 0))


@pytest.mark.parametrize(
    ("value", "bound"),
    [((0, 99), (0, 80, 0)), ((0, 100), (0, 81, 0)), ((0, 100, 29), (0, 80, 0)), ((0, 100, 30), (0, 80, 1))],
    ids=["makespan", "bound", "tidiness", "bound on tidiness"],
)
def test_any_improvement_is_a_reason_to_wait_anew(value: tuple[int, ...], bound: tuple[int, ...]) -> None:
    rule = StallRule(10)
    rule.hears((0, 100, 30), (0, 80, 0))
    assert not rule.tires(5)
    rule.hears(value, bound)
    assert not rule.tires(14)
    assert not rule.tires(23)
    assert rule.tires(24)


@pytest.mark.parametrize(
    ("value", "bound"),
    [((0, 100, 30), (0, 80, 0)), ((0, 101, 3), (0, 80, 0)), ((1, 90), (0, 80, 0)), ((0, 100), (0, 79, 9))],
)
def test_what_is_no_better_is_none(value: tuple[int, ...], bound: tuple[int, ...]) -> None:
    rule = StallRule(10)
    rule.hears((0, 100, 30), (0, 80, 0))
    assert not rule.tires(5)
    rule.hears(value, bound)
    assert not rule.tires(14)
    assert rule.tires(15)


def test_how_tidy_a_schedule_is_may_become_known_later_and_is_no_news() -> None:
    rule = StallRule(10)
    rule.hears((0, 100), (0, 80))
    assert not rule.tires(0)
    rule.hears((0, 100, 30), (0, 80))
    assert rule.tires(10)
    rule.hears((0, 100, 29), (0, 80))
    assert not rule.tires(10)


def test_waiting_for_a_first_schedule_does_not_count() -> None:
    rule = StallRule(10)
    rule.hears(None, (0, 80))
    assert not rule.tires(1000)
    rule.hears((0, 100), (0, 80))
    assert not rule.tires(1005)
    assert rule.tires(1015)


def test_another_way_of_searching_is_waited_for_anew(clock: list[float]) -> None:
    limits = Limits(None, None, stall=10)
    limits.told((0, 100), (0, 80))
    assert not limits.used_up()
    clock[0] = 9
    limits.begin_stage()
    assert not limits.used_up()
    clock[0] = 18
    assert not limits.used_up()
    clock[0] = 19
    assert limits.used_up()


def test_limits_end_with_time(clock: list[float]) -> None:
    limits = Limits(20, None, gap=0.1, stall=30)
    limits.told((0, 100), (0, 50))
    clock[0] = 13
    assert (limits.used_up(), limits.used_up(0.65)) == (False, True)
    clock[0] = 20
    assert limits.used_up()
    assert limits.stopped_by is StoppedBy.TIME


def test_limits_end_with_effort() -> None:
    limits = Limits(None, 3)
    limits.spend(3)
    assert limits.used_up()
    assert limits.stopped_by is StoppedBy.EFFORT


@pytest.mark.parametrize(("seconds", "effort", "by"), [(20, 2, StoppedBy.TIME), (19, 3, StoppedBy.EFFORT)])
def test_of_two_limits_the_one_that_is_used_up_has_ended_it(
    clock: list[float], seconds: float, effort: float, by: StoppedBy
) -> None:
    limits = Limits(20, 3)
    limits.spend(effort)
    clock[0] = seconds
    assert limits.stopped_by is by


def test_without_limits_nothing_ends_it() -> None:
    limits = Limits(None, None)
    limits.told((0, 100), (0, 50))
    limits.spend(1e9)
    assert not limits.used_up()
    assert limits.stopped is None


def test_limits_end_with_the_gap_and_stay_ended() -> None:
    limits = Limits(None, None, gap=0.1)
    assert not limits.told((0, 100), (0, 89))
    assert not limits.used_up()
    assert limits.told((0, 100), (0, 90))
    assert limits.told((0, 100), (0, 50))
    assert limits.used_up()
    assert limits.stopped == Stopped(StoppedBy.GAP, gap=0.1)


def test_limits_end_with_a_stall_even_in_the_middle_of_a_run(clock: list[float]) -> None:
    limits = Limits(100, None, stall=5)
    limits.told((0, 100), (0, 50))
    assert not limits.stop_a_run()
    clock[0] = 5
    assert limits.stop_a_run()
    assert limits.stopped == Stopped(StoppedBy.STALL, seconds=5)


def test_where_only_work_counts_a_stall_is_measured_in_work(clock: list[float]) -> None:
    limits = Limits(None, 100, stall=5)
    assert limits.patience == float("inf")
    limits.told((0, 100), (0, 50))
    assert limits.patience == 5
    assert not limits.used_up()
    clock[0] = 1000
    assert not limits.used_up()
    limits.spend(5)
    assert not limits.stop_a_run()  # how far a run has come by now depends on the machine
    assert limits.used_up()
    assert limits.stopped == Stopped(StoppedBy.STALL, effort=5)


def test_what_the_user_wants_comes_first() -> None:
    limits = Limits(0, 0, gap=0.5)
    limits.told((0, 100), (0, 100))
    limits.interrupted = True
    assert limits.used_up()
    assert limits.stop_a_run()
    assert limits.stopped == Stopped(StoppedBy.INTERRUPTION)


def gap_of(result: Result) -> float:
    tier = result.tiers[1]
    assert tier.name is TierName.MAKESPAN
    return tier.gap


def stopped_by(result: Result) -> StoppedBy | None:
    return None if result.stopped is None else result.stopped.by


def in_time(problem: Problem) -> Problem:
    """The same without due times, so that the makespan is all that counts."""
    return replace(problem, deliveries=())


@pytest.mark.parametrize("gap", [0.2, 0.04])
def test_a_solve_without_time_limit_ends_within_the_gap_and_says_so(gap: float) -> None:
    """The larger gap is reached by rules alone, the smaller one in the middle of a run of the solver."""
    problem = in_time(kitchen(5, 5))
    result = solve(problem, workers=1, gap=gap)
    check(problem, result)
    assert (result.status, stopped_by(result)) == (Status.FEASIBLE, StoppedBy.GAP)
    assert 0 < gap_of(result) <= gap


def test_a_solve_without_time_limit_ends_when_it_stalls() -> None:
    problem = kitchen(6, 6)
    result = solve(problem, workers=1, stall=0.5)
    check(problem, result)
    assert (result.status, stopped_by(result)) == (Status.FEASIBLE, StoppedBy.STALL)


def test_a_stall_does_not_end_the_search_before_it_has_tried_to_improve_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    begun: list[Phase] = []
    begin = search.Search._begin

    def noted(self: search.Search, phase: Phase) -> None:
        begun.append(phase)
        begin(self, phase)

    monkeypatch.setattr(search.Search, "_begin", noted)
    result = solve(in_time(kitchen(6, 6)), effort=50, stall=0.1)
    assert stopped_by(result) is StoppedBy.STALL
    assert begun[:2] == [Phase.EXACT, Phase.IMPROVE]


@pytest.mark.parametrize("workers", [1, 2])
def test_a_stall_in_effort_is_repeated_exactly(workers: int) -> None:
    problem = kitchen(4, 4)
    first = solve(problem, effort=50, stall=0.05, workers=workers)
    check(problem, first)
    assert stopped_by(first) is StoppedBy.STALL
    assert solve(problem, effort=50, stall=0.05, workers=workers) == first


def test_a_run_that_improves_goes_on_beyond_the_patience(monkeypatch: pytest.MonkeyPatch) -> None:
    runs, solve_once = [], cp_model.CpSolver.solve

    def counted(*arguments: Any) -> Any:
        runs.append(arguments)
        return solve_once(*arguments)

    monkeypatch.setattr(cp_model.CpSolver, "solve", counted)
    problem = in_time(kitchen(5, 5))
    windows = find_windows(problem)
    assert isinstance(windows, Windows)
    model = Model(problem, windows)
    model.proto.minimize(model.objectives.makespan)
    limits = Limits(None, 100, stall=0.2)
    values: list[int | None] = []

    def report(value: int | None, bound: int) -> bool:
        values.append(value)
        return limits.told(None if value is None else (0, value), (0, bound))

    limits.told((0, windows.horizon), (0, 0))
    answer = run(model.proto, limits, Settings(seed=0, workers=1), report=report)
    assert len(runs) > 1
    assert answer.status == cp_model.OPTIMAL
    assert answer.value(model.objectives.makespan) == answer.bound == values[-1]


@pytest.mark.parametrize("workers", [1, 2])
def test_a_gap_under_effort_is_repeated_exactly(workers: int) -> None:
    problem = in_time(kitchen(4, 4))
    first = solve(problem, effort=2, gap=0.2, workers=workers)
    assert stopped_by(first) is StoppedBy.GAP
    assert solve(problem, effort=2, gap=0.2, workers=workers) == first


def test_what_is_proved_has_not_been_stopped() -> None:
    result = solve(Problem((task(3), task(4))), time_limit=10, gap=0.5, stall=5, workers=1)
    assert (result.status, stopped_by(result)) == (Status.OPTIMAL, None)


def test_a_used_up_limit_is_told() -> None:
    assert solve(kitchen(6, 6), effort=0.1).stopped == Stopped(StoppedBy.EFFORT, effort=0.1)
    assert solve(kitchen(6, 6), time_limit=0.5, workers=1).stopped == Stopped(StoppedBy.TIME, seconds=0.5)


def test_progress_names_the_phase_and_the_gap() -> None:
    told: list[Progress] = []
    solve(kitchen(3, 2), effort=0.5, on_progress=told.append)
    assert told[0].phase is Phase.CONSTRUCT
    assert {Phase.EXACT, Phase.TIDY} & {moment.phase for moment in told}
    moment = Progress(Phase.EXACT, TierName.MAKESPAN, 200, 150, 1.0)
    assert moment.gap == 0.25
    assert Progress(Phase.EXACT, TierName.MAKESPAN, 0, 0, 1.0).gap == 0
    assert Progress(Phase.EXACT, TierName.MAKESPAN, None, 150, 1.0).gap is None


def test_the_share_used_is_that_of_the_tighter_limit() -> None:
    limits = Limits(None, 4.0)
    limits.spend(1.0)
    assert limits.bounded
    assert limits.share_used == 0.25
    endless = Limits(None, None)
    endless.spend(5.0)
    assert (endless.bounded, endless.share_used) == (False, 0.0)
