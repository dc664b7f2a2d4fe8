"""Tasks, modes and resources change optima: tiny instances, their optimum derived beside them."""

from __future__ import annotations

import pytest

from stationplan.engine.errors import ProblemError
from stationplan.engine.problem import (
    Chamber,
    Closure,
    Consumable,
    Mode,
    Pool,
    Problem,
    Task,
    Use,
)

from .build import chain, costs, makespan, proved, task

ONE = (Pool("pool", 1),)
TWO = (Pool("pool", 2),)


# Tasks


def test_nothing_to_do_takes_no_time() -> None:
    assert costs(Problem(())) == (0, 0, 0)


def test_tasks_without_anything_in_common_run_at_once() -> None:
    assert makespan(Problem((task(3), task(5)))) == 5


def test_a_task_starts_no_earlier_than_its_release() -> None:
    # 4 + 3.
    assert makespan(Problem((task(3, release=4),))) == 7


def test_a_task_must_end_by_its_deadline() -> None:
    # On one machine the task of 2 with deadline 2 goes first; the other one could not even wait until 5.
    problem = Problem((task(3, 0), task(2, 0, deadline=2)), ONE)
    assert makespan(problem) == 5
    assert proved(problem).schedule.tasks[0].start == 2  # type: ignore[union-attr]


def test_two_deadlines_that_one_machine_cannot_meet_have_no_schedule() -> None:
    assert makespan(Problem((task(3, 0, deadline=4), task(2, 0, deadline=4)), ONE)) is None


def test_a_fixed_start_is_kept() -> None:
    # The fixed task takes the machine from 1 to 3, the task of 2 does not fit before it: 3 + 2.
    assert makespan(Problem((task(2, 0, fixed_start=1), task(2, 0)), ONE)) == 5


def test_a_fixed_start_beats_the_release() -> None:
    assert makespan(Problem((task(2, fixed_start=1, release=5),))) == 3


def test_a_task_of_no_length_is_a_milestone() -> None:
    # 2, then the milestone, then 3.
    assert makespan(Problem((task(2), task(0), task(3)), links=chain(0, 1, 2))) == 5


def test_the_horizon_bounds_every_end() -> None:
    tasks = (task(3, 0), task(3, 0))
    assert makespan(Problem(tasks, ONE, horizon=6)) == 6
    assert makespan(Problem(tasks, ONE, horizon=5)) is None


# Modes


def test_the_faster_mode_is_taken_when_nothing_speaks_against_it() -> None:
    assert makespan(Problem((Task("bake", (Mode(5), Mode(3))),))) == 3


def test_the_slower_mode_is_taken_when_the_fast_one_is_in_the_way() -> None:
    # Both fast: 3 + 3 on the machine. One fast, one slow: 5.
    either = Task("either", (Mode(3, (Use((0,)),)), Mode(5)))
    assert makespan(Problem((either, either), ONE)) == 5


def test_a_mode_may_need_more_room_for_less_time() -> None:
    # Two fast ones need 2 of 2 each: 2 + 2. Both slow at once: 3.
    either = Task("either", (Mode(2, (Use((0,), 2),)), Mode(3, (Use((0,), 1),))))
    assert makespan(Problem((either, either), TWO)) == 3


def test_a_consumable_limits_how_often_the_fast_mode_is_taken() -> None:
    # The fast mode takes 2 of the stock, 5 are there, so two of the three tasks are fast: on one machine 1 + 1 + 4.
    either = Task("either", (Mode(1, (Use((0,)),), ((0, 2),)), Mode(4, (Use((0,)),))))
    assert makespan(Problem((either,) * 3, ONE, consumables=(Consumable("stock", 5),))) == 6


def test_a_stock_that_is_too_small_for_every_mode_leaves_no_schedule() -> None:
    greedy = Task("greedy", (Mode(1, (), ((0, 2),)),))
    assert makespan(Problem((greedy,) * 2, consumables=(Consumable("stock", 3),))) is None


# Pools and uses


def test_a_pool_of_one_takes_one_task_at_a_time() -> None:
    assert makespan(Problem((task(3, 0), task(4, 0)), ONE)) == 7


