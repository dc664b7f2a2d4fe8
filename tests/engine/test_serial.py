"""Serial generation: where a task goes among several places."""

from __future__ import annotations

from stationplan.engine.problem import Chamber, Mode, Problem, Task, Use
from stationplan.engine.serial import SerialGenerator
from stationplan.engine.windows import Windows, find_windows

OVENS = tuple(Chamber(f"oven {n}", 1, {("hot", "mild"): 1, ("mild", "hot"): 1}) for n in range(2))


def bake(minutes: int, state: str) -> Task:
    return Task(f"bake {state}", (Mode(minutes, (Use((0, 1), state=state),)),))


def starts(reluctance: int) -> list[tuple[int, int]]:
    """Start and oven of a hot bake of 5 minutes, a mild one of 2, and another hot one."""
    problem = Problem((bake(5, "hot"), bake(2, "mild"), bake(5, "hot")), OVENS)
    windows = find_windows(problem)
    assert isinstance(windows, Windows)
    generator = SerialGenerator(problem, windows, reluctance)
    assert all(generator.place([task]) for task in range(3))
    return [(place.start, place.resources[0]) for place in generator.schedule().tasks]


def test_a_task_takes_the_place_that_is_ready_first() -> None:
    # The mild oven is free and hot at 2 + 1, the hot one at 5.
    assert starts(reluctance=0) == [(0, 0), (0, 1), (3, 1)]


def test_a_reluctant_task_rather_waits_than_let_a_chamber_change() -> None:
    assert starts(reluctance=3) == [(0, 0), (0, 1), (5, 0)]
    # But not for longer than told.
    assert starts(reluctance=1) == [(0, 0), (0, 1), (3, 1)]
