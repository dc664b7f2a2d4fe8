"""The check finds every kind of violation, and lets what is allowed pass."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from stationplan.engine.problem import (
    Assignment,
    Chamber,
    Closure,
    Consumable,
    Delivery,
    Hold,
    Link,
    LinkKind,
    Mode,
    Pool,
    Problem,
    Schedule,
    Task,
    Use,
)
from stationplan.engine.verify import Objective, evaluate, verify

PEOPLE, OVEN, RACK, OTHER_RACK = range(4)
MIX, BAKE, GLAZE, CRISP = range(4)

# minute  0   1   2   3   4   5   6   7   8   9   10  11
# people  [ mix  ]                        [   glaze   ]
# people                                          [crisp]
# oven            [  bake, hot    ]changes[crisp, mild]
# rack                            [ held  ]
PROBLEM = Problem(
    tasks=(
        Task("mix", (Mode(2, (Use((PEOPLE,)),)),), deadline=4),
        Task("bake", (Mode(4, (Use((OVEN,), state="hot"),), consumes=((0, 2),)),), release=1),
        Task("glaze", (Mode(3, (Use((PEOPLE,)),)), Mode(5)), fixed_start=8),
        Task("crisp", (Mode(3, (Use((OVEN,), 2, state="mild"), Use((PEOPLE,), 1, 2, 1)), consumes=((0, 1),)),)),
    ),
    resources=(
        Pool("people", 2, (Closure(14, 20, 2),)),
        Chamber("oven", 2, {("hot", "mild"): 2, ("mild", "hot"): 3}, {"hot": 2}),
        Pool("rack", 1),
        Pool("other rack", 1, (Closure(7, 8, 1),)),
    ),
    links=(
        Link(MIX, BAKE, 0, 3, tidy=2),
        Link(BAKE, GLAZE, 1, 5, LinkKind.END_END, tidy=1),
        Link(MIX, GLAZE, 5, 8, LinkKind.START_START),
        Link(BAKE, CRISP, 6, 9, LinkKind.START_END),
    ),
    holds=(Hold(BAKE, GLAZE, (RACK, OTHER_RACK)),),
    deliveries=(Delivery("early", (MIX, GLAZE), 9, 3), Delivery("late", (CRISP,), 30, 5)),
    consumables=(Consumable("filling", 3),),
    horizon=20,
    tidy_changeover=10,
)
GOOD = Schedule(
    (
        Assignment(0, 0, (PEOPLE,)),
        Assignment(2, 0, (OVEN,)),
        Assignment(8, 0, (PEOPLE,)),
        Assignment(8, 0, (OVEN, PEOPLE)),
    ),
    (RACK,),
)


def with_task(index: int, **changes: Any) -> Problem:
    task = replace(PROBLEM.tasks[index], **changes)
    return replace(PROBLEM, tasks=(*PROBLEM.tasks[:index], task, *PROBLEM.tasks[index + 1 :]))


def with_resource(index: int, **changes: Any) -> Problem:
    resource = replace(PROBLEM.resources[index], **changes)
    return replace(PROBLEM, resources=(*PROBLEM.resources[:index], resource, *PROBLEM.resources[index + 1 :]))


def with_link(index: int, **changes: Any) -> Problem:
    link = replace(PROBLEM.links[index], **changes)
    return replace(PROBLEM, links=(*PROBLEM.links[:index], link, *PROBLEM.links[index + 1 :]))


def with_assignment(index: int, **changes: Any) -> Schedule:
    assignment = replace(GOOD.tasks[index], **changes)
    return replace(GOOD, tasks=(*GOOD.tasks[:index], assignment, *GOOD.tasks[index + 1 :]))


def only_fault(problem: Problem, schedule: Schedule = GOOD) -> str:
    """The one violation that there is."""
    (fault,) = verify(problem, schedule)
    return fault


def in_a_chamber(chamber: Chamber, *uses: tuple[int, int, str]) -> tuple[str, ...]:
    """The violations of one-slot uses (start, end, state) of a chamber."""
    tasks = [
        Task(f"use {n}", (Mode(end - start, (Use((0,), state=state),)),)) for n, (start, end, state) in enumerate(uses)
    ]
    schedule = Schedule(tuple(Assignment(start, 0, (0,)) for start, _, _ in uses))
    return verify(Problem(tuple(tasks), (chamber,)), schedule)


def test_a_good_schedule_passes() -> None:
    assert verify(PROBLEM, GOOD) == ()


def test_the_costs_of_a_good_schedule_are_those_computed_by_hand() -> None:
    # Glaze ends at 11, 2 after the due time of 9, weight 3: lateness 6; the other delivery is early. The last end: 11.
    # Bake to glaze lags 11 - 6 = 5, 4 more than the least, weight 1; the oven changes its state once, 10: tidiness 14.
    assert evaluate(PROBLEM, GOOD) == Objective(6, 11, 14)


def test_costs_compare_as_the_tiers_do() -> None:
    assert Objective(0, 9, 9) < Objective(1, 0, 0)
    assert Objective(1, 2, 9) < Objective(1, 3, 0)
    assert Objective(1, 2, 3) < Objective(1, 2, 4)


def test_nothing_to_do_costs_nothing() -> None:
    assert evaluate(Problem((), deliveries=(Delivery("nothing", (), 0),)), Schedule(())) == Objective(0, 0, 0)


def test_the_first_state_of_a_chamber_is_no_change() -> None:
    chamber = Chamber("oven", 1)
    tasks = tuple(Task(state, (Mode(1, (Use((0,), state=state),)),)) for state in ("hot", "hot", "mild", "hot"))
    schedule = Schedule(tuple(Assignment(start, 0, (0,)) for start in (3, 0, 2, 5)))
    # In the order of starts: hot, mild, hot, hot.
    assert evaluate(Problem(tasks, (chamber,), tidy_changeover=1), schedule).tidiness == 2


def test_a_missing_task_is_found() -> None:
    assert "3 tasks" in only_fault(PROBLEM, replace(GOOD, tasks=GOOD.tasks[:3]))


def test_a_missing_hold_is_found() -> None:
    assert "0 holds" in only_fault(PROBLEM, replace(GOOD, holds=()))


@pytest.mark.parametrize("mode", [-1, 2])
def test_a_mode_that_does_not_exist_is_found(mode: int) -> None:
    assert "no mode" in only_fault(PROBLEM, with_assignment(GLAZE, mode=mode))


def test_a_missing_resource_is_found() -> None:
    assert "1 resources for 2 uses" in only_fault(PROBLEM, with_assignment(CRISP, resources=(OVEN,)))


def test_a_resource_that_is_not_to_choose_from_is_found() -> None:
    assert "may not use" in only_fault(PROBLEM, with_assignment(MIX, resources=(RACK,)))


def test_a_place_that_is_not_to_choose_from_is_found() -> None:
    assert "may not use" in only_fault(PROBLEM, replace(GOOD, holds=(PEOPLE,)))


def test_a_start_before_time_0_is_found() -> None:
    problem = Problem((Task("early", (Mode(2),)),))
    assert "before time 0" in verify(problem, Schedule((Assignment(-1, 0, ()),)))[0]


def test_a_start_before_the_release_is_found() -> None:
    assert "release" in only_fault(with_task(BAKE, release=3))


def test_a_fixed_start_may_lie_before_the_release() -> None:
    assert verify(with_task(GLAZE, release=9), GOOD) == ()


def test_an_end_after_the_deadline_is_found() -> None:
    assert "deadline" in only_fault(with_task(MIX, deadline=1))


def test_another_start_than_the_fixed_one_is_found() -> None:
    assert "fixed start" in only_fault(with_task(GLAZE, fixed_start=7))


def test_an_end_after_the_horizon_is_found() -> None:
    assert [fault.split()[1] for fault in verify(replace(PROBLEM, horizon=10), GOOD)] == ["'glaze'", "'crisp'"]


@pytest.mark.parametrize(("index", "lag"), [(0, 0), (1, 5), (2, 8), (3, 9)])
def test_a_lag_below_its_least_is_found(index: int, lag: int) -> None:
    assert verify(with_link(index, least=lag, most=None), GOOD) == ()
    assert "below its least" in only_fault(with_link(index, least=lag + 1, most=None))


@pytest.mark.parametrize(("index", "lag"), [(0, 0), (1, 5), (2, 8), (3, 9)])
def test_a_lag_above_its_most_is_found(index: int, lag: int) -> None:
    assert verify(with_link(index, least=None, most=lag, tidy=0), GOOD) == ()
    assert "above its most" in only_fault(with_link(index, least=None, most=lag - 1, tidy=0))


def test_something_held_for_a_task_that_has_already_started_is_found() -> None:
    assert "is held for it" in only_fault(replace(PROBLEM, holds=(Hold(GLAZE, CRISP, (RACK,)),)))


def test_a_hold_without_room_is_found() -> None:
    assert only_fault(with_resource(RACK, capacity=0)) == "'rack' is asked for 1 from 6 to 8 but has 0"


def test_a_hold_in_a_closed_place_is_found() -> None:
    assert "'other rack' is asked for 1 from 7 to 8" in only_fault(PROBLEM, replace(GOOD, holds=(OTHER_RACK,)))


def test_a_hold_of_no_length_takes_nothing() -> None:
    # Bake starts when mix ends, so it does not matter that the rack is too small.
    problem = replace(PROBLEM, holds=(Hold(MIX, BAKE, (RACK,), 9),))
    assert verify(problem, GOOD) == ()


def test_too_many_uses_of_a_pool_at_a_time_are_found() -> None:
    assert (
        only_fault(with_resource(PEOPLE, capacity=1, closures=())) == "'people' is asked for 2 from 10 to 11 but has 1"
    )


def test_a_use_during_a_closure_is_found() -> None:
    closed = with_resource(PEOPLE, closures=(Closure(9, 10, 2),))
    assert only_fault(closed) == "'people' is asked for 1 from 9 to 10 but has 0"


def test_closures_beyond_the_capacity_leave_nothing_but_not_less() -> None:
    assert verify(with_resource(PEOPLE, closures=(Closure(3, 7, 2), Closure(4, 8, 2))), GOOD) == ()


def test_a_use_may_end_when_a_closure_begins_and_begin_when_it_ends() -> None:
    assert verify(with_resource(PEOPLE, closures=(Closure(2, 8, 2), Closure(11, 12, 2))), GOOD) == ()


def test_a_use_of_no_length_takes_nothing() -> None:
    assert verify(with_task(MIX, modes=(Mode(2, (Use((PEOPLE,), 9, 1, 0),)),)), GOOD) == ()


def test_too_many_slots_of_a_chamber_are_found() -> None:
    assert only_fault(with_resource(OVEN, capacity=1)) == "'oven' is asked for 2 from 8 to 11 but has 1"


def test_a_chamber_that_is_not_in_its_first_state_yet_is_found() -> None:
    assert "before it can be in state 'hot' at 3" in only_fault(with_resource(OVEN, first={"hot": 3}))


def test_a_use_of_a_chamber_during_its_closure_or_before_it_is_ready_again_is_found() -> None:
    # The bake is in it from 2 to 6, hot 2 after any closure.
    assert verify(with_resource(OVEN, closures=(Closure(6, 8, 1), Closure(0, 0, 1), Closure(3, 3, 1))), GOOD) == ()
    assert "which is closed from 5 and in state 'hot' not before 8" in only_fault(
        with_resource(OVEN, closures=(Closure(5, 6, 1),))
    )
    assert "not before 3" in only_fault(with_resource(OVEN, closures=(Closure(0, 1, 1),)))


def test_a_changeover_cut_short_is_found() -> None:
    assert "changeover takes 3" in only_fault(with_resource(OVEN, changeovers={("hot", "mild"): 3}))


def test_two_states_at_a_time_are_found_even_without_changeover() -> None:
    assert in_a_chamber(Chamber("oven", 2), (0, 3, "hot"), (3, 5, "mild")) == ()
    (fault,) = in_a_chamber(Chamber("oven", 2), (0, 3, "hot"), (2, 5, "mild"))
    assert "in state 'hot' ends at 3" in fault


def test_a_changeover_counts_whatever_comes_between() -> None:
    chamber = Chamber("oven", 1, {("hot", "cold"): 5})
    assert in_a_chamber(chamber, (0, 1, "hot"), (1, 2, "mild"), (6, 7, "cold")) == ()
    (fault,) = in_a_chamber(chamber, (0, 1, "hot"), (1, 2, "mild"), (5, 6, "cold"))
    assert "changeover takes 5" in fault


def test_the_longest_of_several_loads_counts_for_the_changeover() -> None:
    chamber = Chamber("oven", 2, {("hot", "cold"): 1})
    assert in_a_chamber(chamber, (0, 9, "hot"), (1, 2, "hot"), (10, 11, "cold")) == ()
    (fault,) = in_a_chamber(chamber, (0, 9, "hot"), (1, 2, "hot"), (9, 10, "cold"))
    assert "'use 0'" in fault


def test_a_wash_between_like_and_like_counts_with_one_slot_only() -> None:
    wash = {("white", "white"): 2}
    assert in_a_chamber(Chamber("bowl", 1, wash), (0, 1, "white"), (3, 4, "white")) == ()
    (fault,) = in_a_chamber(Chamber("bowl", 1, wash), (0, 1, "white"), (2, 3, "white"))
    assert "changeover takes 2" in fault
    assert in_a_chamber(Chamber("bowl", 2, wash), (0, 1, "white"), (2, 3, "white")) == ()


def test_more_of_a_consumable_than_there_is_is_found() -> None:
    problem = replace(PROBLEM, consumables=(Consumable("filling", 2),))
    assert only_fault(problem) == "'filling' is asked for 3 but has 2"


def test_all_violations_are_told_at_once() -> None:
    problem = replace(with_task(BAKE, release=3), horizon=10, consumables=(Consumable("filling", 2),))
    assert len(verify(problem, GOOD)) == 4
