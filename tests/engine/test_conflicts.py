"""What the engine gives as the reason of an infeasibility is one, as trying everything confirms."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stationplan.engine import solve
from stationplan.engine.problem import Chamber, Closure, Delivery, Link, Mode, Pool, Problem, Task, Use
from stationplan.engine.result import Conflict, Status

from .brute_force import optimum
from .build import chain, start_lag, task
from .random_problems import random_problem

PLENTY = 99


def without_limits(problem: Problem, resources: set[int]) -> Problem:
    """The problem with more than enough of some resources, open all the time and changed over in no time."""
    free = {
        index: Pool(resource.name, PLENTY) if isinstance(resource, Pool) else Chamber(resource.name, PLENTY)
        for index, resource in enumerate(problem.resources)
        if index in resources
    }
    return replace(problem, resources=tuple(free.get(index, entry) for index, entry in enumerate(problem.resources)))


def only(problem: Problem, tasks: tuple[int, ...]) -> Problem:
    """Some tasks with the lags between them and nothing else."""
    place = {index: position for position, index in enumerate(tasks)}
    return Problem(
        tuple(Task(str(index), tuple(Mode(mode.duration) for mode in problem.tasks[index].modes)) for index in tasks),
        (Pool("any", PLENTY),),
        tuple(
            replace(link, before=place[link.before], after=place[link.after])
            for link in problem.links
            if {link.before, link.after} <= place.keys()
        ),
        tuple(
            replace(hold, before=place[hold.before], after=place[hold.after], resources=(0,))
            for hold in problem.holds
            if {hold.before, hold.after} <= place.keys()
        ),
        horizon=30,
    )


def assert_is_a_reason(problem: Problem, conflict: Conflict) -> None:
    everything = set(range(len(problem.resources)))
    match conflict.kind:
        case "cycle":
            assert optimum(only(problem, conflict.tasks)) is None
        case "resource":
            assert conflict.minutes > 0
            assert optimum(without_limits(problem, everything - set(conflict.resources))) is None
        case "search":
            assert optimum(problem) is None
        case kind:
            assert kind == "task"
            assert conflict.tasks


@pytest.mark.parametrize("chunk", range(6))
def test_the_reasons_given_for_an_infeasibility_are_reasons(chunk: int) -> None:
    for seed in range(90_000 + chunk * 40, 90_000 + (chunk + 1) * 40):
        problem = random_problem(seed, tasks=5, horizon=10)
        result = solve(problem, workers=1)
        assert (result.status is Status.INFEASIBLE) == bool(result.conflicts), f"seed {seed}"
        for conflict in result.conflicts:
            assert_is_a_reason(problem, conflict)


def reasons(problem: Problem) -> list[tuple[str, set[int], set[int], int]]:
    result = solve(problem, workers=1)
    assert result.status is Status.INFEASIBLE
    return [(c.kind, set(c.tasks), set(c.resources), c.minutes) for c in result.conflicts]


def test_a_circle_of_lags_is_named_with_its_tasks_only() -> None:
    # 1 at least 3 after 0, 2 at least 3 after 1, 2 at most 5 after 0; task 3 has nothing to do with it.
    links = (start_lag(0, 1, 3), start_lag(1, 2, 3), start_lag(0, 2, None, 5), Link(3, 0))
    assert reasons(Problem((task(1),) * 4, links=links)) == [("cycle", {0, 1, 2}, set(), 0)]


def test_too_much_work_before_a_deadline_is_named_with_its_resource_and_its_minutes() -> None:
    # 9 minutes of work due by 7 on the one machine: 2 too many. The task on the other machine is not to blame.
    tasks = (*(task(3, 0, deadline=7) for _ in range(3)), task(3, 1, deadline=7))
    (reason,) = reasons(Problem(tasks, (Pool("machine", 1), Pool("other", 1))))
    assert reason == ("resource", {0, 1, 2}, {0}, 2)


def test_a_task_too_long_for_its_deadline_is_named() -> None:
    ((kind, tasks, _, _),) = reasons(Problem((task(2), task(5, release=2, deadline=6)), links=chain(0, 1)))
    assert (kind, 1 in tasks) == ("task", True)


def test_a_task_that_finds_its_only_resource_closed_is_named() -> None:
    ((kind, tasks, _, _),) = reasons(Problem((task(3, 0, deadline=8),), (Pool("machine", 1, (Closure(2, 6, 1),)),)))
    assert (kind, tasks) == ("task", {0})


def test_what_only_a_search_finds_out_is_told_as_such() -> None:
    # Three tasks of 2 minutes that each need two of three machines: any two of them meet on one, and there are 5.
    tasks = tuple(Task("both", (Mode(2, (Use((one,)), Use((other,)))),)) for one, other in ((0, 1), (1, 2), (0, 2)))
    problem = Problem(tasks, tuple(Pool(f"machine {number}", 1) for number in range(3)), horizon=5)
    assert reasons(problem) == [("search", set(), set(), 0)]


def test_a_late_delivery_is_no_infeasibility() -> None:
    problem = Problem((task(5),), deliveries=(Delivery("cake", (0,), 2),))
    assert solve(problem, workers=1).conflicts == ()
