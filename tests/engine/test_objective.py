"""Deliveries, tidiness and series change optima: tiny instances, their optimum derived beside them."""

from __future__ import annotations

import pytest

from stationplan.engine import solve
from stationplan.engine.problem import (
    Chamber,
    Delivery,
    Hold,
    Link,
    Mode,
    Pool,
    Problem,
    Task,
    Use,
)

from .build import chain, check, costs, makespan, proved, task

ONE = (Pool("pool", 1),)
TWO = (Pool("pool", 2),)


# Deliveries and tidiness


def test_lateness_comes_before_makespan() -> None:
    # One machine, a cake of 2 due at 2, and dough of 3 that then rests for 5. Dough first: 3 + 5, but the cake is late.
    # Cake first: 2 + 3 + 5.
    tasks = (task(2, 0), task(3, 0), task(0))
    links = (Link(1, 2, 5),)
    due = (Delivery("cake", (0,), 2),)
    assert costs(Problem(tasks, ONE, links)) == (0, 8, 0)
    assert costs(Problem(tasks, ONE, links, deliveries=due)) == (0, 10, 0)


def test_weights_decide_which_delivery_is_late() -> None:
    # Both of 2 are due at 2 on one machine; the one with weight 1 is 2 late.
    tasks = (task(2, 0), task(2, 0))
    deliveries = (Delivery("light", (0,), 2, 1), Delivery("heavy", (1,), 2, 3))
    assert costs(Problem(tasks, ONE, deliveries=deliveries)) == (2, 4, 0)


def test_a_delivery_is_late_when_the_last_of_its_tasks_is() -> None:
    # Due at 2: the ends are 2 and 5, 3 late, once, not for each task.
    problem = Problem((task(2, 0), task(3, 0)), ONE, deliveries=(Delivery("both", (0, 1), 2),))
    assert costs(problem) == (3, 5, 0)


def test_a_delivery_of_no_weight_changes_nothing() -> None:
    assert costs(Problem((task(2),), deliveries=(Delivery("whenever", (0,), 0, 0),))) == (0, 2, 0)


def test_tidiness_shortens_waits_without_costing_time() -> None:
    # The last task decides on the makespan of 10. The second is released at 6, so the first, 2 long, waits until 4.
    problem = Problem((task(2), task(1, release=6), task(10)), links=(Link(0, 1, 0, tidy=1),))
    assert costs(problem) == (0, 10, 0)


def test_tidiness_counts_from_the_least() -> None:
    # The lag is 6 - 2, which is 3 more than the least of 1, at 2 a minute.
    problem = Problem((task(2, fixed_start=0), task(1, fixed_start=6)), links=(Link(0, 1, 1, tidy=2),))
    assert costs(problem) == (0, 7, 6)


def test_tidiness_never_costs_makespan() -> None:
    # One machine for the first, 2 long, and the third, 4 long: 6. The second is released at 5, so in this order it
    # waits 3 after the first. The other way round it would wait 0, but end at 7.
    problem = Problem((task(2, 0), task(1, release=5), task(4, 0)), ONE, links=(Link(0, 1, 0, tidy=1),))
    assert costs(problem) == (0, 6, 3)


def test_fewer_changes_of_state_are_tidier() -> None:
    # No changeover times: hot, mild, hot, mild in any order take 4; sorted by state there is 1 change, 10.
    bakes = tuple(task(1, 0, state=state) for state in ("hot", "mild", "hot", "mild"))
    assert costs(Problem(bakes, (Chamber("oven", 1),), tidy_changeover=10)) == (0, 4, 10)


def test_changes_of_state_cost_nothing_in_a_chamber_that_is_not_tidy() -> None:
    # Hot and mild bakes of 1 in turn, while a slow one of 4 keeps one of the ovens. So the other oven changes its state
    # three times, which is free in the second.
    turns = [Task(state, (Mode(1, (Use((0, 1), state=state),)),)) for state in ("hot", "mild", "hot", "mild")]
    problem = Problem(
        (*turns, Task("slow", (Mode(4, (Use((0, 1), state="slow"),)),))),
        (Chamber("tidy", 1), Chamber("not tidy", 1, tidy=False)),
        links=chain(0, 1, 2, 3),
        tidy_changeover=10,
    )
    assert costs(problem) == (0, 4, 0)