def test_a_pool_of_two_takes_two_tasks_at_a_time() -> None:
    # 3 and 4 at once, 2 after the 3.
    assert makespan(Problem((task(3, 0), task(4, 0), task(2, 0)), TWO)) == 5


def test_an_amount_counts_as_often_as_it_says() -> None:
    # 2 of 3 units each: one after the other.
    assert makespan(Problem((task(3, 0, amount=2), task(4, 0, amount=2)), (Pool("pool", 3),))) == 7


def test_an_amount_beyond_the_capacity_leaves_no_schedule() -> None:
    assert makespan(Problem((task(3, 0, amount=2),), ONE)) is None


def test_a_use_of_no_amount_takes_nothing() -> None:
    assert makespan(Problem((task(3, 0, amount=0), task(3, 0)), ONE)) == 3


def test_a_use_of_no_length_takes_nothing() -> None:
    # The first task's use lies in the middle of the second's and is 0 long.
    none = Task("none", (Mode(4, (Use((0,), 1, 2, 0),)),))
    assert makespan(Problem((none, task(4, 0)), ONE)) == 4


def test_a_task_may_choose_between_resources() -> None:
    # The first must be on pool 0, so the other goes to pool 1.
    either = Task("either", (Mode(4, (Use((0, 1)),)),))
    assert makespan(Problem((task(3, 0), either), (*ONE, Pool("other", 1)))) == 4
    assert makespan(Problem((task(3, 0), either, task(3, 1)), (*ONE, Pool("other", 1)))) == 7


def test_one_resource_must_have_room_for_the_whole_amount() -> None:
    # 2 units are free, but one in each of two pools.
    both = Task("both", (Mode(1, (Use((0, 1), 2),)),))
    assert makespan(Problem((both,), (*ONE, Pool("other", 1)))) is None


def test_a_task_may_use_several_resources_at_once() -> None:
    # The middle one needs both pools, so it overlaps neither of the others, which run side by side: 3 + 2.
    assert makespan(Problem((task(3, 0), task(2, 0, 1), task(3, 1)), (*ONE, Pool("other", 1)))) == 5


def test_a_use_may_cover_the_first_part_of_a_task_only() -> None:
    # Hands for the first 1 of 4 minutes, one person: starts at 0, 1, 2.
    first = Task("load", (Mode(4, (Use((0,), 1, 0, 1),)),))
    assert makespan(Problem((first,) * 3, ONE)) == 6


def test_a_use_may_begin_within_a_task() -> None:
    # Hands for the last 2 of 5 minutes: the second task starts 2 later. 2 + 5.
    last = Task("unload", (Mode(5, (Use((0,), 1, 3),)),))
    assert makespan(Problem((last,) * 2, ONE)) == 7


def test_a_use_may_leave_a_gap_for_another_task() -> None:
    # Hands at 0-1 and 4-5 of 5 minutes; 3 minutes of other work fit in between, 4 do not.
    watched = Task("bake", (Mode(5, (Use((0,), 1, 0, 1), Use((0,), 1, 4, 1))),))
    assert makespan(Problem((watched, task(3, 0)), ONE)) == 5
    assert makespan(Problem((watched, task(4, 0)), ONE)) == 9


def test_a_closure_of_the_whole_pool_is_worked_around() -> None:
    # Closed from 2 to 4, tasks are not interrupted: the 3 waits until 4, the 2 goes before.
    assert makespan(Problem((task(3, 0), task(2, 0)), (Pool("pool", 1, (Closure(2, 4, 1),)),))) == 7


def test_a_closure_may_leave_a_part_of_the_pool() -> None:
    # One of two units until 3: one task of 2 from 0, the second from 2, when the first has ended.
    assert makespan(Problem((task(2, 0), task(2, 0)), (Pool("pool", 2, (Closure(0, 3, 1),)),))) == 4


def test_closures_beyond_the_capacity_leave_nothing_but_not_less() -> None:
    # Closed twice over until 2.
    assert makespan(Problem((task(1, 0),), (Pool("pool", 1, (Closure(0, 2, 1), Closure(0, 2, 1))),))) == 3


