"""On small random problems the engine finds what trying everything finds."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stationplan.engine import solve
from stationplan.engine.problem import Chamber
from stationplan.engine.result import Status

from .brute_force import Cost, optimum
from .build import costs
from .random_problems import STATES, random_problem

if TYPE_CHECKING:
    from stationplan.engine.problem import Problem

CHUNK = 20


def assert_same_optimum(problem: Problem, seed: int, *, tidy: bool) -> None:
    found = costs(problem)
    best = None if found is None else Cost(found[0], found[1], found[2] if tidy else 0)
    assert best == optimum(problem, tidy=tidy), f"seed {seed}"


@pytest.mark.parametrize("chunk", range(18))
def test_a_problem_of_up_to_six_tasks_has_the_optimum_of_brute_force(chunk: int) -> None:
    for seed in range(chunk * CHUNK, (chunk + 1) * CHUNK):
        assert_same_optimum(random_problem(seed), seed, tidy=False)


@pytest.mark.parametrize("chunk", range(10))
def test_a_tiny_problem_has_the_tidiest_optimum_of_brute_force(chunk: int) -> None:
    for seed in range(10_000 + chunk * CHUNK, 10_000 + (chunk + 1) * CHUNK):
        assert_same_optimum(random_problem(seed, tasks=4, horizon=9), seed, tidy=True)


@pytest.mark.parametrize("chunk", range(5))
def test_the_pooled_model_that_large_problems_start_with_says_nothing_false(
    chunk: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("stationplan.engine.search.FEWEST_FOR_POOLED", 0)
    for seed in range(15_000 + chunk * CHUNK, 15_000 + (chunk + 1) * CHUNK):
        assert_same_optimum(random_problem(seed), seed, tidy=False)


@pytest.mark.parametrize("chunk", range(4))
def test_chambers_that_start_again_have_the_optimum_of_brute_force(chunk: int) -> None:
    for seed in range(16_000 + chunk * CHUNK, 16_000 + (chunk + 1) * CHUNK):
        problem = random_problem(seed, tasks=5)
        draw = Random(seed)
        resources = tuple(
            replace(
                resource,
                first={state: draw.randint(1, 4) for state in STATES},
                restarts=tuple(draw.sample(range(1, 10), draw.choice((1, 2)))),
                again=draw.choice((None, {state: draw.randint(0, 4) for state in STATES})),
            )
            if isinstance(resource, Chamber)
            else resource
            for resource in problem.resources
        )
        assert_same_optimum(replace(problem, resources=resources), seed, tidy=False)


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(
    seed=st.integers(20_000, 2_000_000),
    tasks=st.integers(2, 5),
    horizon=st.integers(4, 12),
    longest=st.integers(1, 5),
)
def test_any_small_problem_has_the_optimum_of_brute_force(seed: int, tasks: int, horizon: int, longest: int) -> None:
    problem = random_problem(seed, tasks=tasks, horizon=horizon, longest=longest)
    # Brute force needs a short horizon to try all that is equally good in time.
    assert_same_optimum(problem, seed, tidy=tasks <= 4 and problem.horizon is not None)


@pytest.mark.parametrize("chunk", range(4))
def test_a_search_cut_short_still_says_nothing_false(chunk: int) -> None:
    for seed in range(30_000 + chunk * 15, 30_000 + (chunk + 1) * 15):
        problem = random_problem(seed)
        result = solve(problem, effort=0.001, workers=1)
        expected = optimum(problem)
        if result.status is Status.INFEASIBLE:
            assert expected is None
        if result.schedule is not None:
            assert expected is not None
            assert result.tiers[0].bound <= expected.lateness <= result.tiers[0].value
