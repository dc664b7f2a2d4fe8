"""A conflict that the engine finds is one, and needs each of its members: trying everything confirms both."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from random import Random

import pytest

from stationplan.engine.core import find_core
from stationplan.engine.infeasible import contradiction
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Chamber, Link, Mode, Pool, Problem, Task, Use
from stationplan.engine.requirements import Requirement, without
from stationplan.engine.solver import Settings

from .brute_force import optimum
from .build import start_lag, task
from .random_problems import random_problem

SETTINGS = Settings(seed=0, workers=1)


def everything_of(problem: Problem) -> list[Requirement]:
    """Each lag, each limit, each calendar, each task and the horizon: whatever can be left out."""

    def parts() -> Iterator[Requirement]:
        yield Requirement(horizon=True)
        for index, link in enumerate(problem.links):
            if link.most is not None:
                yield Requirement(mosts=(index,))
            if (link.least or 0) > 0:
                yield Requirement(leasts=(index,))
        for index, resource in enumerate(problem.resources):
            yield Requirement(limits=(index,))
            if isinstance(resource, Chamber):
                yield Requirement(firsts=(index,))
                yield Requirement(changeovers=(index,))
            else:
                yield Requirement(closures=(index,))
        for index in range(len(problem.tasks)):
            yield Requirement(tasks=(index,))

    return list(parts())


def possible(problem: Problem, requirements: list[Requirement], kept: set[int]) -> bool:
    left_out = [part for position, part in enumerate(requirements) if position not in kept]
    return optimum(without(problem, left_out)) is not None


def members(problem: Problem, requirements: list[Requirement]) -> tuple[int, ...]:
    core = find_core(problem, requirements, Limits(None, 100), SETTINGS)
    assert core.unproved == ()
    return core.members


@pytest.mark.parametrize("chunk", range(4))
def test_a_conflict_is_one_and_without_any_of_its_members_is_none(chunk: int) -> None:
    impossible = 0
    for seed in range(40_000 + chunk * 60, 40_000 + (chunk + 1) * 60):
        problem = random_problem(seed, tasks=4, horizon=8, longest=3)
        if problem.horizon is None or optimum(problem) is not None:
            continue
        impossible += 1
        requirements = everything_of(problem)
        found = set(members(problem, requirements))
        assert not possible(problem, requirements, found), f"seed {seed}"
        for member in found:
            assert possible(problem, requirements, found - {member}), f"seed {seed}, member {member}"
    assert impossible > 3


def test_a_circle_of_lags_needs_each_of_its_lags_and_no_other() -> None:
    # 1 at least 3 after 0, 2 at least 3 after 1, 2 at most 5 after 0; the lag to task 3 has nothing to do with it.
    links = (start_lag(0, 1, 3), start_lag(1, 2, 3), start_lag(0, 2, None, 5), start_lag(0, 3, 1, 4))
    problem = Problem((task(1),) * 4, links=links)
    requirements = [
        *(Requirement(leasts=(index,)) for index in (0, 1, 3)),
        *(Requirement(mosts=(index,)) for index in (2, 3)),
    ]
    assert members(problem, requirements) == (0, 1, 3)


def test_a_requirement_may_be_many_parts_of_the_problem_at_once() -> None:
    # Two batches of a step within 2 minutes after the one before, and one machine for which they queue.
    tasks = (task(1), task(1), task(4, 0), task(4, 0))
    links = (Link(0, 2, 0, 2), Link(1, 3, 0, 2), start_lag(0, 1, 0, 0))
    problem = Problem(tasks, (Pool("machine", 1), Pool("another", 1)), links)
    requirements = [
        Requirement(mosts=(0, 1)),
        Requirement(limits=(0,)),
        Requirement(limits=(1,)),
        Requirement(mosts=(2,)),
    ]
    assert members(problem, requirements) == (0, 1, 3)


def test_what_comes_first_is_named_rather_than_what_comes_last() -> None:
    # 9 minutes of work by 7, on one machine or with one person: either of the two explains it.
    both = Task("both", (Mode(3, (Use((0,)), Use((1,)))),), deadline=7)
    problem = Problem((both,) * 3, (Pool("machine", 1), Pool("person", 1)), horizon=7)
    machine, person = Requirement(limits=(0,)), Requirement(limits=(1,))
    assert members(problem, [machine, person]) == (0,)
    assert members(problem, [person, machine]) == (0,)


def test_nothing_is_named_when_there_is_no_schedule_whatever_is_left_out() -> None:
    problem = Problem((task(5, 0, deadline=4),), (Pool("machine", 1),), horizon=9)
    assert members(problem, [Requirement(limits=(0,)), Requirement(horizon=True)]) == ()


def test_without_requirements_nothing_is_named() -> None:
    assert members(Problem((task(5, deadline=4),)), []) == ()


def only_search_tells() -> tuple[Problem, list[Requirement]]:
    """Three tasks of 2 minutes that each need two of three machines: any two of them meet on one, and there are 5."""
    tasks = tuple(
        Task("both", (Mode(2, (Use((one,)), Use((other,)), Use((3,)))),)) for one, other in ((0, 1), (1, 2), (0, 2))
    )
    machines = tuple(Pool(f"machine {number}", 1) for number in range(3))
    problem = Problem(tasks, (*machines, Pool("plenty", 9)), horizon=5)
    return problem, [Requirement(horizon=True), *(Requirement(limits=(index,)) for index in (3, 0, 1, 2))]


def test_what_only_a_search_can_tell_is_narrowed_down_by_search() -> None:
    assert contradiction(only_search_tells()[0]) is None
    assert members(*only_search_tells()) == (0, 2, 3, 4)


@pytest.mark.parametrize("interrupted", [True, False])
def test_what_was_not_found_out_in_time_is_told_as_unproved(interrupted: bool) -> None:
    limits = Limits(None, 10 if interrupted else 0)
    limits.interrupted = interrupted
    core = find_core(*only_search_tells(), limits, SETTINGS)
    assert core.members == core.unproved == (0, 1, 2, 3, 4)


def test_the_same_effort_gives_the_same_conflict() -> None:
    assert len({find_core(*only_search_tells(), Limits(None, 1), SETTINGS) for _ in range(3)}) == 1


def lags_and_one_machine(seed: int) -> Problem:
    """Random tasks with least and most lags between them, some through one machine: RCPSP/max in the small."""
    draw = Random(seed)
    tasks = tuple(task(draw.randint(1, 3), *((0,) if draw.random() < 0.6 else ())) for _ in range(4))
    links = []
    for _ in range(5):
        before, after = draw.sample(range(4), 2)
        least = draw.randint(0, 3)
        links.append(start_lag(before, after, least, least + draw.randint(0, 3)))
    return Problem(tasks, (Pool("machine", 1),), tuple(links), horizon=9)


@pytest.mark.parametrize("chunk", range(2))
def test_a_conflict_of_lags_is_minimal_with_and_without_a_machine_in_it(chunk: int) -> None:
    kinds = Counter[str]()
    for seed in range(chunk * 40, (chunk + 1) * 40):
        problem = lags_and_one_machine(seed)
        reason = contradiction(problem)
        if reason is None and optimum(problem) is not None:
            continue
        kinds["search" if reason is None else reason.kind] += 1
        requirements = [part for part in everything_of(problem) if not part.horizon and not part.tasks]
        found = set(members(problem, requirements))
        assert not possible(problem, requirements, found), f"seed {seed}"
        for member in found:
            assert possible(problem, requirements, found - {member}), f"seed {seed}, member {member}"
    assert kinds["cycle"] > 3
    assert len(kinds) > 1
