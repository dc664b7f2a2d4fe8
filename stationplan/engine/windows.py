"""When each task may start: heads, tails and calendars.

Everything here is implied by the problem, so it may be used to cut domains and to
bound the makespan. A contradiction found on the way is returned as a Conflict.
"""

from __future__ import annotations

import itertools
from collections import deque
from dataclasses import dataclass

import networkx as nx

from stationplan.engine.problem import Chamber, Link, LinkKind, Mode, Problem, Task, Use
from stationplan.engine.result import Conflict

Interval = tuple[int, int]
Arc = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Windows:
    """What is known of the starts before any search, in minutes.

    ``earliest`` and ``latest`` bound the start of each task; ``tail`` is the least time
    from the start of a task to the end of the last; ``allowed[task][mode]`` are the
    closed intervals of starts at which the calendars let the task run in that mode.
    ``arcs`` are the implied ``start[v] >= start[u] + weight``.
    """

    horizon: int
    earliest: tuple[int, ...]
    latest: tuple[int, ...]
    tail: tuple[int, ...]
    allowed: tuple[tuple[tuple[Interval, ...], ...], ...]
    arcs: tuple[Arc, ...]


def find_windows(problem: Problem) -> Windows | Conflict:
    """Compute the windows of all tasks.

    Args:
        problem: the problem; its horizon bounds every end.

    Returns:
        The windows, or the first conflict found: a circle of lags longer than nothing,
        or a task without a possible start.
    """
    arcs = _arcs(problem)
    cycle = _positive_cycle(len(problem.tasks), arcs)
    if cycle:
        return Conflict("cycle", tasks=cycle)
    horizon = horizon_of(problem)
    tail = _tails(problem, arcs)
    calendars = [calendar_of(problem, index) for index in range(len(problem.resources))]
    allowed = [
        [_allowed_starts(problem, calendars, task, mode, horizon) for mode in task.modes] for task in problem.tasks
    ]
    bounds = _propagate(arcs, [[interval for mode in modes for interval in mode] for modes in allowed])
    if isinstance(bounds, Conflict):
        return bounds
    earliest, latest = bounds
    return Windows(
        horizon=horizon,
        earliest=tuple(earliest),
        latest=tuple(latest),
        tail=tuple(tail),
        allowed=tuple(
            tuple(tuple(clip(mode, earliest[index], latest[index])) for mode in modes)
            for index, modes in enumerate(allowed)
        ),
        arcs=tuple(arcs),
    )


def horizon_of(problem: Problem) -> int:
    """An upper bound on every end that loses no optimal schedule, in minutes.

    Some optimal schedule leaves no gap in which nothing runs, no lag counts, no
    changeover is under way and no closure is near, so the sum of all of them bounds it.
    """
    if problem.horizon is not None:
        return problem.horizon
    total = sum(max(mode.duration for mode in task.modes) for task in problem.tasks)
    start = max((max(task.release, task.fixed_start or 0) for task in problem.tasks), default=0)
    for link in problem.links:
        total += max(0, abs(link.least or 0), abs(link.most or 0) if link.least is None else 0)
    for resource in problem.resources:
        start = max([start, *(closure.end for closure in resource.closures)])
        if isinstance(resource, Chamber):
            changes = max(resource.changeovers.values(), default=0)
            total += changes * len(problem.tasks) + max(resource.first.values(), default=0)
            again = max(resource.after_restarts.values(), default=0)
            start = max([start, *(restart + again for restart in resource.restarts)])
    due = max((delivery.due for delivery in problem.deliveries), default=0)
    return max(total + start, due)


def clip(intervals: tuple[Interval, ...] | list[Interval], low: int, high: int) -> list[Interval]:
    """The parts of closed intervals between low and high."""
    return [(max(a, low), min(b, high)) for a, b in intervals if max(a, low) <= min(b, high)]


def use_length(mode: Mode, use: Use) -> int:
    """Minutes for which a use of a mode lasts."""
    return mode.duration - use.offset if use.length is None else use.length


def _durations(task: Task) -> tuple[int, int]:
    durations = [mode.duration for mode in task.modes]
    return min(durations), max(durations)


def _arcs(problem: Problem) -> list[Arc]:
    arcs: dict[tuple[int, int], int] = {}

    def add(before: int, after: int, weight: int) -> None:
        key = (before, after)
        arcs[key] = max(weight, arcs.get(key, weight))

    for link in problem.links:
        least, most = _start_lags(problem, link)
        if least is not None:
            add(link.before, link.after, least)
        if most is not None:
            add(link.after, link.before, -most)
    for hold in problem.holds:
        add(hold.before, hold.after, _durations(problem.tasks[hold.before])[0])
    return [(before, after, weight) for (before, after), weight in arcs.items()]


def _start_lags(problem: Problem, link: Link) -> tuple[int | None, int | None]:
    """The loosest least and most lag from start to start that the link allows, over all modes."""
    short_before, long_before = _durations(problem.tasks[link.before])
    short_after, long_after = _durations(problem.tasks[link.after])
    from_end = link.kind in (LinkKind.END_START, LinkKind.END_END)
    to_end = link.kind in (LinkKind.START_END, LinkKind.END_END)
    if link.before == link.after and from_end and to_end:
        short_before = long_before = short_after = long_after = 0
    least = most = None
    if link.least is not None:
        least = link.least + (short_before if from_end else 0) - (long_after if to_end else 0)
    if link.most is not None:
        most = link.most + (long_before if from_end else 0) - (short_after if to_end else 0)
    return least, most


