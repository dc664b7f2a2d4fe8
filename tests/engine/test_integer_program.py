"""On small problems the engine finds what an integer program, solved by another solver, finds."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from .brute_force import optimum, safe_horizon
from .build import costs
from .integer_program import lateness_and_makespan
from .random_problems import random_problem

if TYPE_CHECKING:
    from stationplan.engine.problem import Problem


def problem_for_a_program(seed: int) -> Problem:
    """A random problem with a horizon and without links from a task to itself."""
    problem = random_problem(seed, tasks=7, horizon=12)
    links = tuple(link for link in problem.links if link.before != link.after)
    horizon = min(12, safe_horizon(problem)) if problem.horizon is None else problem.horizon
    return replace(problem, links=links, horizon=horizon)


@pytest.mark.parametrize("chunk", range(10))
def test_the_optimum_is_that_of_a_time_indexed_integer_program(chunk: int) -> None:
    for seed in range(40_000 + chunk * 8, 40_000 + (chunk + 1) * 8):
        problem = problem_for_a_program(seed)
        found = costs(problem)
        assert (None if found is None else found[:2]) == lateness_and_makespan(problem), f"seed {seed}"


@pytest.mark.parametrize("chunk", range(2))
def test_brute_force_and_integer_program_agree_with_each_other(chunk: int) -> None:
    # Otherwise a mistake in one of the two could hide one in the engine.
    for seed in range(50_000 + chunk * 30, 50_000 + (chunk + 1) * 30):
        problem = problem_for_a_program(seed)
        best = optimum(problem)
        assert (None if best is None else (best.lateness, best.makespan)) == lateness_and_makespan(problem), (
            f"seed {seed}"
        )
