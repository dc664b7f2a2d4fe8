"""What is not well formed is refused; what goes wrong during a solve does not lose its result."""

from __future__ import annotations

import textwrap
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import pytest
from ortools.sat.python import cp_model

from stationplan.engine import EngineError, ModelError, ProblemError, bounds, solve, solving
from stationplan.engine.problem import (
    Chamber,
    Closure,
    Consumable,
    Delivery,
    Hold,
    Link,
    Mode,
    Pool,
    Problem,
    Task,
    Use,
)
from stationplan.engine.result import Status

from .build import check, kitchen, run_program, task

if TYPE_CHECKING:
    from collections.abc import Callable

    from stationplan.engine.result import Bound, Progress
    from stationplan.engine.windows import Windows

POOL, OVEN = Pool("people", 2), Chamber("oven", 2)


def with_mode(*uses: Use, duration: int = 3, consumes: tuple[tuple[int, int], ...] = ()) -> Problem:
    return Problem(
        (Task("bake", (Mode(duration, uses, consumes),)),), (POOL, OVEN), consumables=(Consumable("salt", 1),)
    )


def related(*links: Link, holds: tuple[Hold, ...] = ()) -> Problem:
    return Problem((task(1), task(1)), (POOL, OVEN), links, holds)


@pytest.mark.parametrize(
    ("build", "message"),
    [
        (lambda: Problem((Task("bake", ()),)), "'bake' has no mode"),
        (lambda: Problem((task(1, name="bake", release=-1),)), "'bake' starts before time 0"),
        (lambda: Problem((task(1, name="bake", fixed_start=-1),)), "'bake' starts before time 0"),
        (lambda: Problem((), (Pool("people", -1),)), "'people' has a negative capacity"),
        (lambda: Problem((), (Chamber("oven", -1),)), "'oven' has a negative capacity"),
        (lambda: Problem((), (Pool("people", 1, (Closure(3, 2, 1),)),)), "'people' has a closure"),
        (lambda: Problem((), (Pool("people", 1, (Closure(2, 3, -1),)),)), "'people' has a closure"),
        (lambda: Problem((), (Chamber("oven", 1, closures=(Closure(3, 2, 1),)),)), "'oven' has a closure"),
        (lambda: Problem((), (Chamber("oven", 1, {("a", "b"): -1}),)), "'oven' has a changeover"),
        (lambda: Problem((), (Chamber("oven", 1, {}, {"a": -1}),)), "'oven' has a changeover"),
        (lambda: Problem((), horizon=-1), "negative"),
        (lambda: Problem((), tidy_changeover=-1), "negative"),
        (lambda: Problem((), consumables=(Consumable("salt", -1),)), "negative"),
        (lambda: related(Link(0, 2)), "does not exist"),
        (lambda: related(Link(-1, 0)), "does not exist"),
        (lambda: related(Link(0, 1, 3, 2)), "a most of 2 below its least of 3"),
        (lambda: related(Link(0, 1, tidy=-1)), "tidy"),
        (lambda: related(Link(0, 1, None, 3, tidy=1)), "tidy"),
        (lambda: related(holds=(Hold(0, 2, (0,)),)), "does not exist"),
        (lambda: related(holds=(Hold(0, 1, ()),)), "a hold needs a place"),
        (lambda: related(holds=(Hold(0, 1, (0,), -1),)), "a hold needs a place and an amount"),
        (lambda: related(holds=(Hold(0, 1, (2,)),)), "a hold must be in a pool"),
        (lambda: related(holds=(Hold(0, 1, (1,)),)), "a hold must be in a pool"),
        (lambda: Problem((task(1),), deliveries=(Delivery("cake", (1,), 5),)), "'cake' has a bad weight or task"),
        (lambda: Problem((task(1),), deliveries=(Delivery("cake", (0,), 5, -1),)), "'cake' has a bad weight or task"),
        (lambda: Problem((task(1),), series=(((0,), (0,)),)), "the series name a task twice"),
        (lambda: Problem((task(1),), series=(((1,),),)), "the series name a task twice, or one that does not exist"),
        (lambda: Problem((task(1),) * 3, series=(((0,), (1, 2)),)), "the same stages"),
        (lambda: with_mode(duration=-1), "'bake' has a negative duration"),
        (lambda: with_mode(Use(())), "'bake' has a use without resource"),
        (lambda: with_mode(Use((0,), -1)), "negative amount"),
        (lambda: with_mode(Use((0,), 1, -1)), "negative"),
        (lambda: with_mode(Use((0,), 1, 0, -1)), "longer than the task"),
        (lambda: with_mode(Use((0,), 1, 1, 3)), "longer than the task"),
        (lambda: with_mode(Use((0,), 1, 4)), "longer than the task"),
        (lambda: with_mode(Use((2,))), "a resource that does not exist"),
        (lambda: with_mode(Use((-1,))), "a resource that does not exist"),
        (lambda: with_mode(Use((1,))), "a chamber needs a state"),
        (lambda: with_mode(Use((0,), state="hot")), "a pool takes none"),
        (lambda: with_mode(Use((0, 1), state="hot")), "a pool takes none"),
        (lambda: with_mode(Use((1,), 1, 0, 0, "hot")), "for no time"),
        (lambda: with_mode(Use((1,), 0, state="hot")), "takes no room"),
        (lambda: with_mode(consumes=((1, 1),)), "consumes something that does not exist"),
        (lambda: with_mode(consumes=((0, -1),)), "consumes something"),
    ],
)
def test_a_problem_that_is_not_well_formed_is_refused(build: Callable[[], Problem], message: str) -> None:
    with pytest.raises(ProblemError, match=message):
        build()


