"""Working through a plan a thousand times: one pass over its moments, all runs of a part at once.

This is the usual Monte Carlo evaluation of an activity network whose times are random (Van Slyke, Monte Carlo methods
and the PERT problem, Operations Research 11, 1963), with the criticality index as Martin (Distribution of the time
through a directed, acyclic network, Operations Research 13, 1965) and Van Slyke define it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from stationplan.live.drawing import RUNS_OF_A_PART, Altered, Chance, lengths
from stationplan.plan.trials import side_by_side

if TYPE_CHECKING:
    from collections.abc import Sequence
    from concurrent.futures import Executor

    from stationplan.live.course import Arc, Course
    from stationplan.live.drawing import Bools, Floats

_SAME = 1e-6
"""Minutes below which two moments are the same."""


@dataclass(frozen=True, slots=True)
class Part:
    """Some runs to be made, and whether only their ends are asked for."""

    course: Course
    chance: Chance
    number: int
    runs: int
    altered: Altered | None = None
    only_ends: bool = False


@dataclass(frozen=True, eq=False)
class Runs:
    """What came of runs; an array has a row for each of what it is about and a column for each run.

    Attributes:
        finish: when everything was done, a single row.
        ready: when each order was.
        over: for each wait with a most, minutes that it was too long.
        standing: for each batch, minutes that it stayed where it is beyond the long end of its range: nobody was free
            to go on with it, or there was no room for what comes out of it.
        overtime: for each last work of somebody's day, minutes after their hours.
        critical: for each batch, the number of runs in which the finish hung on it.
        delaying: for each batch, the number of runs in which an order that was late hung on it.
    """

    finish: Floats
    ready: Floats
    over: Floats
    standing: Floats
    overtime: Floats
    critical: Floats
    delaying: Floats


def run_part(part: Part) -> Runs:
    """Work through a plan some times.

    Args:
        part: the runs.
    """
    course = part.course
    drawn = lengths(course, part.chance, part.number, part.runs, part.altered)
    at = moments(course, drawn, part.runs)
    finish = np.max(at[list(course.ends)], axis=0, initial=0.0)
    ready = np.array([at[list(order.ready)].max(axis=0) for order in course.orders]).reshape(-1, part.runs)
    none = np.zeros((0, part.runs))
    if part.only_ends:
        return Runs(finish, ready, none, none, none, np.zeros(0), np.zeros(0))
    over = [at[one.begin] - at[one.end] - one.most for one in course.limits]
    standing = [
        at[work.end] - at[work.begin] - work.load - work.unload - np.maximum(work.most, sum(drawn[number]))
        for number, work in enumerate(course.works)
    ]
    overtime = [at[one.end] - one.hours for one in course.leavings]
    return Runs(
        finish,
        ready,
        _rows(over, part.runs),
        _rows(standing, part.runs),
        _rows(overtime, part.runs),
        _hanging(course, drawn, at, _last(course, at, finish)),
        _hanging(course, drawn, at, _late(course, at, ready)),
    )


def _rows(minutes: Sequence[Floats], runs: int) -> Floats:
    return np.maximum(np.array(minutes), 0.0).reshape(-1, runs)


def moments(course: Course, drawn: Sequence[tuple[Floats, Floats, Floats]], runs: int) -> Floats:
    """When each moment comes in each run, a row a moment, minutes since midnight of the first day.

    Args:
        course: the plan.
        drawn: minutes of the three stretches of every batch, run by run.
        runs: how many runs there are.
    """
    at = np.empty((len(course.moments), runs))
    for number, moment in enumerate(course.moments):
        now = np.full(runs, float(moment.earliest))
        if moment.held:
            until = np.full(runs, float(moment.planned))
            for one, most in moment.unless:
                np.minimum(until, at[one] + most, out=until)
            np.maximum(now, until, out=now)
        for arc in course.arcs[number]:
            np.maximum(now, at[arc.before] + _lag(arc, drawn), out=now)
        for after, again in moment.shut:
            now = np.where((now > after) & (now < again), float(again), now)
        at[number] = now
    return at


def _lag(arc: Arc, drawn: Sequence[tuple[Floats, Floats, Floats]]) -> Floats | float:
    return arc.minutes if arc.work is None else drawn[arc.work][arc.stretch]


def _last(course: Course, at: Floats, finish: Floats) -> Bools:
    """Which moments are the finish, run by run."""
    marked = np.zeros(at.shape, dtype=bool)
    ends = list(course.ends)
    marked[ends] = at[ends] >= finish - _SAME
    return marked


def _late(course: Course, at: Floats, ready: Floats) -> Bools:
    """Which moments make a late order ready, run by run."""
    marked = np.zeros(at.shape, dtype=bool)
    for order, moment in zip(course.orders, ready, strict=True):
        if order.due is not None:
            ends = list(order.ready)
            marked[ends] |= (at[ends] >= moment - _SAME) & (moment > order.due + _SAME)
    return marked


def _hanging(course: Course, drawn: Sequence[tuple[Floats, Floats, Floats]], at: Floats, marked: Bools) -> Floats:
    """In how many runs each batch is on a longest path to what is marked.

    The way leads backwards along what each moment waited for; a moment that waited for its planned time ends it.
    """
    hangs = np.zeros((len(course.works), at.shape[1]), dtype=bool)
    for number in reversed(range(len(course.moments))):
        if not marked[number].any():
            continue
        for arc in course.arcs[number]:
            tight = marked[number] & (at[arc.before] + _lag(arc, drawn) >= at[number] - _SAME)
            marked[arc.before] |= tight
            if arc.work is not None:
                hangs[arc.work] |= tight
    return np.array(hangs.sum(axis=1), dtype=float)


def parts_of(
    course: Course, chance: Chance, runs: int, altered: Altered | None = None, *, only_ends: bool = False
) -> list[Part]:
    """The runs in parts that can be made side by side.

    Args:
        course: the plan.
        chance: what is left to chance.
        runs: how many in all.
        altered: a batch made easier.
        only_ends: whether only the finish and the orders are asked for.
    """
    starts = range(0, runs, RUNS_OF_A_PART)
    return [
        Part(course, chance, number, min(RUNS_OF_A_PART, runs - start), altered, only_ends)
        for number, start in enumerate(starts)
    ]


def run_all(parts: Sequence[Part], executor: Executor | None = None) -> list[Runs]:
    """Make all the runs, by others where there is somebody; their number changes nothing.

    Args:
        parts: the runs.
        executor: who makes them; None for this process.

    Raises:
        KeyboardInterrupt: when it is interrupted.
    """
    if executor is None:
        return [run_part(part) for part in parts]
    answers = side_by_side(run_part, parts, executor)
    found = [answer for answer in answers if answer is not None]
    if len(found) < len(parts):
        raise KeyboardInterrupt
    return found


def together(parts: Sequence[Runs]) -> Runs:
    """The runs of several parts as one.

    Args:
        parts: in their order, at least one.
    """
    return Runs(
        np.concatenate([part.finish for part in parts]),
        np.concatenate([part.ready for part in parts], axis=1),
        np.concatenate([part.over for part in parts], axis=1),
        np.concatenate([part.standing for part in parts], axis=1),
        np.concatenate([part.overtime for part in parts], axis=1),
        np.sum([part.critical for part in parts], axis=0),
        np.sum([part.delaying for part in parts], axis=0),
    )