def test_overlapping_closures_add_up() -> None:
    # 3 units, less 1 from 0 to 4, less 1 from 2 to 6: 2 until 2, 1 until 4, 2 until 6, 3 from then on.
    pool = Pool("pool", 3, (Closure(0, 4, 1), Closure(2, 6, 1)))
    assert makespan(Problem((task(3, 0, amount=2),), (pool,))) == 7
    assert makespan(Problem((task(2, 0, amount=2),), (pool,))) == 2


# Chambers


def test_uses_of_one_state_share_a_chamber() -> None:
    assert makespan(Problem((task(3, 0, state="hot"), task(4, 0, state="hot")), (Chamber("oven", 2),))) == 4


def test_uses_of_two_states_never_share_a_chamber() -> None:
    assert makespan(Problem((task(3, 0, state="hot"), task(4, 0, state="mild")), (Chamber("oven", 2),))) == 7


def test_slots_of_a_chamber_are_limited() -> None:
    hot = task(3, 0, state="hot", amount=2)
    assert makespan(Problem((hot, hot), (Chamber("oven", 4),))) == 3
    assert makespan(Problem((hot, hot), (Chamber("oven", 3),))) == 6


def test_a_changeover_takes_its_time_in_the_better_direction() -> None:
    # hot then mild: 3 + 1 + 4; mild then hot: 4 + 5 + 3.
    oven = Chamber("oven", 2, {("hot", "mild"): 1, ("mild", "hot"): 5})
    assert makespan(Problem((task(3, 0, state="hot"), task(4, 0, state="mild")), (oven,))) == 8


def test_a_changeover_that_is_not_given_takes_no_time() -> None:
    oven = Chamber("oven", 1, {("hot", "mild"): 9})
    assert makespan(Problem((task(3, 0, state="hot"), task(4, 0, state="mild")), (oven,))) == 7


def test_a_changeover_counts_whatever_comes_between() -> None:
    # a, b, c in this order without changeovers but from a to c, 5: c starts at 1 + 5, b between. 6 + 1.
    oven = Chamber("oven", 1, {("a", "c"): 5})
    tasks = tuple(task(1, 0, state=state) for state in "abc")
    assert makespan(Problem(tasks, (oven,), links=chain(0, 1, 2))) == 7


def test_changeovers_decide_the_order_of_states() -> None:
    # Every changeover costs 4 but a to b and b to c, 1: a b c is 3 * 2 + 1 + 1; any other order is longer.
    # Whichever comes between: a to c must be 4 at least, and is 1 + 2 + 1 = 4.
    changeovers = {(one, other): 4 for one in "abc" for other in "abc" if one != other}
    changeovers |= {("a", "b"): 1, ("b", "c"): 1}
    tasks = tuple(task(2, 0, state=state) for state in "bca")
    assert makespan(Problem(tasks, (Chamber("oven", 1, changeovers),))) == 8


def test_a_chamber_needs_time_for_its_first_state() -> None:
    # Heating up to hot takes 6, to mild 2; meanwhile mild is baked and the changeover is free: 2 + 3, hot 6 to 9.
    oven = Chamber("oven", 1, {}, {"hot": 6, "mild": 2})
    assert makespan(Problem((task(3, 0, state="hot"), task(3, 0, state="mild")), (oven,))) == 9


def test_a_chamber_that_starts_again_takes_as_long_as_at_first() -> None:
    # The second bake cannot begin before 10. At 10 the oven is cold again: hot at 13, and done at 16.
    oven = Chamber("oven", 1, {}, {"hot": 3}, restarts=(10,))
    assert makespan(Problem((task(3, 0, state="hot", deadline=9), task(3, 0, state="hot", release=10)), (oven,))) == 16
    assert makespan(Problem((task(3, 0, state="hot", deadline=9), task(3, 0, state="hot", release=13)), (oven,))) == 16
    assert makespan(Problem((task(3, 0, state="hot", deadline=9), task(3, 0, state="hot", release=9)), (oven,))) == 12


