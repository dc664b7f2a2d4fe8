"""Links and holds change optima: tiny instances, their optimum derived beside them."""

from __future__ import annotations

from stationplan.engine import solve
from stationplan.engine.problem import (
    Closure,
    Hold,
    Link,
    LinkKind,
    Mode,
    Pool,
    Problem,
    Task,
    Use,
)
from stationplan.engine.result import Status

from .build import makespan, proved, start_lag, task

ONE = (Pool("pool", 1),)
TWO = (Pool("pool", 2),)


# Links


def test_an_end_start_lag_has_a_least() -> None:
    # 2, then 4 of rest, then 3.
    assert makespan(Problem((task(2), task(3)), links=(Link(0, 1, 4),))) == 9


def test_an_end_start_lag_may_be_negative() -> None:
    # The second may start 1 before the first ends: 4 - 1 + 3.
    assert makespan(Problem((task(4), task(3)), links=(Link(0, 1, -1),))) == 6


def test_a_most_lag_holds_the_first_task_back() -> None:
    # The second task is released at 6, so with a lag of 1 at most the first one may not end before 5. The third goes
    # before it on their machine, 0 to 4, the first 4 to 6, the second 6 to 8. The third after the first: 5 + 4 or more.
    problem = Problem((task(2, 0), task(2, release=6), task(4, 0)), ONE, links=(Link(0, 1, 0, 1),))
    schedule = proved(problem).schedule
    assert schedule is not None
    assert [assignment.start for assignment in schedule.tasks] == [4, 6, 0]


def test_a_most_lag_may_cost_time() -> None:
    # Two chains 3, rest, 2 on one machine. A rest of 1 or more: 3 3 2 2. A rest of exactly 1: nothing fits into it,
    # so 3 + 1 + 2, twice.
    tasks = (task(3, 0), task(2, 0), task(3, 0), task(2, 0))
    assert makespan(Problem(tasks, ONE, links=(Link(0, 1, 1), Link(2, 3, 1)))) == 10
    assert makespan(Problem(tasks, ONE, links=(Link(0, 1, 1, 1), Link(2, 3, 1, 1)))) == 12


def test_a_start_start_lag_is_measured_from_start_to_start() -> None:
    # Starts 2 apart at least: 2 + 3; 0 apart at most, in spite of the release at 4: 4 + 5.
    assert makespan(Problem((task(4), task(3)), links=(start_lag(0, 1, 2),))) == 5
    assert makespan(Problem((task(5), task(3, release=4)), links=(start_lag(0, 1, 0, 0),))) == 9


def test_an_end_end_lag_is_measured_from_end_to_end() -> None:
    # The second ends 3 after the first: 2 + 3.
    assert makespan(Problem((task(2), task(1)), links=(Link(0, 1, 3, kind=LinkKind.END_END),))) == 5


def test_a_start_end_lag_is_measured_from_start_to_end() -> None:
    # The second ends 6 after the start of the first, which is released at 1: 7.
    assert makespan(Problem((task(2, release=1), task(1)), links=(Link(0, 1, 6, kind=LinkKind.START_END),))) == 7


def test_a_most_start_end_lag_pulls_the_first_task_towards_the_second() -> None:
    # The second is released at 5 and is 2 long; at most 4 from the start of the first (8 long) to its end: 3 + 8.
    link = Link(0, 1, None, 4, LinkKind.START_END)
    assert makespan(Problem((task(8), task(2, release=5)), links=(link,))) == 11


def test_lags_count_with_the_mode_that_is_chosen() -> None:
    # The 5 and the second task end together. In its mode of 1, which needs no pool, the second starts 4 after the
    # first, and the third task, 4 long, is done meanwhile: 5. With 3 at most from start to start only the mode of 3 is
    # left; it shares the pool with the third: 4 + 3.
    second = Task("second", (Mode(3, (Use((0,)),)), Mode(1)))
    links = (Link(0, 1, 0, 0, LinkKind.END_END), start_lag(0, 1, None, 3))
    assert makespan(Problem((task(5), second, task(4, 0)), ONE, links=links[:1])) == 5
    assert makespan(Problem((task(5), second, task(4, 0)), ONE, links=links)) == 7


def test_lags_that_contradict_each_other_leave_no_schedule_and_are_named() -> None:
    # 1 at least 5 after 0, 0 at most 4 before 1.
    problem = Problem((task(1), task(1)), links=(start_lag(0, 1, 5), start_lag(1, 0, -4)))
    result = solve(problem, workers=1)
    assert result.status is Status.INFEASIBLE
    assert [(conflict.kind, set(conflict.tasks)) for conflict in result.conflicts] == [("cycle", {0, 1})]


# Holds


def test_a_hold_takes_its_place_from_the_end_to_the_start() -> None:
    # Both batches rest 4 between their steps in a rack of one: the second step of the first starts at 1 + 4, then the
    # second batch may come out of its first step: 5 + 4 + 1. With a rack of two both rest at once: 1 + 4 + 1.
    tasks = (task(1), task(1), task(1), task(1))
    links = (Link(0, 1, 4), Link(2, 3, 4))
    holds = (Hold(0, 1, (0,)), Hold(2, 3, (0,)))
    assert makespan(Problem(tasks, ONE, links=links, holds=holds)) == 10
    assert makespan(Problem(tasks, TWO, links=links, holds=holds)) == 6


