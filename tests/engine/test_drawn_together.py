"""Schedules drawn together in the order that they have."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stationplan.engine import solve
from stationplan.engine.drawn_together import drawn_together
from stationplan.engine.problem import (
    Assignment,
    Chamber,
    Closure,
    Delivery,
    Hold,
    Link,
    Pool,
    Problem,
    Schedule,
)
from stationplan.engine.result import Conflict, TierName
from stationplan.engine.verify import evaluate, verify
from stationplan.engine.windows import find_windows

from .build import kitchen, task
from .random_problems import random_problem


def drawn(problem: Problem, schedule: Schedule) -> Schedule:
    """The schedule drawn together; it is feasible before and after."""
    windows = find_windows(problem)
    assert not isinstance(windows, Conflict)
    assert verify(problem, schedule) == ()
    found = drawn_together(problem, windows, schedule, True, 0)
    assert found is not None
    assert verify(problem, found) == ()
    return found


def starts_of(schedule: Schedule) -> list[int]:
    return [place.start for place in schedule.tasks]


def at(*starts: int, holds: tuple[int, ...] = ()) -> Schedule:
    """Tasks on the first resource, all in their only mode."""
    return Schedule(tuple(Assignment(start, 0, (0,)) for start in starts), holds)


def test_what_waits_for_something_else_starts_just_in_time() -> None:
    # The second waits for its release at 20; the first is 2 long and may end then.
    problem = Problem((task(2, 0), task(1, 0, release=20)), (Pool("hands", 1),), (Link(0, 1, 0, tidy=1),), horizon=30)
    assert starts_of(drawn(problem, at(0, 20))) == [18, 20]


def test_the_order_on_a_resource_stays() -> None:
    # The third stands between the first and the second, 5 long: the first can end at 15 at the latest.
    tasks = (task(2, 0), task(1, 0, release=20), task(5, 0))
    problem = Problem(tasks, (Pool("hands", 1),), (Link(0, 1, 0, tidy=1),), horizon=30)
    assert starts_of(drawn(problem, at(0, 20, 2)))[0] == 13


def test_the_room_of_a_pool_is_handed_on() -> None:
    # Of three hands one is away: the third, 4 long, takes the hand of the first and gives it to the last.
    tasks = (task(3, 0), task(30, 0), task(4, 0), task(1, 0, release=20))
    problem = Problem(tasks, (Pool("hands", 3, (Closure(0, 100, 1),)),), (Link(0, 3, 0, tidy=1),), horizon=40)
    first, _, _, last = starts_of(drawn(problem, at(0, 0, 3, 30)))
    assert last - (first + 3) == 4


def test_nothing_is_moved_into_a_break() -> None:
    # Hands are away from 15 to 20: the first, 2 long, ends at 15.
    tasks = (task(2, 0), task(1, 0, release=20))
    problem = Problem(tasks, (Pool("hands", 1, (Closure(15, 20, 1),)),), (Link(0, 1, 0, tidy=1),), horizon=30)
    assert starts_of(drawn(problem, at(0, 20)))[0] == 13


def test_a_changeover_keeps_its_time() -> None:
    # Hot until 5 minutes before the mild use at 20.
    tasks = (task(2, 0, state="hot"), task(1, 0, state="mild", release=20))
    chamber = Chamber("oven", 1, {("hot", "mild"): 5})
    problem = Problem(tasks, (chamber,), (Link(0, 1, 0, tidy=1),), horizon=30)
    assert starts_of(drawn(problem, at(0, 20)))[0] == 13


def test_a_chamber_that_begins_anew_has_the_time_for_it() -> None:
    # It begins anew at 10 and is hot at 15. The first would wait less after 10, but stays before it.
    chamber = Chamber("oven", 1, first={"hot": 5}, restarts=(10,))
    tasks = (task(2, 0, state="hot", release=0), task(2, 0, state="hot"), task(1, 1, release=30))
    problem = Problem(tasks, (chamber, Pool("hands", 1)), (Link(0, 2, 0, tidy=2), Link(1, 2, 0, tidy=1)), horizon=40)
    schedule = Schedule((Assignment(5, 0, (0,)), Assignment(16, 0, (0,)), Assignment(30, 0, (1,))))
    assert starts_of(drawn(problem, schedule)) == [8, 28, 30]
    # Taken up before it is made, so to say: the second comes as early as it may.
    early = replace(problem, links=(Link(2, 1, -40, tidy=1),))
    assert starts_of(drawn(early, schedule))[1] == 15


def test_what_goes_on_through_that_moment_keeps_the_chamber_as_it_is() -> None:
    chamber = Chamber("oven", 2, first={"hot": 5}, restarts=(10,))
    tasks = (task(4, 0, state="hot"), task(2, 0, state="hot"), task(1, 1, release=30))
    problem = Problem(tasks, (chamber, Pool("hands", 1)), (Link(0, 2, 0, tidy=1),), horizon=40)
    schedule = Schedule((Assignment(7, 0, (0,)), Assignment(11, 0, (0,)), Assignment(30, 0, (1,))))
    # It may begin at 9 at the latest; later the other could not begin at 11.
    assert starts_of(drawn(problem, schedule))[0] == 9


def test_a_place_takes_no_second_tray_before_the_first_is_gone() -> None:
    # One place to stand, and 15 minutes there for each: the second comes when the first is taken up, at 20.
    tasks = (task(1, 0), task(1, 0, release=20), task(1, 0), task(1, 0, deadline=36))
    links = (Link(0, 1, 15, tidy=1), Link(2, 3, 15, tidy=1))
    problem = Problem(tasks, (Pool("hands", 4), Pool("rack", 1)), links, (Hold(0, 1, (1,)), Hold(2, 3, (1,))))
    assert starts_of(drawn(problem, at(0, 20, 19, 35, holds=(1, 1)))) == [4, 20, 19, 35]


def test_an_order_in_time_stays_in_time_and_a_late_one_gets_no_later() -> None:
    # Both would wait less if they came later: the one due at 10 ends then, the one that is late stays where it is.
    tasks = (task(2, 0), task(2, 0), task(1, 0, release=30), task(1, 0, release=30))
    due = (Delivery("in time", (0,), 10), Delivery("late", (1,), 4))
    links = (Link(0, 2, 0, tidy=1), Link(1, 3, 0, tidy=1))
    problem = Problem(tasks, (Pool("hands", 4),), links, deliveries=due, horizon=40)
    assert starts_of(drawn(problem, at(0, 5, 30, 30))) == [8, 5, 30, 30]


@pytest.mark.parametrize("seed", range(20))
def test_random_schedules_get_no_worse(seed: int) -> None:
    problem = random_problem(64_000 + seed)
    found = solve(
        replace(problem, tidy_changeover=0, links=tuple(replace(link, tidy=0) for link in problem.links)), effort=1.0
    )
    if found.schedule is None:
        return
    tidier = replace(problem, links=tuple(replace(k, tidy=0 if k.least is None else 1) for k in problem.links))
    before, after = evaluate(tidier, found.schedule), evaluate(tidier, drawn(tidier, found.schedule))
    assert after <= before
    assert after.tidiness <= before.tidiness


def test_a_search_that_stops_at_a_gap_still_draws_its_schedule_together() -> None:
    problem = kitchen(4, 3)
    result = solve(problem, gap=1.0, effort=2.0)
    assert result.schedule is not None
    cost = {tier.name: tier.value for tier in result.tiers}[TierName.TIDINESS]
    assert evaluate(problem, drawn(problem, result.schedule)).tidiness == cost
