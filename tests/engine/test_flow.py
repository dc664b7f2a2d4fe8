"""A makespan that prices prove too short is too short, and the flow through the others is an order to build in."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stationplan.engine import flow as flow_module
from stationplan.engine.bounds import lower_bounds
from stationplan.engine.flow import Flow, Outcome, orders_of_flow
from stationplan.engine.jobs import kinds_of_jobs
from stationplan.engine.justify import Builder
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Closure, Hold, Link, Pool, Problem
from stationplan.engine.symmetry import with_ordered_series
from stationplan.engine.windows import Windows, find_windows
from tests.benchmark.family import kitchen
from tests.benchmark.to_problem import to_problem

from .brute_force import optimum
from .build import chain, task
from .random_problems import random_problem

ENOUGH = Limits(None, 1e9)


def windows_of(problem: Problem) -> Windows:
    windows = find_windows(problem)
    assert isinstance(windows, Windows)
    return windows


def ask(problem: Problem, makespan: int) -> Outcome:
    windows = windows_of(problem)
    return Flow(problem, windows, kinds_of_jobs(problem, windows), 0).within(makespan, ENOUGH, 1.0)


def least_not_too_short(problem: Problem, most: int = 100) -> int:
    return next(makespan for makespan in range(1, most) if not ask(problem, makespan).too_short)


@pytest.mark.parametrize("chunk", range(4))
def test_no_makespan_that_is_possible_is_called_too_short(chunk: int) -> None:
    proved = 0
    for seed in range(80_000 + chunk * 40, 80_000 + (chunk + 1) * 40):
        problem = replace(random_problem(seed), deliveries=())
        least = optimum(problem)
        if least is None or not isinstance(find_windows(problem), Windows):
            continue
        windows = windows_of(problem)
        flow = Flow(problem, windows, kinds_of_jobs(problem, windows), 0)
        # From long to short, so that what is found for one makespan is there when the next is asked about.
        for makespan in range(least.makespan + 8, max(0, least.makespan - 3), -1):
            too_short = flow.within(makespan, ENOUGH, 1.0).too_short
            assert not (too_short and makespan >= least.makespan), f"seed {seed}: {makespan}"
            proved += too_short
    assert proved > 10


def test_work_on_one_machine_takes_as_long_as_it_takes() -> None:
    # 2 minutes before and 3 after each of three turns of 4: 2 + 3 * 4 + 3, as Carlier's bound has it (1982).
    stages = [number for row in range(3) for number in (2, 4, 3)]
    problem = Problem(
        tuple(task(length, 0) if length == 4 else task(length) for length in stages),
        (Pool("machine", 1),),
        links=tuple(link for row in range(3) for link in chain(3 * row, 3 * row + 1, 3 * row + 2)),
    )
    assert least_not_too_short(problem) == 17


def test_what_is_closed_is_not_on_offer() -> None:
    # 4 minutes of work, closed from 1 to 6: 1 before, 3 after.
    problem = Problem(tuple(task(1, 0) for _ in range(4)), (Pool("machine", 1, (Closure(1, 6, 1),)),))
    assert least_not_too_short(problem) == 9


def test_what_was_closed_before_the_first_minute_is_on_offer() -> None:
    problem = Problem(tuple(task(1, 0) for _ in range(4)), (Pool("machine", 1, (Closure(-3, -1, 1),)),))
    assert least_not_too_short(problem) == 4


def test_what_is_kept_between_two_tasks_is_paid_for() -> None:
    # Three things stay in the only place for 4 minutes each, whatever comes before and after.
    tasks = tuple(part for _ in range(3) for part in (task(1), task(1)))
    links = tuple(Link(2 * row, 2 * row + 1, 4) for row in range(3))
    holds = tuple(Hold(2 * row, 2 * row + 1, (0,)) for row in range(3))
    assert least_not_too_short(Problem(tasks, (Pool("place", 1),), links, holds)) == 1 + 3 * 4 + 1


def test_two_resources_together_tell_more_than_each_alone() -> None:
    # The ovens of this kitchen finish much of their work only when its freezer is long needed.
    problem = to_problem(kitchen(2, 5, 4, "ovens"))
    alone = lower_bounds(problem, windows_of(problem))[0].minutes
    assert ask(problem, alone).too_short


def test_the_order_of_a_flow_keeps_all_lags_and_the_order_of_alike_jobs() -> None:
    problem = to_problem(kitchen(2, 5, 0, "people"))
    windows = windows_of(problem)
    key = ask(problem, 700).key
    assert key is not None
    assert all(key[after] >= key[before] + weight for before, after, weight in windows.arcs)
    for kind in kinds_of_jobs(problem, windows):
        for stage in zip(*kind.jobs, strict=True):
            assert [key[task] for task in stage] == sorted(key[task] for task in stage)


def test_schedules_built_in_the_order_of_a_flow_are_shorter_than_those_of_the_priority_rules() -> None:
    unordered = to_problem(kitchen(2, 10, 4, "ovens"))
    problem = with_ordered_series(unordered)
    windows = windows_of(problem)
    builder = Builder(problem, windows)
    rules = (builder.groups.urgency, builder.groups.tail, windows.earliest)
    by_rule = min(found.cost for rule in rules if (found := builder.build(rule)))
    orders = [key for _, key in orders_of_flow(unordered, 647, by_rule[1], Limits(None, 1.0), 1.0) if key]
    by_flow = min(found.cost for key in orders if (found := builder.build(key)))
    assert by_flow < by_rule


def test_jobs_that_are_all_different_have_no_flow(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(flow_module, "FEWEST_TASKS", 1)
    machine = (Pool("machine", 1),)
    assert not list(orders_of_flow(Problem((task(1, 0), task(2, 0)), machine), 1, 5, ENOUGH, 1.0))
    assert list(orders_of_flow(Problem((task(2, 0), task(2, 0)), machine), 1, 5, ENOUGH, 1.0))
