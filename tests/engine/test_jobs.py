"""Jobs are what only resources tie together; those of a kind differ in nothing but their names."""

from __future__ import annotations

from dataclasses import replace

from stationplan.engine.jobs import JobKind, kinds_of_jobs
from stationplan.engine.problem import Hold, Pool, Problem
from stationplan.engine.windows import Windows, find_windows

from .build import chain, task


def kinds_of(problem: Problem) -> list[JobKind]:
    windows = find_windows(problem)
    assert isinstance(windows, Windows)
    return kinds_of_jobs(problem, windows)


PAIRS = Problem(
    (task(2), task(3, 0), task(2), task(3, 0), task(2), task(4, 0)),
    (Pool("oven", 1), Pool("rack", 2)),
    links=(*chain(0, 1), *chain(2, 3), *chain(4, 5)),
    horizon=40,
)


def test_alike_jobs_are_one_kind() -> None:
    first, second = kinds_of(PAIRS)
    assert (first.jobs, second.jobs) == (((0, 1), (2, 3)), ((4, 5),))
    assert first.arcs == second.arcs == ((0, 1, 2),)


def test_a_job_that_may_start_later_is_another_kind() -> None:
    late = replace(PAIRS, tasks=(*PAIRS.tasks[:2], replace(PAIRS.tasks[2], release=1), *PAIRS.tasks[3:]))
    assert [kind.jobs for kind in kinds_of(late)] == [((0, 1),), ((2, 3),), ((4, 5),)]


def test_a_job_that_keeps_something_is_another_kind() -> None:
    keeping = replace(PAIRS, holds=(Hold(2, 3, (1,)),))
    assert [(kind.jobs, kind.holds) for kind in kinds_of(keeping)] == [
        (((0, 1),), ()),
        (((2, 3),), ((0, 1, 0),)),
        (((4, 5),), ()),
    ]
