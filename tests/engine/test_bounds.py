"""No bound that the engine prints is above what trying everything finds."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

import pytest

from stationplan.engine import solve
from stationplan.engine.bounds import thresholds
from stationplan.engine.problem import Chamber, Closure, Delivery, Mode, Pool, Problem, Task, Use
from stationplan.engine.result import BoundKind, Result, Status

from .brute_force import Cost, optimum
from .build import chain, makespan, task
from .random_problems import random_problem

NO_SEARCH, SHORT_SEARCH = 1e-6, 0.003


class Tried:
    """A problem and what trying everything finds, each answer looked for once: it takes longer than all the rest."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._found: dict[int, Cost | None] = {}

    def best(self, forgiven: int = 0) -> Cost | None:
        if forgiven not in self._found:
            self._found[forgiven] = optimum(self.problem, forgiven=forgiven)
        return self._found[forgiven]

    @cached_property
    def shortest(self) -> Cost | None:
        """The same were nothing ever late."""
        return optimum(replace(self.problem, deliveries=())) if self.problem.deliveries else self.best()


def assert_bounds_hold(tried: Tried, result: Result, seed: int) -> None:
    least = tried.shortest
    assert least is not None
    for bound in result.bounds:
        if bound.kind is not BoundKind.SOLVER:
            assert bound.minutes <= least.makespan, f"seed {seed}: {bound}"
    if result.schedule is None:
        return
    lateness, length, tidiness = result.tiers
    best = tried.best()
    # Each tier's bound is about schedules as good in the tiers before, as good as this result, that is.
    as_early = tried.best(forgiven=lateness.value)
    assert best is not None
    assert as_early is not None
    assert lateness.bound <= best.lateness <= lateness.value, f"seed {seed}"
    assert length.bound <= as_early.makespan <= length.value, f"seed {seed}"
    assert 0 <= tidiness.bound <= tidiness.value, f"seed {seed}"
    for bound in result.bounds:
        assert bound.minutes <= as_early.makespan, f"seed {seed}: {bound}"


@pytest.mark.parametrize("chunk", range(4))
def test_every_bound_is_a_bound(chunk: int) -> None:
    for seed in range(60_000 + chunk * 30, 60_000 + (chunk + 1) * 30):
        tried = Tried(random_problem(seed))
        feasible = tried.best() is not None
        for effort in (NO_SEARCH, SHORT_SEARCH, None):
            result = solve(tried.problem, effort=effort, workers=1)
            assert result.status in (
                (Status.OPTIMAL, Status.FEASIBLE, Status.UNKNOWN) if feasible else (Status.INFEASIBLE, Status.UNKNOWN)
            ), f"seed {seed}, effort {effort}"
            if feasible:
                assert_bounds_hold(tried, result, seed)


@pytest.mark.parametrize("chunk", range(4))
def test_bounds_of_bakes_in_unlike_chambers_are_bounds(chunk: int) -> None:
    # Many short bakes in two chambers of different size and in two or three states: where changeover bounds go wrong.
    for seed in range(70_000 + chunk * 30, 70_000 + (chunk + 1) * 30):
        base = random_problem(seed, tasks=3)
        sizes = (1, 1 + seed % 4)
        states = ("hot", "mild", "cold")[: 2 + seed % 2]
        changeovers = {(a, b): 1 + (seed + n) % 3 for n, a in enumerate(states) for b in states if a != b}
        chambers = tuple(Chamber(f"chamber {n}", size, changeovers) for n, size in enumerate(sizes))
        bakes = tuple(
            Task(f"bake {n}", (Mode(1 + (seed + n) % 2, (Use((0, 1), state=states[n % len(states)]),)),))
            for n in range(5)
        )
        problem = Problem(bakes, chambers, links=base.links[:0], horizon=12)
        result = solve(problem, workers=1)
        assert result.status is Status.OPTIMAL
        assert_bounds_hold(Tried(problem), result, seed)


def resource_bound(problem: Problem) -> int:
    bounds = solve(problem, workers=1).bounds
    return max(bound.minutes for bound in bounds if bound.kind is BoundKind.RESOURCE)


def test_the_critical_path_is_the_longest_chain_with_its_lags() -> None:
    # 3 + 2 against 4: the chain a, b is longest.
    problem = Problem((task(3), task(2), task(4)), links=chain(0, 1))
    (bound,) = [bound for bound in solve(problem, workers=1).bounds if bound.kind is BoundKind.CRITICAL_PATH]
    assert (bound.minutes, bound.tasks) == (5, (0, 1))


def test_the_resource_bound_counts_head_work_and_tail() -> None:
    # Every task of 4 on one machine waits for one of 2 and is followed by one of 3: 2 + 3 * 4 + 3.
    stages = [number for row in range(3) for number in (2, 4, 3)]
    problem = Problem(
        tuple(task(length, 0) if length == 4 else task(length) for length in stages),
        (Pool("machine", 1),),
        links=tuple(link for row in range(3) for link in chain(3 * row, 3 * row + 1, 3 * row + 2)),
    )
    assert resource_bound(problem) == 17
    assert makespan(problem) == 17


def test_the_resource_bound_is_that_of_mcnaughton_for_tasks_without_order() -> None:
    # McNaughton 1959: no schedule, not even one with interruptions, is shorter than max(work / machines, longest task).
    problem = Problem(tuple(task(length, 0) for length in (3, 3, 2, 2, 2)), (Pool("machines", 2),))
    assert resource_bound(problem) == 6
    long = Problem(tuple(task(length, 0) for length in (9, 1, 1)), (Pool("machines", 2),))
    assert max(bound.minutes for bound in solve(long, workers=1).bounds) == 9