def test_the_change_of_state_is_weighed_against_waits() -> None:
    # Two hot bakes fixed at 0 and at 2, a mild one that may start at 1. Between the hot ones it waits 0 and makes two
    # changes at 4 each: 8. After them it waits 2 and makes one change: 3 * 2 + 4 = 10, or 1 * 2 + 4 = 6.
    # A task of 9 decides on the makespan.
    def problem(tidy: int) -> Problem:
        hot = [task(1, 0, state="hot", fixed_start=start) for start in (0, 2)]
        tasks = (*hot, task(1, 0, state="mild"), task(1, fixed_start=0), task(9))
        return Problem(tasks, (Chamber("oven", 1),), links=(Link(3, 2, 0, tidy=tidy),), tidy_changeover=4)

    assert costs(problem(3)) == (0, 9, 8)
    assert costs(problem(1)) == (0, 9, 6)


def test_a_task_with_a_choice_of_states_takes_the_tidier_one() -> None:
    # Two modes of the same task in one chamber exclude each other: hot like the other bake, no change.
    either = Task("either", (Mode(2, (Use((0,), state="mild"),)), Mode(2, (Use((0,), state="hot"),))))
    problem = Problem((task(2, 0, state="hot"), either), (Chamber("oven", 1),), tidy_changeover=10)
    assert costs(problem) == (0, 4, 0)


# Series


@pytest.mark.parametrize("ordered", [False, True])
def test_a_series_has_the_optimum_of_its_tasks(ordered: bool) -> None:
    # Three batches, 2 on machine 0 then 3 on machine 1, a flow shop: 2 + 3 * 3.
    tasks = tuple(task(3 if stage else 2, stage) for _ in range(3) for stage in range(2))
    links = tuple(link for batch in range(3) for link in chain(2 * batch, 2 * batch + 1))
    series = (((0, 1), (2, 3), (4, 5)),) if ordered else ()
    assert makespan(Problem(tasks, (*ONE, Pool("other", 1)), links, series=series)) == 11


def test_the_batches_of_a_series_start_in_order() -> None:
    tasks = tuple(task(2, 0) for _ in range(5))
    schedule = proved(Problem(tasks, ONE, series=(tuple((index,) for index in (3, 1, 4, 0, 2)),))).schedule
    assert schedule is not None
    assert [schedule.tasks[index].start for index in (3, 1, 4, 0, 2)] == [0, 2, 4, 6, 8]


@pytest.mark.parametrize("duplicated", [0, 1])
def test_a_batch_that_is_held_twice_is_not_like_one_that_is_held_once(duplicated: int) -> None:
    # Rack of 2; each batch rests 3 after a step of 1 or more; the batch held twice fills the rack alone, so the batches
    # do not rest at once: 1 + 3 + 3 + 1.
    tasks = (task(1), task(1), task(1), task(1))
    holds = (Hold(0, 1, (0,)), Hold(2, 3, (0,)), Hold(2 * duplicated, 2 * duplicated + 1, (0,)))
    problem = Problem(tasks, TWO, (Link(0, 1, 3), Link(2, 3, 3)), holds, series=(((0, 1), (2, 3)),))
    assert makespan(problem) == 8


def test_a_batch_that_something_else_waits_for_may_go_first() -> None:
    # The second batch is needed by a task of 9: it goes first, although it is the second of its series. 2 + 9.
    problem = Problem((task(2, 0), task(2, 0), task(9)), ONE, links=(Link(1, 2),), series=(((0,), (1,)),))
    assert makespan(problem) == 11


def test_the_result_tells_what_each_tier_is_worth() -> None:
    problem = Problem((task(2, 0), task(2, 0)), ONE, deliveries=(Delivery("cake", (0, 1), 3),))
    result = solve(problem, workers=1)
    check(problem, result)
    assert [(tier.value, tier.bound, tier.gap) for tier in result.tiers] == [(1, 1, 0), (4, 4, 0), (0, 0, 0)]
