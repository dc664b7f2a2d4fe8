"""A schedule with less waiting in it, every choice and every order as they are.

Held in its order, a schedule is a partial order: a task starts once those that give it room
have ended (Policella, Cesta, Oddi and Smith, "From precedence constraint posting to partial
order schedules", AI Communications 20, 2007). What is left is differences of starts, and a
waiting that is linear in them, which is solved in no time whatever the size.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from ortools.sat.python import cp_model

from stationplan.engine.limits import Limits
from stationplan.engine.plain_model import PlainModel
from stationplan.engine.problem import Assignment, Chamber, Link, LinkKind, Mode, Problem, Schedule
from stationplan.engine.solver import Settings, run
from stationplan.engine.windows import Interval, Windows, calendar_of, clip, resource_starts, use_length

# It is far below both but for the largest problems.
MOST_SECONDS, MOST_EFFORT = 2.0, 2.0


@dataclass(frozen=True, slots=True)
class _Moment:
    """Minutes after the start of a task; without a task a minute of its own."""

    task: int | None
    minutes: int
    now: int

    @property
    def key(self) -> tuple[int, int]:
        """The task, or -1, and the minutes."""
        return (-1 if self.task is None else self.task), self.minutes


@dataclass(frozen=True, slots=True)
class _Taken:
    """Room taken of one resource."""

    begin: _Moment
    end: _Moment
    amount: int
    state: str = ""


_Gap = tuple[_Moment, _Moment, int]
"""The second moment comes so many minutes after the first, or more."""


def drawn_together(problem: Problem, windows: Windows, schedule: Schedule, by_work: bool, seed: int) -> Schedule | None:
    """The schedule with its tasks moved to where they wait the least, without a change of order or of place.

    What stands nowhere for no time goes on doing so, nothing is delivered later than it is or is due, and nothing
    ends after the last end.

    Args:
        problem: the problem.
        windows: its windows.
        schedule: a feasible schedule.
        by_work: whether only work may count, and no seconds.
        seed: random seed.

    Returns:
        A schedule that waits no longer; None where there was no time to find one.
    """
    modes = [task.modes[place.mode] for task, place in zip(problem.tasks, schedule.tasks, strict=True)]
    model = PlainModel()
    starts = []
    for task, intervals in enumerate(_starts(problem, windows, schedule)):
        domain = cp_model.Domain.from_intervals([list(interval) for interval in intervals])
        starts.append(model.new_int_var_from_domain(domain, f"start {task}"))
        model.add_hint(starts[task], schedule.tasks[task].start)
    for before, after, minutes in _least_gaps(problem, schedule, modes):
        first, second = (
            moment.minutes if moment.task is None else starts[moment.task] + moment.minutes
            for moment in (before, after)
        )
        model.add(second - first >= minutes)
    model.minimize(sum(link.tidy * (starts[link.after] - starts[link.before]) for link in problem.links if link.tidy))
    limits = Limits(None if by_work else MOST_SECONDS, MOST_EFFORT)
    answer = run(model, limits, Settings(seed, 1))
    if not answer.found:
        return None
    return Schedule(
        tuple(
            Assignment(answer.value(start), place.mode, place.resources)
            for start, place in zip(starts, schedule.tasks, strict=True)
        ),
        schedule.holds,
    )


def _starts(problem: Problem, windows: Windows, schedule: Schedule) -> Iterator[list[Interval]]:
    """For each task the starts at which its places are open, and it ends no later than it may."""
    count = len(problem.tasks)
    latest = [max(schedule.end(problem, task) for task in range(count))] * count
    for delivery in problem.deliveries:
        ready = max((schedule.end(problem, task) for task in delivery.tasks), default=0)
        for task in delivery.tasks:
            latest[task] = min(latest[task], max(delivery.due, ready))
    calendars = [calendar_of(problem, index) for index in range(len(problem.resources))]
    for task, place in enumerate(schedule.tasks):
        mode = problem.tasks[task].modes[place.mode]
        starts = clip(windows.allowed[task][place.mode], 0, latest[task] - mode.duration)
        for use, resource in zip(mode.uses, place.resources, strict=True):
            length = use_length(mode, use)
            if length and use.amount:
                starts = resource_starts(problem, calendars[resource], resource, use, length, starts)
        yield starts


def _least_gaps(problem: Problem, schedule: Schedule, modes: list[Mode]) -> Iterator[_Gap]:
    """Everything that keeps two moments apart: lags, holds, and the order on each resource."""

    def moment(task: int, minutes: int) -> _Moment:
        return _Moment(task, minutes, schedule.tasks[task].start + minutes)

    for link in problem.links:
        yield from _lags(link, moment(link.before, _from(link, modes)), moment(link.after, _to(link, modes)))
    taken: dict[int, list[_Taken]] = defaultdict(list)
    for hold, resource in zip(problem.holds, schedule.holds, strict=True):
        begin, end = moment(hold.before, modes[hold.before].duration), moment(hold.after, 0)
        yield begin, end, 0
        if begin.now == end.now:
            yield end, begin, 0
        elif hold.amount:
            taken[resource].append(_Taken(begin, end, hold.amount))
    for task, (mode, place) in enumerate(zip(modes, schedule.tasks, strict=True)):
        for use, resource in zip(mode.uses, place.resources, strict=True):
            length = use_length(mode, use)
            if length and use.amount:
                begin, end = moment(task, use.offset), moment(task, use.offset + length)
                taken[resource].append(_Taken(begin, end, use.amount, use.state or ""))
    for index, resource_data in enumerate(problem.resources):
        closed = [
            _Taken(_Moment(None, start, start), _Moment(None, end, end), resource_data.capacity - max(0, room))
            for start, end, room in calendar_of(problem, index)
        ]
        spans = sorted([*closed, *taken[index]], key=lambda span: (span.begin.now, span.end.now, span.begin.key))
        yield from _handed_on(resource_data.capacity, spans)
        if isinstance(resource_data, Chamber):
            yield from _changeovers(resource_data, spans)
            yield from _restarts(resource_data, spans)


def _from(link: Link, modes: list[Mode]) -> int:
    return modes[link.before].duration if link.kind in (LinkKind.END_START, LinkKind.END_END) else 0


def _to(link: Link, modes: list[Mode]) -> int:
    return modes[link.after].duration if link.kind in (LinkKind.END_END, LinkKind.START_END) else 0


def _lags(link: Link, before: _Moment, after: _Moment) -> Iterator[_Gap]:
    if link.least is not None:
        yield before, after, link.least
    if link.most is not None:
        yield after, before, -link.most


def _handed_on(capacity: int, spans: list[_Taken]) -> Iterator[_Gap]:
    """Each span takes its room from those that have given it back first."""
    free: list[tuple[_Moment | None, int]] = [(None, capacity)]
    for span in spans:
        missing, rest = span.amount, []
        for giver, amount in sorted(free, key=lambda part: 0 if part[0] is None else part[0].now):
            given = min(amount, missing) if giver is None or giver.now <= span.begin.now else 0
            missing -= given
            if given and giver is not None:
                yield giver, span.begin, 0
            if amount > given:
                rest.append((giver, amount - given))
        free = [*rest, (span.end, span.amount)]


def _changeovers(chamber: Chamber, spans: list[_Taken]) -> Iterator[_Gap]:
    """After the last uses in every other state, by the time that the change takes.

    Those before them are further away still, for they have ended before another state began.
    """
    runs: dict[str, list[_Taken]] = {}
    last = ""
    for span in spans:
        for state, run_of_state in runs.items():
            minutes = chamber.changeovers.get((state, span.state), 0)
            if state != span.state or (chamber.capacity == 1 and minutes):
                for other in run_of_state:
                    yield other.end, span.begin, minutes
        if span.state != last or span.state not in runs:
            runs[span.state] = []
        runs[span.state].append(span)
        last = span.state


def _restarts(chamber: Chamber, spans: list[_Taken]) -> Iterator[_Gap]:
    """Each use stays on its side of the moments from which the chamber begins anew, or goes on through them."""
    for restart in chamber.restarts:
        moment = _Moment(None, restart, restart)
        through = any(span.begin.now < restart < span.end.now for span in spans)
        for span in spans:
            if span.begin.now >= restart:
                yield moment, span.begin, 0 if through else chamber.after_restarts.get(span.state, 0)
            elif span.end.now <= restart:
                yield span.end, moment, 0
            else:
                yield span.begin, moment, 1
                yield moment, span.end, 1
