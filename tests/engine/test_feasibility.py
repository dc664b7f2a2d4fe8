"""Whether there is any schedule: the verdict against trying everything, and its doubts."""

from __future__ import annotations

from typing import Any, NoReturn

import pytest
from ortools.sat.python import cp_model

from stationplan.engine import feasibility
from stationplan.engine.feasibility import Verdict, decide
from stationplan.engine.infeasible import contradiction
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Consumable, Delivery, Mode, Pool, Problem, Task
from stationplan.engine.solver import Answer, Settings, run
from stationplan.engine.verify import verify

from .brute_force import optimum
from .build import task
from .random_problems import random_problem
from .test_core import only_search_tells

SETTINGS = Settings(seed=0, workers=1)


def verdict(problem: Problem, limits: Limits | None = None, effort: float = 10) -> Verdict:
    found, schedule = decide(problem, limits or Limits(None, None), SETTINGS, effort=effort)
    assert (schedule is not None) == (found is Verdict.POSSIBLE)
    assert schedule is None or verify(problem, schedule) == ()
    return found


@pytest.mark.parametrize("chunk", range(6))
def test_the_verdict_is_that_of_trying_everything(chunk: int) -> None:
    for seed in range(20_000 + 40 * chunk, 20_040 + 40 * chunk):
        problem = random_problem(seed, tasks=5, horizon=9)
        expected = Verdict.IMPOSSIBLE if optimum(problem) is None else Verdict.POSSIBLE
        assert verdict(problem) is expected, f"seed {seed}"


@pytest.mark.parametrize("chunk", range(4))
def test_a_contradiction_is_never_found_where_there_is_a_schedule(chunk: int) -> None:
    found = 0
    for seed in range(30_000 + 40 * chunk, 30_040 + 40 * chunk):
        problem = random_problem(seed, tasks=5, horizon=9)
        if contradiction(problem) is not None:
            found += 1
            assert optimum(problem) is None, f"seed {seed}"
    assert found


def test_a_late_delivery_is_no_matter() -> None:
    assert verdict(Problem((task(5),), deliveries=(Delivery("cake", (0,), 2),))) is Verdict.POSSIBLE


def test_stocks_are_left_to_the_search() -> None:
    frugal = Task("frugal", (Mode(1, consumes=((0, 1),)),))
    problem = Problem((frugal,) * 3, consumables=(Consumable("butter", 2),), horizon=9)
    assert verdict(problem) is Verdict.IMPOSSIBLE


def test_without_effort_nothing_is_decided() -> None:
    problem, _ = only_search_tells()
    assert verdict(problem, Limits(None, 0)) is Verdict.UNDECIDED
    assert verdict(problem, effort=0) is Verdict.UNDECIDED


def test_what_is_too_large_for_a_model_is_left_open(monkeypatch: pytest.MonkeyPatch) -> None:
    problem, _ = only_search_tells()
    assert verdict(problem) is Verdict.IMPOSSIBLE
    monkeypatch.setattr(feasibility, "MOST_TASKS_MODELLED", len(problem.tasks) - 1)
    assert verdict(problem) is Verdict.UNDECIDED


def test_an_interruption_leaves_it_open_and_is_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr(feasibility, "find_windows", interrupted)
    limits = Limits(None, None)
    assert verdict(Problem((task(5),)), limits) is Verdict.UNDECIDED
    assert limits.interrupted


class TestAskedAgain:
    """A claim of the solver that there is no schedule is asked once more, without probing."""

    def answers(self, monkeypatch: pytest.MonkeyPatch, *statuses: cp_model.CpSolverStatus | None) -> list[bool]:
        """Have the solver claim one thing after the other, its true answer for None; whether it was to probe."""
        probing: list[bool] = []
        claims = iter(statuses)

        def claim(*arguments: Any, **named: Any) -> Answer:
            probing.append(named.get("probing", True))
            answer = run(*arguments, **named)
            status = next(claims)
            return answer if status is None else Answer(status, answer.bound, answer.value)

        monkeypatch.setattr(feasibility, "run", claim)
        monkeypatch.setattr(feasibility, "quick_schedule", lambda *_: None)
        return probing

    def test_a_claim_that_is_confirmed_is_believed(self, monkeypatch: pytest.MonkeyPatch) -> None:
        probing = self.answers(monkeypatch, None, None)
        assert verdict(only_search_tells()[0]) is Verdict.IMPOSSIBLE
        assert probing == [True, False]

    def test_a_claim_that_is_refuted_is_not(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.answers(monkeypatch, cp_model.INFEASIBLE, None)
        assert verdict(Problem((task(2, 0),) * 2, (Pool("machine", 1),), horizon=4)) is Verdict.POSSIBLE

    def test_a_claim_that_is_not_confirmed_in_time_is_left_open(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.answers(monkeypatch, cp_model.INFEASIBLE, cp_model.UNKNOWN)
        assert verdict(only_search_tells()[0]) is Verdict.UNDECIDED
