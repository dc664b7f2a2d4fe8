"""Lower bounds on the makespan that need no search.

For a set of resources R and thresholds (a, b): all work on R that cannot start before
a and is followed by at least b minutes needs room on R after a; the makespan is at
least the moment at which R has offered that much room since a, plus b. This is the
head + energy + tail bound of cumulative scheduling (Carlier, "The one-machine
sequencing problem", EJOR 11, 1982, for one machine), taken over all pairs (a, b),
with calendars, with the changeovers between the states of chambers, and with dual
feasible functions for the room that large uses leave unusable (Carlier, Clautiaux
and Moukrim, "New reduction procedures and lower bounds for the two-dimensional bin
packing problem with fixed orientation", Computers & Operations Research 34, 2007).
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import accumulate, pairwise

from stationplan.engine.problem import Chamber, Pool, Problem
from stationplan.engine.result import Bound, BoundKind
from stationplan.engine.windows import Windows, use_length


@dataclass(frozen=True, slots=True)
class Work:
    """A stretch of work that a set of resources must do: minutes, room, head and tail in minutes."""

    task: int
    length: int
    amount: int
    head: int
    tail: int
    state: str | None


@dataclass(frozen=True, slots=True)
class ResourceSet:
    """Resources that share work: their positions, the room of one and of all, and their work."""

    resources: tuple[int, ...]
    unit: int
    capacity: int
    work: tuple[Work, ...] = field(repr=False)


def lower_bounds(problem: Problem, windows: Windows) -> tuple[Bound, ...]:
    """The critical path and, for every set of resources that share work, its best bound.

    Args:
        problem: the problem.
        windows: its windows.

    Returns:
        Bounds on the makespan, largest first; each is valid on its own.
    """
    bounds = [critical_path(problem, windows)]
    bounds += [
        bound
        for resources in resource_sets(problem, windows)
        if (bound := _resource_bound(problem, resources)) is not None
    ]
    return tuple(sorted(bounds, key=lambda bound: -bound.minutes))


def deadline_bounds(problem: Problem, windows: Windows) -> tuple[Bound, ...]:
    """For every set of resources that share work, the moment by which it is done if deadlines are the tails.

    Args:
        problem: the problem.
        windows: its windows.

    Returns:
        Bounds whose ``minutes`` exceed the horizon where the work cannot meet its deadlines.
    """
    found = (_resource_bound(problem, entry) for entry in resource_sets(problem, windows, deadlines=True))
    return tuple(bound for bound in found if bound is not None)


def critical_path(problem: Problem, windows: Windows) -> Bound:
    """The longest chain of least lags, as a bound on the makespan.

    Args:
        problem: the problem.
        windows: its windows.
    """
    if not windows.earliest:
        return Bound(BoundKind.CRITICAL_PATH, 0)
    lengths = [head + tail for head, tail in zip(windows.earliest, windows.tail, strict=True)]
    last = max(range(len(lengths)), key=lambda task: lengths[task])
    onward: dict[int, list[tuple[int, int]]] = {}
    for before, after, weight in windows.arcs:
        onward.setdefault(before, []).append((after, weight))
    first = min((t for t in range(len(lengths)) if lengths[t] == lengths[last]), key=lambda t: windows.earliest[t])
    path = [first]
    while True:
        here = path[-1]
        step = next(
            (
                after
                for after, weight in onward.get(here, ())
                if windows.tail[here] == windows.tail[after] + weight and after not in path
            ),
            None,
        )
        if step is None:
            break
        path.append(step)
    # A task that the next one need not wait for, but only start after, takes no time of the path.
    weights = {(before, after): weight for before, after, weight in windows.arcs}
    shortest = [min(mode.duration for mode in task.modes) for task in problem.tasks]
    told = [here for here, after in pairwise(path) if weights[here, after] >= shortest[here]]
    return Bound(
        BoundKind.CRITICAL_PATH,
        lengths[first],
        head=windows.earliest[first],
        tail=windows.tail[first],
        tasks=(*told, path[-1]),
    )


def resource_sets(problem: Problem, windows: Windows, *, deadlines: bool = False) -> list[ResourceSet]:
    """Group the work by the sets of resources that it is bound to.

    Args:
        problem: the problem.
        windows: its windows.
        deadlines: measure tails from the latest starts instead, to find out whether
            everything fits before its deadlines.

    Returns:
        One entry for each set of resources that some use may choose from (and unions of
        overlapping sets), with all the work that must be done inside that set.
    """
    demands: list[tuple[frozenset[int], Work]] = []
    for index in range(len(problem.tasks)):
        tail = windows.horizon - windows.latest[index] if deadlines else windows.tail[index]
        demands += _certain_work(problem, windows, index, tail)
    for hold in problem.holds:
        least = max(
            (weight for before, after, weight in windows.arcs if (before, after) == (hold.before, hold.after)),
            default=0,
        )
        longest = max(mode.duration for mode in problem.tasks[hold.before].modes)
        length = least - longest
        if length > 0 and hold.amount:
            shortest = min(mode.duration for mode in problem.tasks[hold.before].modes)
            after = windows.horizon - windows.latest[hold.after] if deadlines else windows.tail[hold.after]
            head = windows.earliest[hold.before] + shortest
            demands.append((frozenset(hold.resources), Work(hold.before, length, hold.amount, head, after, None)))
    sets = []
    for resources in closed_under_overlap({resources for resources, _ in demands}):
        rooms = [problem.resources[index].capacity for index in resources]
        work = tuple(item for choice, item in demands if choice <= resources)
        sets.append(ResourceSet(tuple(sorted(resources)), max(rooms), sum(rooms), work))
    return sorted(sets, key=lambda entry: entry.resources)


def _certain_work(problem: Problem, windows: Windows, index: int, tail: int) -> list[tuple[frozenset[int], Work]]:
    """The work a task brings whatever its mode: for one mode each use, for several the cheapest on their union."""
    task = problem.tasks[index]
    usable = [mode for mode, starts in zip(task.modes, windows.allowed[index], strict=True) if starts] or task.modes
    if len(usable) == 1:
        mode = usable[0]
        return [
            (
                frozenset(use.resources),
                Work(
                    index,
                    use_length(mode, use),
                    use.amount,
                    windows.earliest[index] + use.offset,
                    tail - use.offset - use_length(mode, use),
                    use.state,
                ),
            )
            for use in mode.uses
            if use.amount and use_length(mode, use)
        ]
    if not all(mode.uses for mode in usable):
        return []
    # With several modes only the first use of each is looked at: the one that tells the modes apart.
    firsts = [(mode, mode.uses[0]) for mode in usable]
    length = min(use_length(mode, use) for mode, use in firsts)
    amount = min(use.amount for _, use in firsts)
    if not length or not amount:
        return []
    states = {use.state for _, use in firsts}
    head = windows.earliest[index] + min(use.offset for _, use in firsts)
    after = min(mode.duration - use.offset - use_length(mode, use) for mode, use in firsts)
    tail = max(after, tail - max(use.offset + use_length(mode, use) for mode, use in firsts))
    choice = frozenset(resource for _, use in firsts for resource in use.resources)
    return [(choice, Work(index, length, amount, head, tail, states.pop() if len(states) == 1 else None))]


def closed_under_overlap(sets: set[frozenset[int]]) -> set[frozenset[int]]:
    """The sets and the unions of all that hang together by overlapping."""
    groups: list[frozenset[int]] = []
    for entry in sorted(sets, key=sorted):
        touching = [group for group in groups if group & entry]
        groups = [group for group in groups if not group & entry]
        groups.append(entry.union(*touching))
    return sets | set(groups)


def _resource_bound(problem: Problem, entry: ResourceSet) -> Bound | None:
    """The best bound of a set of resources over all thresholds and scalings of room."""
    room = _Room(problem, entry.resources)
    best: Bound | None = None
    changing = any(item.state is not None for item in entry.work)
    chambers = [r for r in (problem.resources[index] for index in entry.resources) if isinstance(r, Chamber)]
    smallest = min((chamber.capacity for chamber in chambers), default=0)
    for scale in _scalings(problem, entry):
        weights = [scale(item.amount) * item.length for item in entry.work]
        capacity = scale.capacity
        order = sorted(range(len(entry.work)), key=lambda k: -entry.work[k].tail)
        for head in sorted({item.head for item in entry.work}):
            energy, stated, members = 0, 0, _Members(chambers) if changing else None
            after_head = [k for k in order if entry.work[k].head >= head and weights[k]]
            for position, k in enumerate(after_head):
                item = entry.work[k]
                energy += weights[k]
                if members is not None and item.state is not None:
                    stated += weights[k]
                    members.add(item.state)
                if position + 1 < len(after_head) and entry.work[after_head[position + 1]].tail == item.tail:
                    continue
                # Work whose state is open may lie inside a changeover, so only the rest is counted with them.
                extra = members.changeover_minutes() * smallest if members is not None else 0
                minutes = room.time_to_offer(head, max(energy, stated + extra), capacity) + item.tail
                if best is None or minutes > best.minutes:
                    doing = [entry.work[j] for j in after_head[: position + 1]]
                    work = sum(each.amount * each.length for each in doing)
                    tasks = tuple(each.task for each in doing)
                    lost = max(energy, stated + extra) - work
                    best = Bound(BoundKind.RESOURCE, minutes, entry.resources, head, work, item.tail, tasks, lost)
    return best


@dataclass(frozen=True, slots=True)
class _Scaling:
    """A dual feasible function: room in units of ``unit`` per resource, ``capacity`` in all."""

    threshold: int
    unit: int
    capacity: int

    def __call__(self, amount: int) -> int:
        if amount > self.unit - self.threshold:
            return self.unit
        return amount if amount >= self.threshold else 0


def _scalings(problem: Problem, entry: ResourceSet) -> list[_Scaling]:
    """The plain measure of room and, where the resources are equal, those that round large uses up to all of it."""
    plain = [_Scaling(0, entry.unit, entry.capacity)]
    equal = len({problem.resources[index].capacity for index in entry.resources}) == 1
    if not equal or any(isinstance(r, Pool) and r.closures for r in (problem.resources[i] for i in entry.resources)):
        return plain
    amounts = sorted({item.amount for item in entry.work})
    thresholds = {entry.unit - amount + 1 for amount in amounts if 2 * amount > entry.unit} | set(amounts)
    useful = sorted(t for t in thresholds if t > 1 and 2 * t <= entry.unit + 1)[:6]
    return plain + [_Scaling(t, entry.unit, entry.capacity) for t in useful]


class _Room:
    """How much room a set of resources offers over time, closures taken off."""

    def __init__(self, problem: Problem, resources: Iterable[int]) -> None:
        pools = [problem.resources[index] for index in resources]
        closures = [closure for pool in pools if isinstance(pool, Pool) for closure in pool.closures]
        self._capacity = sum(pool.capacity for pool in pools)
        times = sorted({0, *(time for closure in closures for time in (closure.start, closure.end) if time > 0)})
        rooms = []
        for time in times:
            away = 0
            for pool in pools:
                if isinstance(pool, Pool):
                    gone = sum(c.amount for c in pool.closures if c.start <= time < c.end)
                    away += min(gone, pool.capacity)
            rooms.append(self._capacity - away)
        spans = [later - earlier for earlier, later in pairwise(times)]
        self._times, self._rooms = times, rooms
        self._offered = [0, *accumulate(span * room for span, room in zip(spans, rooms, strict=False))]

    def _offered_until(self, time: int) -> int:
        k = bisect_left(self._times, time + 1) - 1
        return self._offered[k] + (time - self._times[k]) * self._rooms[k]

    def time_to_offer(self, start: int, energy: int, capacity: int) -> int:
        """The earliest time by which ``energy`` room-minutes have been on offer since ``start``."""
        if len(self._times) == 1:
            return start + -(-energy // capacity) if capacity else start
        goal = self._offered_until(start) + energy
        k = max(0, bisect_left(self._offered, goal) - 1)
        if not self._rooms[k]:
            return self._times[k]
        return max(start, self._times[k] + -(-(goal - self._offered[k]) // self._rooms[k]))


class _Members:
    """The changeovers that a growing collection of work on chambers cannot avoid."""

    def __init__(self, chambers: list[Chamber]) -> None:
        self._chambers = chambers
        self._single = all(chamber.capacity == 1 for chamber in chambers)
        self._count: dict[str, int] = {}

    def add(self, state: str) -> None:
        """Take in one more piece of work in a state."""
        self._count[state] = self._count.get(state, 0) + 1

    def changeover_minutes(self) -> int:
        """Minutes in which some chamber must stand empty between two of the members.

        Every state but the first of each chamber is entered from another one, at the
        cheapest price at least; in chambers of one slot every use but the first is.
        """
        states = sorted(self._count)
        if not self._chambers:
            return 0
        entering = sorted(
            min(
                (
                    chamber.changeovers.get((before, state), 0)
                    for chamber in self._chambers
                    for before in states
                    if before != state
                ),
                default=0,
            )
            for state in states
        )
        total = sum(entering[: max(0, len(entering) - len(self._chambers))])
        if self._single:
            each = sorted(
                price
                for state in states
                for price in [
                    min(
                        chamber.changeovers.get((before, state), 0)
                        for chamber in self._chambers
                        for before in states
                        if before != state or self._count[state] > 1
                    )
                    if len(states) > 1 or self._count[state] > 1
                    else 0
                ]
                for _ in range(self._count[state])
            )
            total = max(total, sum(each[: max(0, len(each) - len(self._chambers))]))
        return total