def test_a_chamber_in_use_does_not_start_again() -> None:
    # What rises from before 10 until after it keeps the chamber warm; what ends at 10 does not.
    prover = Chamber("prover", 2, {}, {"warm": 3}, restarts=(10,))
    late = task(2, 0, state="warm", release=10)
    rise = Task("rise", (Mode(4, (Use((0,), state="warm"),)),), release=7, deadline=11)
    assert makespan(Problem((rise, late), (prover,))) == 12
    ends = Task("rise", (Mode(3, (Use((0,), state="warm"),)),), release=7, deadline=10)
    assert makespan(Problem((ends, late), (prover,))) == 15


def test_a_chamber_that_has_been_closed_needs_the_time_for_its_first_state_again() -> None:
    # Hot by 6, baked until 9, closed from 10 to 20: the second one begins at 26, though it is in the same state.
    oven = Chamber("oven", 1, {}, {"hot": 6}, closures=(Closure(10, 20, 1),))
    assert makespan(Problem((task(3, 0, state="hot"),), (oven,))) == 9
    assert makespan(Problem((task(3, 0, state="hot"),) * 2, (oven,))) == 29


def test_one_of_two_chambers_that_is_closed_leaves_the_other() -> None:
    bakes = tuple(Task(f"bake {n}", (Mode(3, (Use((0, 1), state="hot"),)),)) for n in range(4))
    assert makespan(Problem(bakes, (Chamber("one", 1), Chamber("other", 1)))) == 6
    assert makespan(Problem(bakes, (Chamber("one", 1, closures=(Closure(2, 99, 1),)), Chamber("other", 1)))) == 12


def test_a_wash_between_like_and_like_takes_its_time_with_one_slot() -> None:
    # Three batches of 2 in one bowl, 3 minutes of washing between each two: 3 * 2 + 2 * 3.
    white = task(2, 0, state="white")
    assert makespan(Problem((white,) * 3, (Chamber("bowl", 1, {("white", "white"): 3}),))) == 12
    assert makespan(Problem((white,) * 3, (Chamber("bowl", 2, {("white", "white"): 3}),))) == 4


def test_two_chambers_are_kept_in_a_state_each() -> None:
    # Two hot and two mild bakes of 3, changeover 2: one chamber for each state, 6; on one chamber 12 + 2.
    bakes = tuple(Task(s, (Mode(3, (Use((0, 1), state=s),)),)) for s in ("hot", "mild", "hot", "mild"))
    changeovers = {("hot", "mild"): 2, ("mild", "hot"): 2}
    assert makespan(Problem(bakes, (Chamber("one", 1, changeovers), Chamber("other", 1, changeovers)))) == 6


def test_another_chamber_may_be_a_faster_mode_in_another_state() -> None:
    # The fan oven bakes in 3 what the deck oven bakes in 4, but has one slot: one in each, 4; both in the fan oven, 6.
    bake = Task("bake", (Mode(4, (Use((0,), state="180"),)), Mode(3, (Use((1,), state="165 fan"),))))
    assert makespan(Problem((bake,), (Chamber("deck", 1), Chamber("fan", 1)))) == 3
    assert makespan(Problem((bake, bake), (Chamber("deck", 1), Chamber("fan", 1)))) == 4


def test_a_chamber_may_be_used_for_a_part_of_a_task() -> None:
    # Prepared for 2, then baked for 3 in a chamber of one slot: the second starts 3 later. 3 + 5.
    bake = Task("bake", (Mode(5, (Use((0,), 1, 2, None, "hot"),)),))
    assert makespan(Problem((bake, bake), (Chamber("oven", 1),))) == 8


def test_chambers_that_are_ready_again_at_other_times_are_not_alike() -> None:
    """The long use is in the oven that is slow after its restart, so that the other one can take the short one."""
    quick, slow = (Chamber(name, 1, restarts=(10,), again={"hot": ready}) for name, ready in (("a", 0), ("b", 50)))
    either = Use((0, 1), state="hot")
    problem = Problem(
        (Task("long", (Mode(12, (either,)),)), Task("short", (Mode(5, (either,)),), release=10)), (quick, slow)
    )
    assert makespan(problem) == 15


def test_a_chamber_is_not_ready_again_in_less_than_no_time() -> None:
    with pytest.raises(ProblemError, match="changeover of negative length"):
        Problem((), (Chamber("oven", 1, again={"hot": -1}),))
