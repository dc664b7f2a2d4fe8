"""The independent check of a schedule against its problem.

Written from the meaning of :mod:`stationplan.engine.problem` alone. It shares no
code with the model that makes schedules, so that a mistake there shows up here.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber, Link, LinkKind, Pool, Problem, Schedule

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence


@dataclass(frozen=True, slots=True, order=True)
class Objective:
    """What a schedule costs, most important first, so that two of them compare as the tiers do.

    ``lateness`` is weighted minutes, ``makespan`` minutes from 0, ``tidiness`` the
    weighted minutes beyond least lags plus the cost of state changes.
    """

    lateness: int
    makespan: int
    tidiness: int


@dataclass(frozen=True, slots=True)
class _Span:
    """Something taken of a resource over [start, end), minutes."""

    name: str
    start: int
    end: int
    amount: int
    state: str = ""


def verify(problem: Problem, schedule: Schedule) -> tuple[str, ...]:
    """Check a schedule against every rule of its problem.

    Args:
        problem: What had to be scheduled.
        schedule: The schedule to check, times in minutes from 0.

    Returns:
        A sentence for each violation; none when the schedule is feasible.
    """
    malformed = tuple(_malformed(problem, schedule))
    if malformed:
        return malformed
    return (
        *_windows(problem, schedule),
        *_links(problem, schedule),
        *_holds(problem, schedule),
        *_resources(problem, schedule),
        *_consumables(problem, schedule),
    )


def evaluate(problem: Problem, schedule: Schedule) -> Objective:
    """Compute what a feasible schedule costs.

    Args:
        problem: What had to be scheduled.
        schedule: A schedule of it that :func:`verify` has passed, times in minutes from 0.

    Returns:
        Its lateness, makespan and tidiness.
    """
    ends = [schedule.end(problem, task) for task in range(len(problem.tasks))]
    lateness = sum(
        delivery.weight * max(0, max(ends[task] for task in delivery.tasks) - delivery.due)
        for delivery in problem.deliveries
        if delivery.tasks
    )
    waited = sum(link.tidy * (_lag(problem, schedule, link) - (link.least or 0)) for link in problem.links)
    changes = sum(
        _state_changes(_spans(problem, schedule, index))
        for index, resource in enumerate(problem.resources)
        if isinstance(resource, Chamber) and resource.tidy
    )
    return Objective(lateness, max(ends, default=0), waited + problem.tidy_changeover * changes)


def _malformed(problem: Problem, schedule: Schedule) -> Iterator[str]:
    """Everything that keeps the schedule from being read at all."""
    if len(schedule.tasks) != len(problem.tasks):
        yield f"the schedule has {len(schedule.tasks)} tasks, the problem {len(problem.tasks)}"
    if len(schedule.holds) != len(problem.holds):
        yield f"the schedule has {len(schedule.holds)} holds, the problem {len(problem.holds)}"
    for task, assignment in zip(problem.tasks, schedule.tasks, strict=False):
        if not 0 <= assignment.mode < len(task.modes):
            yield f"task {task.name!r} has no mode {assignment.mode}"
            continue
        uses = task.modes[assignment.mode].uses
        if len(assignment.resources) != len(uses):
            yield f"task {task.name!r} has {len(assignment.resources)} resources for {len(uses)} uses"
        for use, resource in zip(uses, assignment.resources, strict=False):
            if resource not in use.resources:
                yield f"task {task.name!r} may not use resource {resource}"
    for number, (hold, resource) in enumerate(zip(problem.holds, schedule.holds, strict=False)):
        if resource not in hold.resources:
            yield f"hold {number} may not use resource {resource}"


def _windows(problem: Problem, schedule: Schedule) -> Iterator[str]:
    for index, task in enumerate(problem.tasks):
        start, end = schedule.tasks[index].start, schedule.end(problem, index)
        if start < 0:
            yield f"task {task.name!r} starts at {start}, before time 0"
        if start < task.release and task.fixed_start is None:
            yield f"task {task.name!r} starts at {start}, before its release at {task.release}"
        if task.deadline is not None and end > task.deadline:
            yield f"task {task.name!r} ends at {end}, after its deadline at {task.deadline}"
        if task.fixed_start is not None and start != task.fixed_start:
            yield f"task {task.name!r} starts at {start}, not at its fixed start {task.fixed_start}"
        if problem.horizon is not None and end > problem.horizon:
            yield f"task {task.name!r} ends at {end}, after the horizon {problem.horizon}"


def _lag(problem: Problem, schedule: Schedule, link: Link) -> int:
    """Minutes between the two ends the link speaks of."""
    from_start = link.kind in (LinkKind.START_START, LinkKind.START_END)
    to_start = link.kind in (LinkKind.START_START, LinkKind.END_START)
    origin = schedule.tasks[link.before].start if from_start else schedule.end(problem, link.before)
    target = schedule.tasks[link.after].start if to_start else schedule.end(problem, link.after)
    return target - origin


def _links(problem: Problem, schedule: Schedule) -> Iterator[str]:
    for link in problem.links:
        lag = _lag(problem, schedule, link)
        names = f"{problem.tasks[link.before].name!r} to {problem.tasks[link.after].name!r} ({link.kind})"
        if link.least is not None and lag < link.least:
            yield f"the lag from {names} is {lag}, below its least of {link.least}"
        if link.most is not None and lag > link.most:
            yield f"the lag from {names} is {lag}, above its most of {link.most}"


def _holds(problem: Problem, schedule: Schedule) -> Iterator[str]:
    for hold, place in zip(problem.holds, schedule.holds, strict=True):
        if hold.beside is not None and place != schedule.holds[hold.beside]:
            yield "two holds that stand together are in different places"
        end, start = schedule.end(problem, hold.before), schedule.tasks[hold.after].start
        if start < end:
            before, after = problem.tasks[hold.before].name, problem.tasks[hold.after].name
            yield f"task {after!r} starts at {start}, before {before!r}, whose result is held for it, ends at {end}"


def _spans(problem: Problem, schedule: Schedule, resource: int) -> list[_Span]:
    """What the tasks take of a resource, by start."""
    spans = []
    for task, assignment in zip(problem.tasks, schedule.tasks, strict=True):
        mode = task.modes[assignment.mode]
        for use, chosen in zip(mode.uses, assignment.resources, strict=True):
            if chosen == resource:
                start = assignment.start + use.offset
                length = mode.duration - use.offset if use.length is None else use.length
                spans.append(_Span(task.name, start, start + length, use.amount, use.state or ""))
    return sorted(spans, key=lambda span: (span.start, span.end))


def _hold_spans(problem: Problem, schedule: Schedule, resource: int) -> list[_Span]:
    """What the holds take of a resource."""
    return [
        _Span(
            f"{problem.tasks[hold.before].name} to {problem.tasks[hold.after].name}",
            schedule.end(problem, hold.before),
            schedule.tasks[hold.after].start,
            hold.amount,
        )
        for hold, chosen in zip(problem.holds, schedule.holds, strict=True)
        if chosen == resource
    ]


def _resources(problem: Problem, schedule: Schedule) -> Iterator[str]:
    for index, resource in enumerate(problem.resources):
        spans = _spans(problem, schedule, index)
        if isinstance(resource, Pool):
            yield from _overfull(resource, spans + _hold_spans(problem, schedule, index))
        else:
            yield from _overfull(Pool(resource.name, resource.capacity), spans)
            yield from _changeovers(resource, spans)
            yield from _shut(resource, spans)


def _overfull(pool: Pool, spans: Sequence[_Span]) -> Iterator[str]:
    """Sweep over time and name each stretch in which more is taken than is there."""
    taken: dict[int, int] = {}
    away: dict[int, int] = {}
    for span in spans:
        # A hold that ends before it begins is reported by its precedence; it takes nothing.
        if span.start < span.end:
            taken[span.start] = taken.get(span.start, 0) + span.amount
            taken[span.end] = taken.get(span.end, 0) - span.amount
    for closure in pool.closures:
        if closure.start < closure.end:
            away[closure.start] = away.get(closure.start, 0) + closure.amount
            away[closure.end] = away.get(closure.end, 0) - closure.amount
    need = closed = 0
    # Nothing is taken from the last moment on.
    for moment, following in pairwise(sorted(taken.keys() | away.keys())):
        need += taken.get(moment, 0)
        closed += away.get(moment, 0)
        room = max(0, pool.capacity - closed)
        if need > room:
            yield f"{pool.name!r} is asked for {need} from {moment} to {following} but has {room}"


def _changeovers(chamber: Chamber, spans: Sequence[_Span]) -> Iterator[str]:
    """Check every pair of uses of different state, by way of the latest end so far in each state."""
    latest: dict[str, _Span] = {}
    for span in spans:
        first = chamber.first.get(span.state, 0)
        if span.start < first:
            yield (
                f"task {span.name!r} starts in {chamber.name!r} at {span.start}, "
                f"before it can be in state {span.state!r} at {first}"
            )
        again = chamber.after_restarts.get(span.state, 0)
        for restart in chamber.restarts:
            through = any(other.start < restart < other.end for other in spans)
            if restart <= span.start < restart + again and not through:
                yield (
                    f"task {span.name!r} starts in {chamber.name!r} at {span.start}, but after {restart} "
                    f"it can be in state {span.state!r} at {restart + again}"
                )
        for state, earlier in latest.items():
            if state == span.state and (chamber.capacity != 1 or (state, state) not in chamber.changeovers):
                continue
            gap = max(0, chamber.changeovers.get((state, span.state), 0))
            if span.start < earlier.end + gap:
                yield (
                    f"task {span.name!r} starts in {chamber.name!r} in state {span.state!r} at {span.start}, but "
                    f"{earlier.name!r} in state {state!r} ends at {earlier.end} and the changeover takes {gap}"
                )
        if span.state not in latest or span.end > latest[span.state].end:
            latest[span.state] = span


def _shut(chamber: Chamber, spans: Sequence[_Span]) -> Iterator[str]:
    """Nothing is in a chamber while it is closed, nor before it is ready again."""
    for span in spans:
        for closure in chamber.closures:
            ready = closure.end + chamber.after_restarts.get(span.state, 0)
            if closure.start < closure.end and span.end > closure.start and span.start < ready:
                yield (
                    f"task {span.name!r} is in {chamber.name!r} from {span.start} to {span.end}, "
                    f"which is closed from {closure.start} and in state {span.state!r} not before {ready}"
                )


def _state_changes(spans: Sequence[_Span]) -> int:
    """How often the state differs from one use to the next; the first state is no change."""
    return sum(earlier.state != later.state for earlier, later in pairwise(spans))


def _consumables(problem: Problem, schedule: Schedule) -> Iterator[str]:
    totals = [0] * len(problem.consumables)
    for task, assignment in zip(problem.tasks, schedule.tasks, strict=True):
        for index, amount in task.modes[assignment.mode].consumes:
            totals[index] += amount
    for consumable, total in zip(problem.consumables, totals, strict=True):
        if total > consumable.total:
            yield f"{consumable.name!r} is asked for {total} but has {consumable.total}"
