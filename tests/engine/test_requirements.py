"""A problem without one of its requirements: what no longer counts, and what still does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stationplan.engine import solve
from stationplan.engine.problem import Chamber, Closure, Delivery, Hold, Link, Mode, Pool, Problem, Task, Use
from stationplan.engine.requirements import Requirement, without

from .brute_force import optimum
from .build import chain, makespan, start_lag, task
from .random_problems import random_problem
from .test_core import everything_of


def bake(state: str, minutes: int = 3, chambers: tuple[int, ...] = (0,)) -> Task:
    return Task(state, (Mode(minutes, (Use(chambers, state=state),)),))


@pytest.mark.parametrize("chunk", range(4))
def test_whatever_is_left_out_no_schedule_is_lost(chunk: int) -> None:
    for seed in range(70_000 + 10 * chunk, 70_010 + 10 * chunk):
        problem = random_problem(seed, tasks=4, horizon=8, longest=3)
        if problem.horizon is None or optimum(problem) is None:
            continue
        for part in everything_of(problem):
            relaxed = without(problem, [part])
            # Without an end there is too much to try for brute force.
            found = solve(relaxed, workers=1).schedule if part.horizon else optimum(relaxed)
            assert found is not None, f"seed {seed}: {part}"


def test_a_least_becomes_nothing_and_the_order_stays() -> None:
    problem = Problem((task(2), task(2)), links=(Link(0, 1, 5, 9),))
    assert without(problem, [Requirement(leasts=(0,))]).links == (Link(0, 1, 0, 9),)
    negative = Problem((task(2), task(2)), links=(Link(0, 1, -5, -1),))
    assert without(negative, [Requirement(leasts=(0,))]) == negative


def test_a_most_falls_away() -> None:
    problem = Problem((task(2), task(2)), links=(Link(0, 1, 5, 9),))
    assert without(problem, [Requirement(mosts=(0,))]).links == (Link(0, 1, 5, None),)


def test_as_many_of_a_pool_as_wanted_are_closed_when_all_of_it_is() -> None:
    pool = Pool("hands", 2, (Closure(0, 4, 2), Closure(6, 8, 1)))
    problem = Problem((task(3, 0),) * 3, (pool,))
    assert makespan(without(problem, [Requirement(limits=(0,))])) == 7


def test_a_pool_without_its_closures_keeps_its_number() -> None:
    problem = Problem((task(3, 0),) * 3, (Pool("hands", 2, (Closure(0, 4, 2),)),))
    assert makespan(without(problem, [Requirement(closures=(0,))])) == 6


def test_a_chamber_without_its_closures_need_not_get_hot_again() -> None:
    problem = Problem((bake("hot"), bake("hot")), (Chamber("oven", 1, {}, {"hot": 2}, closures=(Closure(5, 9, 1),)),))
    assert makespan(problem) == 9 + 2 + 3
    assert makespan(without(problem, [Requirement(closures=(0,))])) == 2 + 3 + 3


def test_a_task_may_start_before_what_it_waits_for() -> None:
    problem = Problem((task(2), replace(task(2), release=7)))
    assert makespan(problem) == 9
    assert makespan(without(problem, [Requirement(releases=(1,))])) == 2


def test_as_many_chambers_as_wanted_must_each_get_hot_but_need_no_changes() -> None:
    oven = Chamber("oven", 1, {("hot", "mild"): 5, ("mild", "hot"): 5, ("hot", "hot"): 1}, {"hot": 4, "mild": 2})
    problem = Problem((bake("hot"), bake("hot"), bake("mild")), (oven,))
    assert makespan(problem) == 2 + 3 + 5 + 3 + 1 + 3
    assert makespan(without(problem, [Requirement(limits=(0,))])) == 4 + 3
    assert makespan(without(problem, [Requirement(firsts=(0,))])) == 3 + 5 + 3 + 1 + 3
    assert makespan(without(problem, [Requirement(changeovers=(0,))])) == 2 + 3 + 3 + 3
    assert makespan(without(problem, [Requirement(limits=(0,)), Requirement(firsts=(0,))])) == 3


def test_one_of_two_chambers_may_be_had_as_often_as_wanted() -> None:
    ovens = (Chamber("old", 1, first={"hot": 9}), Chamber("new", 1, first={"hot": 1}))
    problem = Problem((bake("hot", chambers=(0, 1)),) * 5, ovens)
    assert makespan(without(problem, [Requirement(limits=(1,))])) == 4


def test_tasks_are_left_out_with_their_links_holds_and_deliveries() -> None:
    tasks = (task(1), task(9), task(1), task(1))
    holds = (Hold(1, 2, (0,)), Hold(0, 2, (0,), 1, beside=0), Hold(0, 3, (0,), 1, beside=0))
    problem = Problem(
        tasks,
        (Pool("rack", 3),),
        (Link(0, 1), Link(0, 2)),
        holds,
        (Delivery("cake", (1, 3), 5),),
        series=(((0,), (1,)), ((2,), (3,))),
    )
    left = without(problem, [Requirement(tasks=(1,))])
    assert left.tasks == (tasks[0], tasks[2], tasks[3])
    assert left.links == (Link(0, 1),)
    # The first of those that stand together is gone, so the next leads.
    assert left.holds == (Hold(0, 1, (0,)), Hold(0, 2, (0,), 1, beside=0))
    assert left.deliveries == (Delivery("cake", (2,), 5),)
    assert left.series == (((1,), (2,)),)


def test_without_an_end_only_deadlines_of_their_own_are_left() -> None:
    early, late = task(3, 0, deadline=4), task(3, 0, deadline=5)
    problem = Problem((early, late, late), (Pool("machine", 1),), horizon=5)
    free = without(problem, [Requirement(horizon=True)])
    assert [each.deadline for each in free.tasks] == [4, None, None]
    assert makespan(free) == 9


def test_without_an_end_who_is_away_until_then_does_not_come_back() -> None:
    gone = Pool("hands", 1, (Closure(4, 6, 1),))
    problem = Problem((task(3, 0),) * 2, (gone,), horizon=6)
    assert makespan(without(problem, [Requirement(horizon=True)])) is None
    back = replace(problem, resources=(Pool("hands", 1, (Closure(4, 5, 1),)),))
    assert makespan(without(back, [Requirement(horizon=True)])) == 8


def test_a_task_is_left_out_when_no_requirement_that_is_kept_has_it() -> None:
    problem = Problem((task(1), task(2), task(4)), links=chain(0, 2))
    one, other = Requirement(tasks=(0, 1)), Requirement(tasks=(0, 2))
    assert without(problem, [one], [other]).tasks == (task(1), task(4))
    assert without(problem, [other], [one]).tasks == (task(1), task(2))
    assert without(problem, [one, other]).tasks == ()


def test_a_problem_without_an_end_of_its_own_has_none_to_leave_out() -> None:
    problem = Problem((task(2), task(2)), links=(start_lag(0, 1, 3),))
    assert without(problem, [Requirement(horizon=True)]) == problem
    assert solve(problem, workers=1).schedule is not None