def test_the_resource_bound_leaves_out_what_closures_take_away() -> None:
    # 4 minutes of work on one machine that is closed from 1 to 6: 1 before, 3 after.
    from stationplan.engine.problem import Closure

    problem = Problem(tuple(task(1, 0) for _ in range(4)), (Pool("machine", 1, (Closure(1, 6, 1),)),))
    assert resource_bound(problem) == 9


def test_the_resource_bound_leaves_out_the_closures_of_chambers_but_not_from_what_changes_meanwhile() -> None:
    # 2 minutes of baking in an oven that is closed from 1 to 6: 1 before, 1 after.
    same = Problem(tuple(task(1, 0, state="hot") for _ in "ab"), (Chamber("oven", 1, closures=(Closure(1, 6, 1),)),))
    assert resource_bound(same) == 7
    # Changing takes 5, all of it while the oven is closed.
    oven = Chamber("oven", 1, {("hot", "mild"): 5, ("mild", "hot"): 5}, closures=(Closure(1, 6, 1),))
    problem = Problem((task(1, 0, state="hot"), task(1, 0, state="mild")), (oven,))
    assert resource_bound(problem) == makespan(problem) == 7


def test_the_resource_bound_knows_that_large_uses_leave_room_nobody_can_use() -> None:
    # Two of three slots each: one at a time, whatever work / room says.
    problem = Problem(tuple(task(2, 0, amount=2) for _ in range(3)), (Pool("slots", 3),))
    assert resource_bound(problem) == 6


def test_the_resource_bound_counts_the_changeovers_that_cannot_be_avoided() -> None:
    # One bake in each of three states, cheapest changeover into each of them 2: 3 * 1 + 2 * 2.
    states = ("a", "b", "c")
    chamber = Chamber("oven", 1, {(one, other): 2 for one in states for other in states if one != other})
    problem = Problem(tuple(task(1, 0, state=state) for state in states), (chamber,))
    assert resource_bound(problem) == 7


def test_changeovers_in_the_smaller_of_two_chambers_cost_only_its_room() -> None:
    # Three bakes of one minute and one slot each in the small chamber's two states would, counted at the room of the
    # large one, bound the makespan by more than the 3 that is possible: hot 0-1 and mild 2-3 in the small, all
    # the hot ones together in the large.
    states = {("hot", "mild"): 1, ("mild", "hot"): 1}
    chambers = (Chamber("small", 1, states), Chamber("large", 8, states))
    problem = Problem(
        (
            *(Task("hot", (Mode(1, (Use((0, 1), state="hot"),)),)) for _ in range(9)),
            *(Task("mild", (Mode(1, (Use((0, 1), state="mild"),)),)) for _ in range(1)),
        ),
        chambers,
    )
    expected = optimum(replace(problem, horizon=4))
    assert expected is not None
    assert max(bound.minutes for bound in solve(problem, workers=1).bounds) <= expected.makespan


def test_a_late_delivery_is_proved_late() -> None:
    # 5 minutes of work on one machine due at 3, weight 2: 4 is the least lateness.
    problem = Problem((task(2, 0), task(3, 0)), (Pool("machine", 1),), deliveries=(Delivery("cake", (0, 1), 3, 2),))
    lateness = solve(problem, workers=1).tiers[0]
    assert (lateness.value, lateness.bound) == (4, 4)


def test_turns_are_whole() -> None:
    # Five freezings of 10 minutes, two at a time: 25 minutes by energy, but one place takes three of them. 4 minutes
    # before each and 6 after: 4 + 30 + 6.
    tasks = tuple(part for _ in range(5) for part in (task(4, 1), task(10, 0), task(6, 1)))
    links = tuple(link for batch in range(5) for link in chain(3 * batch, 3 * batch + 1, 3 * batch + 2))
    problem = Problem(tasks, (Pool("freezer", 2), Pool("hands", 9)), links)
    assert resource_bound(problem) == 40
    assert makespan(problem) == 40


def test_turns_count_the_shortest_work() -> None:
    # Two trays each in an oven of five: two at a time. Of five loads of 4 to 8 minutes one line has three, which take
    # at least 4 + 5 + 6 minutes; by energy, 60 tray-minutes need 12.
    problem = Problem(tuple(task(minutes, 0, amount=2) for minutes in (4, 5, 6, 7, 8)), (Pool("oven", 5),))
    assert resource_bound(problem) == 15
    # 8 + 7 on one side, 6 + 5 + 4 on the other.
    assert makespan(problem) == 15


def test_rounded_room_is_counted_for_each_state() -> None:
    # In an oven of 4 trays two loads of 3 trays at 180 never share, and take 20 minutes; four of 1 tray at 160 do, and
    # take 10. One measure for both counts 3 + 3 + 4 trays, or the large loads alone; each state with its own makes
    # 20 + 10 minutes, and 5 of changeover.
    oven = Chamber("oven", 4, {("160", "180"): 5, ("180", "160"): 5})
    large = tuple(task(10, 0, amount=3, state="180") for _ in range(2))
    small = tuple(task(10, 0, amount=1, state="160") for _ in range(4))
    problem = Problem((*large, *small), (oven,))
    assert resource_bound(problem) == 35
    assert makespan(problem) == 35


def test_of_too_many_thresholds_the_first_and_others_evenly_are_taken() -> None:
    assert thresholds([5, 1, 3, 3], most=3) == [1, 3, 5]
    assert thresholds(range(100), most=4) == [0, 25, 50, 75]
