"""Schedules pushed to the left and to the right."""

from __future__ import annotations

from dataclasses import replace

from stationplan.engine.justify import Builder, built
from stationplan.engine.problem import Assignment, Pool, Problem, Schedule
from stationplan.engine.result import Conflict
from stationplan.engine.verify import verify
from stationplan.engine.windows import find_windows

from .build import chain, kitchen, task


def builder_of(problem: Problem) -> Builder:
    windows = find_windows(problem)
    assert not isinstance(windows, Conflict)
    return Builder(problem, windows)


# Tasks of 4 and 5 minutes by one pair of hands, and 5 minutes of somebody else's after the first.
SMALL = Problem((task(4, 0), task(5, 0), task(5, 1)), (Pool("hands", 1), Pool("other", 1)), chain(0, 2))


def test_the_order_of_the_key_is_the_order_of_the_schedule() -> None:
    builder = builder_of(SMALL)
    first, last = builder.left([0, 1, 2]), builder.left([1, 0, 2])
    assert first is not None
    assert last is not None
    assert first.starts == [0, 4, 4]
    assert last.starts == [5, 0, 9]
    assert (first.cost[1], last.cost[1]) == (9, 14)


def test_justifying_mends_a_bad_order() -> None:
    # Of 5, 0 and 9, which end at 14, pushed to the right the last stays at 9 and the first at 5, but the second finds
    # room after it, at 9. In the order of these starts the first comes first, and everything ends at 9.
    builder = builder_of(SMALL)
    bad = builder.left([1, 0, 2])
    assert bad is not None
    justified = builder.justify(bad)
    assert justified is not None
    assert justified.starts == [0, 4, 4]


def test_everything_is_pushed_against_the_end() -> None:
    builder = builder_of(SMALL)
    found = builder.left([0, 1, 2])
    assert found is not None
    right = builder.right(found.schedule, 20, {})
    assert right is not None
    # The second and the third end at 20, and the first right before both.
    assert [place.start for place in right.tasks] == [11, 15, 15]


def test_latest_ends_are_kept_when_pushed_to_the_right() -> None:
    builder = builder_of(SMALL)
    found = builder.left([0, 1, 2])
    assert found is not None
    right = builder.right(found.schedule, 20, {1: 12})
    assert right is not None
    assert right.tasks[1].start + 5 <= 12


def test_what_is_pushed_to_the_right_is_a_schedule() -> None:
    problem = replace(kitchen(3, 3), deliveries=())
    builder = builder_of(problem)
    found = builder.build([float(number) for number in range(len(problem.tasks))])
    assert found is not None
    assert verify(problem, found.schedule) == ()
    late = found.cost[1] + 60
    right = builder.right(found.schedule, late, {})
    assert right is not None
    assert verify(problem, right) == ()
    assert max(right.end(problem, number) for number in range(len(problem.tasks))) == late


def test_the_cost_tells_equal_makespans_apart_by_their_starts() -> None:
    places = (Assignment(0, 0, (0,)), Assignment(4, 0, (0,)))
    later = Schedule((*places, Assignment(6, 0, (1,))), ())
    sooner = Schedule((*places, Assignment(4, 0, (1,))), ())
    assert built(SMALL, sooner).cost < built(SMALL, later).cost
