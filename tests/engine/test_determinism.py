"""The same problem, seed and effort give the same result, every time and everywhere."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import pytest

from stationplan.engine import solve

from .build import check, kitchen, run_program
from .random_problems import random_problem

if TYPE_CHECKING:
    from stationplan.engine.result import Result

PROGRAM = """
from engine.build import kitchen
from stationplan.engine import solve
result = solve(kitchen(4, 3), effort=0.4, seed=7)
print(repr((result.status, result.schedule, result.tiers, result.bounds)))
"""


def outcome(result: Result) -> object:
    return result.status, result.schedule, result.tiers, result.bounds


@cache
def solved(workers: int | None) -> Result:
    """What is found again and again."""
    return solve(kitchen(4, 3), effort=0.4, seed=7, workers=workers)


@pytest.mark.parametrize("workers", [None, 2])
def test_a_solve_with_the_same_effort_is_repeated_exactly(workers: int | None) -> None:
    problem = kitchen(4, 3)
    check(problem, solved(workers))
    assert outcome(solve(problem, effort=0.4, seed=7, workers=workers)) == outcome(solved(workers))


@pytest.mark.parametrize("hash_seed", ["1", "2"])
def test_another_process_finds_the_same_schedule(hash_seed: str) -> None:
    answer = run_program(PROGRAM, PYTHONHASHSEED=hash_seed)
    assert answer == repr(outcome(solved(None)))


def test_small_problems_are_repeated_exactly() -> None:
    for seed in range(80_000, 80_040):
        problem = random_problem(seed)
        assert outcome(solve(problem, effort=1.0)) == outcome(solve(problem, effort=1.0)), f"seed {seed}"


def test_more_effort_is_never_worse() -> None:
    problem = kitchen(4, 3)
    little, more = solve(problem, effort=0.1, seed=1), solve(problem, effort=0.6, seed=1)
    assert [tier.value for tier in more.tiers] <= [tier.value for tier in little.tiers]


def test_the_seed_changes_nothing_that_is_proved() -> None:
    problem = kitchen(2, 2)
    results = [solve(problem, seed=seed, workers=1) for seed in range(3)]
    assert len({(result.status, result.tiers) for result in results}) == 1
