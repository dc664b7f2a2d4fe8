"""Parts of a schedule to decide anew."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from stationplan.engine.justify import Builder, Built
from stationplan.engine.limits import Limits
from stationplan.engine.neighbourhood import Cut, Kind, Part, choose, model_of
from stationplan.engine.problem import Assignment, Link, LinkKind, Pool, Problem, Schedule
from stationplan.engine.result import Conflict
from stationplan.engine.solver import Settings, run
from stationplan.engine.verify import verify
from stationplan.engine.windows import Windows, find_windows

from .build import chain, kitchen, start_lag, task


def prepared(problem: Problem, order: int = -1) -> tuple[Problem, Windows, Builder, Built]:
    windows = find_windows(problem)
    assert not isinstance(windows, Conflict)
    problem = replace(problem, horizon=windows.horizon)
    builder = Builder(problem, windows)
    # A bad order unless told otherwise, so that there is something to gain.
    found = builder.left([order * float(number) for number in range(len(problem.tasks))])
    assert found is not None
    return problem, windows, builder, found


def cut_of(builder: Builder, found: Built, end: int) -> Cut:
    right = builder.right(found.schedule, end, {})
    assert right is not None
    return Cut(found.schedule, right, end, {})


KITCHEN = replace(kitchen(3, 4), deliveries=())


@pytest.mark.parametrize("kind", list(Kind))
def test_no_task_is_free_and_fixed(kind: Kind) -> None:
    problem, _, builder, found = prepared(KITCHEN)
    cut = cut_of(builder, found, found.cost[1])
    groups = {number: number // 3 for number in range(len(problem.tasks))}
    draw = random.Random(0)
    for _ in range(50):
        part = choose(problem, cut, groups, kind, 10, draw)
        assert not part.free & part.before
        assert 0 < len(part.free) <= 20


def test_what_has_begun_stays_on_the_left() -> None:
    first, *rest = KITCHEN.tasks
    problem, _, builder, found = prepared(replace(KITCHEN, tasks=(replace(first, fixed_start=40), *rest)), order=1)
    cut = cut_of(builder, found, found.cost[1])
    groups = dict.fromkeys(range(len(problem.tasks)), 0)
    draw = random.Random(0)
    for kind in Kind:
        for _ in range(20):
            part = choose(problem, cut, groups, kind, 30, draw)
            assert 0 in part.before


@pytest.mark.parametrize("kind", list(Kind))
def test_what_a_part_finds_is_a_shorter_schedule(kind: Kind) -> None:
    problem, windows, builder, found = prepared(KITCHEN)
    cut = cut_of(builder, found, found.cost[1] - 5)
    groups = {number: number // 3 for number in range(len(problem.tasks))}
    relations = (*problem.links, *(Link(hold.before, hold.after) for hold in problem.holds))
    draw = random.Random(1)
    shorter = 0
    for _ in range(25):
        part = choose(problem, cut, groups, kind, 16, draw)
        sub = model_of(problem, windows, relations, cut, part)
        if sub is None:
            continue
        answer = run(sub.model.proto, Limits(None, 1.0), Settings(0, 1), first_only=True)
        if answer.found:
            schedule = sub.schedule(problem, sub.model.read(answer.value))
            assert verify(problem, schedule) == ()
            assert max(schedule.end(problem, number) for number in range(len(problem.tasks))) <= cut.end
            shorter += 1
    assert shorter


def line(*starts: int) -> Schedule:
    return Schedule(tuple(Assignment(start, 0, (0,)) for start in starts))


def test_fixed_tasks_that_contradict_each_other_are_set_free() -> None:
    # Three tasks of 5 minutes by one pair of hands, the last at most 12 minutes after the first begins. The first stays
    # at 0; the last would go to 15, so both become free with the one in the middle. Ends 5 minutes late, and in time.
    problem = Problem(
        (task(5, 0), task(5, 0), task(5, 0)), (Pool("hands", 1),), (*chain(0, 1, 2), start_lag(0, 2, None, 12))
    )
    windows = find_windows(replace(problem, horizon=20))
    assert not isinstance(windows, Conflict)
    cut = Cut(line(0, 5, 10), line(5, 10, 15), 20, {})
    sub = model_of(problem, windows, problem.links, cut, Part(frozenset({1}), frozenset({0})))
    assert sub is not None
    assert sub.model.variables.free == {0, 1, 2}


@pytest.mark.parametrize("kind", list(LinkKind))
def test_a_lag_of_any_kind_across_the_cut_is_looked_at(kind: LinkKind) -> None:
    # Whatever its ends, a lag of at least 30 minutes is too much between a start at 0 and an end at 25.
    problem = Problem(
        (task(5, 0), task(5, 0), task(5, 0)), (Pool("hands", 1),), (Link(0, 2, 30, None, kind),), horizon=60
    )
    windows = find_windows(problem)
    assert not isinstance(windows, Conflict)
    cut = Cut(line(0, 5, 50), line(10, 15, 20), 60, {})
    sub = model_of(problem, windows, problem.links, cut, Part(frozenset({1}), frozenset({0})))
    assert sub is not None
    assert sub.model.variables.free == {0, 1, 2}