def test_a_hold_goes_on_until_the_next_task_really_starts() -> None:
    # The first batch is in the rack from 1 until its next step is released at 6, not only for its least rest of 1. So
    # the other batch rests from 6 to 8, and its last step ends at 9.
    tasks = (task(1, fixed_start=0), task(1, release=6), task(1), task(1))
    problem = Problem(tasks, ONE, links=(Link(0, 1, 1), Link(2, 3, 2)), holds=(Hold(0, 1, (0,)), Hold(2, 3, (0,))))
    assert makespan(problem) == 9


def test_a_hold_may_choose_its_place() -> None:
    tasks = (task(1), task(1), task(1), task(1))
    links = (Link(0, 1, 4), Link(2, 3, 4))
    holds = (Hold(0, 1, (0, 1)), Hold(2, 3, (0,)))
    assert makespan(Problem(tasks, (*ONE, Pool("other", 1)), links=links, holds=holds)) == 6


def test_a_hold_counts_its_amount() -> None:
    tasks = (task(1), task(1), task(1), task(1))
    links = (Link(0, 1, 4), Link(2, 3, 4))
    holds = (Hold(0, 1, (0,), 2), Hold(2, 3, (0,), 2))
    assert makespan(Problem(tasks, (Pool("rack", 3),), links=links, holds=holds)) == 10
    assert makespan(Problem(tasks, (Pool("rack", 4),), links=links, holds=holds)) == 6


def test_a_hold_puts_its_tasks_in_order() -> None:
    assert makespan(Problem((task(3), task(2)), ONE, holds=(Hold(0, 1, (0,)),))) == 5


def test_a_hold_of_no_length_needs_no_room() -> None:
    # A task of 9 takes the only place all the time; the other two follow each other without a stay.
    tasks = (task(3), task(3), task(9, 0))
    assert makespan(Problem(tasks, ONE, holds=(Hold(0, 1, (0,)),))) == 9


def test_a_hold_respects_closures() -> None:
    # The place is closed from 2 to 4, and a rest of 3 from 1 on would reach into it: it begins at 4. 4 + 3 + 1.
    problem = Problem(
        (task(1), task(1)), (Pool("rack", 1, (Closure(2, 4, 1),)),), (Link(0, 1, 3),), (Hold(0, 1, (0,)),)
    )
    assert makespan(problem) == 8


def test_a_hold_follows_the_mode_that_is_chosen() -> None:
    # After the mode of 1 the rest of 2 lasts from 1 to 3, when the rack closes until 6; after the mode of 4 it could
    # not begin before 6. The mode of 1 needs a person, so another task for that person goes second: 1 + 2 + 1.
    first = Task("first", (Mode(4), Mode(1, (Use((1,)),))))
    rack = Pool("rack", 1, (Closure(3, 6, 1),))
    relations = ((Link(0, 1, 2),), (Hold(0, 1, (0,)),))
    assert makespan(Problem((first, task(1), task(1, 1)), (rack, Pool("person", 1)), *relations)) == 4
    # With the person busy until 1 the rest would reach to 4: it begins at 6. 6 + 2 + 1.
    assert makespan(Problem((first, task(1), task(1, 1, fixed_start=0)), (rack, Pool("person", 1)), *relations)) == 9


def test_holds_that_stand_together_take_the_same_place() -> None:
    # Two racks of 1; what tasks 0 and 1 make (a minute each) stays 2 minutes at least, then a minute of tasks 2 and 3.
    # Apart, both stays go from 1 to 3: 4. Together in one rack the second goes from 3 to 5: 6.
    racks = (Pool("left", 1), Pool("right", 1))
    tasks = (task(1), task(1), task(1), task(1))
    links = (Link(0, 2, 2), Link(1, 3, 2))
    apart = (Hold(0, 2, (0, 1)), Hold(1, 3, (0, 1)))
    assert makespan(Problem(tasks, racks, links, apart)) == 4
    beside = (Hold(0, 2, (0, 1)), Hold(1, 3, (0, 1), beside=0))
    result = proved(Problem(tasks, racks, links, beside))
    assert result.schedule is not None
    assert result.schedule.holds[0] == result.schedule.holds[1]
    assert result.tiers[1].value == 6


def test_holds_that_stand_together_may_all_go_where_there_is_room() -> None:
    # The left rack is closed until 10, the right one never: both stays of 2 minutes go right, and 3 + 1 = 4.
    racks = (Pool("left", 2, (Closure(0, 10, 2),)), Pool("right", 2))
    tasks = (task(1), task(1), task(1, release=3), task(1, release=3))
    stays = (Hold(0, 2, (0, 1)), Hold(1, 3, (0, 1), beside=0))
    assert makespan(Problem(tasks, racks, holds=stays)) == 4