def test_all_errors_of_the_engine_are_of_one_family() -> None:
    assert issubclass(ProblemError, EngineError)
    assert issubclass(ModelError, EngineError)


def test_no_effort_at_all_says_nothing_false() -> None:
    result = solve(kitchen(2, 2), effort=0.0)
    assert result.status in (Status.UNKNOWN, Status.FEASIBLE)
    assert (result.schedule is None) == (result.status is Status.UNKNOWN)


def test_progress_is_told_and_never_gets_worse() -> None:
    told: list[Progress] = []
    problem = kitchen(3, 2)
    result = solve(problem, effort=0.5, on_progress=told.append)
    check(problem, result)
    assert told
    for earlier, later in pairwise(told):
        assert earlier.seconds <= later.seconds
        if earlier.tier is later.tier:
            assert earlier.bound <= later.bound
            assert earlier.value is None or (later.value is not None and later.value <= earlier.value)


@pytest.mark.parametrize("error", [ValueError, BrokenPipeError, EngineError])
def test_a_callback_that_raises_does_not_lose_the_result(error: type[Exception]) -> None:
    def complain(progress: Progress) -> None:
        raise error(progress.phase)

    problem = kitchen(3, 2)
    quiet = solve(problem, effort=0.5, seed=3)
    result = solve(problem, effort=0.5, seed=3, on_progress=complain)
    check(problem, result)
    assert result.tiers == quiet.tiers


@pytest.mark.parametrize("when", [1, 3])
def test_a_callback_may_interrupt_the_solve_and_keeps_the_best_schedule(when: int) -> None:
    # So that a caller can stop a solve from within.
    seen = 0

    def interrupt(progress: Progress) -> None:
        nonlocal seen
        seen += progress.value is not None
        if seen == when:
            raise KeyboardInterrupt

    problem = kitchen(4, 4)
    result = solve(problem, effort=0.5, on_progress=interrupt)
    check(problem, result)
    assert result.interrupted


def test_a_solver_that_breaks_down_is_asked_again(monkeypatch: pytest.MonkeyPatch) -> None:
    # Seen with OR-Tools 9.15: "IndexError: absl::btree_map::at" out of presolve, for a small model in good order.
    problem = kitchen(2, 2)
    expected = solve(problem, workers=1)
    whole, calls = cp_model.CpSolver.solve, 0

    def breaks_down(solver: cp_model.CpSolver, *arguments: Any) -> Any:
        nonlocal calls
        calls += 1
        if calls % 2:
            raise IndexError("absl::btree_map::at")
        return whole(solver, *arguments)

    monkeypatch.setattr(cp_model.CpSolver, "solve", breaks_down)
    result = solve(problem, workers=1)
    assert calls > 1
    check(problem, result)
    assert result.tiers == expected.tiers


INTERRUPTED = textwrap.dedent(
    """
    import _thread, signal, threading
    from engine.build import check, kitchen
    from stationplan.engine import solve

    # A program started in the background may have Ctrl-C switched off.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    problem = kitchen(6, 6)
    found = threading.Event()

    def tell(progress):
        if progress.value is not None and not found.is_set():
            found.set()
            threading.Timer({delay}, _thread.interrupt_main).start()

    result = solve(problem, time_limit=300, on_progress=tell)
    check(problem, result)
    print(result.interrupted, result.status.value)
    """
)


@pytest.mark.parametrize("delay", [0.0, 0.3, 1.5])
def test_ctrl_c_ends_a_solve_with_the_best_schedule_so_far(delay: float) -> None:
    # In a process of its own, as the interruption must reach the main thread of a program.
    assert run_program(INTERRUPTED.format(delay=delay)).split() == ["True", "feasible"]


def test_a_horizon_too_short_for_anything_is_infeasible_and_no_error() -> None:
    assert solve(replace(kitchen(1, 1), horizon=5), workers=1).status is Status.INFEASIBLE


def test_a_task_in_two_series_is_refused() -> None:
    # Ordered by both series, two tasks would each have to start before the other.
    with pytest.raises(ProblemError, match="name a task twice"):
        Problem((task(1), task(1)), (), series=(((0,), (1,)), ((1,), (0,))))


def test_a_bound_above_the_value_is_no_proof(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = bounds.lower_bounds

    def too_high(problem: Problem, windows: Windows) -> tuple[Bound, ...]:
        return tuple(replace(bound, minutes=bound.minutes + 5) for bound in whole(problem, windows))

    monkeypatch.setattr(solving, "lower_bounds", too_high)
    with pytest.raises(ModelError, match="above the value"):
        solve(Problem((task(1),)))