def _positive_cycle(count: int, arcs: list[Arc]) -> tuple[int, ...]:
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(count))
    graph.add_weighted_edges_from((before, after, -weight) for before, after, weight in arcs)
    if not nx.negative_edge_cycle(graph):
        return ()
    source = count
    graph.add_weighted_edges_from((source, node, 0) for node in range(count))
    return tuple(nx.find_negative_cycle(graph, source))[:-1]


def _tails(problem: Problem, arcs: list[Arc]) -> list[int]:
    into: list[list[tuple[int, int]]] = [[] for _ in problem.tasks]
    for before, after, weight in arcs:
        into[after].append((before, weight))
    tail = [_durations(task)[0] for task in problem.tasks]
    waiting = deque(range(len(tail)))
    while waiting:
        after = waiting.popleft()
        for before, weight in into[after]:
            if tail[after] + weight > tail[before]:
                tail[before] = tail[after] + weight
                waiting.append(before)
    return tail


def _allowed_starts(
    problem: Problem, calendars: list[tuple[tuple[int, int, int], ...]], task: Task, mode: Mode, horizon: int
) -> list[Interval]:
    latest = min(horizon, horizon if task.deadline is None else task.deadline) - mode.duration
    if task.fixed_start is not None:
        starts = [(task.fixed_start, task.fixed_start)] if task.fixed_start <= latest else []
    else:
        starts = [(task.release, latest)] if task.release <= latest else []
    for use in mode.uses:
        length = use_length(mode, use)
        if not length or not use.amount:
            continue
        options: list[Interval] = []
        for index in use.resources:
            options.extend(resource_starts(problem, calendars[index], index, use, length, starts))
        starts = _union(options)
    return starts


def resource_starts(
    problem: Problem,
    calendar: tuple[tuple[int, int, int], ...],
    index: int,
    use: Use,
    length: int,
    starts: list[Interval],
) -> list[Interval]:
    """The starts of a task at which one resource could take one of its uses, as far as its calendar says.

    Args:
        problem: the problem.
        calendar: stretches (start, end, room) of reduced room of the resource.
        index: the resource.
        use: the use, lasting ``length`` minutes.
        length: minutes.
        starts: closed intervals of task starts to choose from.

    Returns:
        Closed intervals of task starts.
    """
    resource = problem.resources[index]
    if use.amount > resource.capacity:
        return []
    ready = resource.after_restarts.get(use.state or "", 0) if isinstance(resource, Chamber) else 0
    first = resource.first.get(use.state or "", 0) if isinstance(resource, Chamber) else 0
    if first and starts:
        starts = clip(starts, first - use.offset, starts[-1][1])
    for begin, end, room in calendar:
        if room < use.amount:
            low, high = begin - use.offset - length, end + ready - use.offset
            starts = [
                piece for a, b in starts for piece in ((a, min(b, low)), (max(a, high), b)) if piece[0] <= piece[1]
            ]
            starts = _union(starts)
    return starts


def calendar_of(problem: Problem, index: int) -> tuple[tuple[int, int, int], ...]:
    """Stretches (start, end, room) in which closures leave a resource less than its capacity."""
    resource = problem.resources[index]
    times = sorted({time for closure in resource.closures for time in (closure.start, closure.end)})
    stretches = []
    for start, end in itertools.pairwise(times):
        away = [closure.amount for closure in resource.closures if closure.start <= start < closure.end]
        if isinstance(resource, Chamber) and away:
            stretches.append((start, end, 0))
        elif sum(away):
            stretches.append((start, end, resource.capacity - sum(away)))
    return tuple(stretches)


def _union(intervals: list[Interval]) -> list[Interval]:
    merged: list[Interval] = []
    for low, high in sorted(intervals):
        if merged and low <= merged[-1][1] + 1:
            merged[-1] = (merged[-1][0], max(high, merged[-1][1]))
        else:
            merged.append((low, high))
    return merged


def _propagate(arcs: list[Arc], starts: list[list[Interval]]) -> tuple[list[int], list[int]] | Conflict:
    """Tighten earliest and latest starts through arcs and calendars until nothing changes."""
    starts = [_union(intervals) for intervals in starts]
    for task, intervals in enumerate(starts):
        if not intervals:
            return Conflict("task", tasks=(task,))
    earliest = [intervals[0][0] for intervals in starts]
    latest = [intervals[-1][1] for intervals in starts]
    out: list[list[tuple[int, int]]] = [[] for _ in starts]
    into: list[list[tuple[int, int]]] = [[] for _ in starts]
    for before, after, weight in arcs:
        out[before].append((after, weight))
        into[after].append((before, weight))
    cause: list[int | None] = [None] * len(starts)
    waiting = deque(range(len(starts)))
    while waiting:
        task = waiting.popleft()
        for after, weight in out[task]:
            low = next(
                (max(a, earliest[task] + weight) for a, b in starts[after] if b >= earliest[task] + weight), None
            )
            if low is None or low > latest[after]:
                return Conflict("task", tasks=_trail(cause, task, after))
            if low > earliest[after]:
                earliest[after], cause[after] = low, task
                waiting.append(after)
        for before, weight in into[task]:
            top = latest[task] - weight
            high = next((min(b, top) for a, b in reversed(starts[before]) if a <= top), None)
            if high is None or high < earliest[before]:
                return Conflict("task", tasks=_trail(cause, before, task))
            if high < latest[before]:
                latest[before] = high
                waiting.append(before)
    return earliest, latest


def _trail(cause: list[int | None], before: int, after: int) -> tuple[int, ...]:
    """The chain of tasks that pushed ``after`` out of its window, first task first."""
    trail = [after]
    step: int | None = before
    while step is not None and step not in trail:
        trail.append(step)
        step = cause[step]
    return tuple(reversed(trail))
