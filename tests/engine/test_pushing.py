"""Tasks keep to where they were to be, later where they must be, and sooner only where what has begun asks for it."""

from __future__ import annotations

import pytest

from stationplan.engine import Assignment, Hold, Link, Mode, Pool, Problem, Task, Use, solve
from stationplan.engine.pushing import push

from .random_problems import random_problem


def test_what_must_follow_something_that_began_early_comes_sooner_by_no_more_than_it_must() -> None:
    pairs = 10
    begun = tuple(Task(f"begun {n}", (Mode(10),), fixed_start=n) for n in range(pairs))
    to_come = tuple(Task(f"to come {n}", (Mode(5, (Use((0,), 1),)),)) for n in range(pairs))
    links = tuple(Link(n, pairs + n, 0, 60) for n in range(pairs))
    problem = Problem((*begun, *to_come), (Pool("hands", 2),), links, horizon=500)
    wished = {pairs + n: Assignment(200 + 10 * n, 0, (0,)) for n in range(pairs)}
    pushed = push(problem, wished, {})
    assert pushed.schedule is not None
    starts = [pushed.schedule.tasks[pairs + n].start for n in range(pairs)]
    # Each of them no later than 60 minutes after the end at 10 + n, and two at a time in the order of the wishes.
    assert all(start <= 70 + n for n, start in enumerate(starts))
    assert starts[0] == 70


def test_what_can_stay_as_it_was_stays_whatever_order_it_came_about_in() -> None:
    unchanged = 0
    for seed in range(40):
        problem = random_problem(seed)
        schedule = None if problem.consumables else solve(problem, effort=0.1).schedule
        if schedule is not None:
            wished = dict(enumerate(schedule.tasks))
            assert push(problem, wished, dict(enumerate(schedule.holds))).schedule == schedule
            unchanged += 1
    assert unchanged > 10


@pytest.mark.parametrize("lots", [1, 2, 3])
def test_what_stands_until_one_task_stands_together_where_that_comes_later_than_expected(lots: int) -> None:
    fridge, worker, other = Pool("fridge", lots), Pool("worker", 1), Pool("other", 1)
    begun = tuple(Task(f"lot {n}", (Mode(5),), fixed_start=0) for n in range(lots))
    busy = Task("busy", (Mode(5, (Use((1,), 1),)),), fixed_start=10)
    taker = Task("taker", (Mode(2, (Use((1,), 1),)),))
    stands = Task("stands", (Mode(2, (Use((2,), 1),)),), release=6)
    last = Task("last", (Mode(2, (Use((2,), 1),)),), release=6)
    takes, comes, goes = lots + 1, lots + 2, lots + 3
    holds = (*(Hold(n, takes, (0,), 1) for n in range(lots)), Hold(comes, goes, (0,), 1))
    problem = Problem((*begun, busy, taker, stands, last), (fridge, worker, other), (), holds, horizon=60)
    wished = {takes: Assignment(10, 0, (1,)), comes: Assignment(8, 0, (2,)), goes: Assignment(20, 0, (2,))}
    schedule = push(problem, wished, dict.fromkeys(range(len(holds)), 0)).schedule
    assert schedule is not None
    assert [schedule.tasks[task].start for task in (takes, comes, goes)] == [15, 13, 20]
