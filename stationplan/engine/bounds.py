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

from bisect import bisect_left, insort
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

from stationplan.engine.problem import Chamber, Pool, Problem
from stationplan.engine.result import Bound, BoundKind
from stationplan.engine.windows import Windows
from stationplan.engine.work import ResourceSet, resource_sets

# Pairs of a threshold and a piece of work that are looked at in all sets of resources together, roughly, and
# thresholds in each set at least. Only problems with hundreds of sets have more; each takes microseconds.
MOST_PAIRS, FEWEST_HEADS = 1_000_000, 8


def lower_bounds(problem: Problem, windows: Windows) -> tuple[Bound, ...]:
    """The critical path and, for every set of resources that share work, its best bound.

    Args:
        problem: the problem.
        windows: its windows.

    Returns:
        Bounds on the makespan, largest first; each is valid on its own.
    """
    bounds = [critical_path(problem, windows), *_resource_bounds(problem, resource_sets(problem, windows))]
    return tuple(sorted(bounds, key=lambda bound: -bound.minutes))


def deadline_bounds(problem: Problem, windows: Windows) -> tuple[Bound, ...]:
    """For every set of resources that share work, the moment by which it is done if deadlines are the tails.

    Args:
        problem: the problem.
        windows: its windows.

    Returns:
        Bounds whose ``minutes`` exceed the horizon where the work cannot meet its deadlines.
    """
    return tuple(_resource_bounds(problem, resource_sets(problem, windows, deadlines=True)))


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


def _resource_bounds(problem: Problem, entries: Sequence[ResourceSet]) -> Iterator[Bound]:
    """The best bound of each set of resources: by the energy of its work, or by its number of turns."""
    for entry in entries:
        most = max(FEWEST_HEADS, MOST_PAIRS // (len(entries) * len(entry.work)))
        found = (_energy_bound(problem, entry, most), _turns_bound(problem, entry, most))
        bounds = [bound for bound in found if bound is not None]
        if bounds:
            yield max(bounds, key=lambda bound: bound.minutes)


def thresholds(heads: Iterable[int], most: int) -> list[int]:
    """The heads in rising order; of too many the first and others evenly, for each threshold is valid alone."""
    every = sorted(set(heads))
    if len(every) <= most:
        return every
    return [every[position * len(every) // most] for position in range(most)]


def _energy_bound(problem: Problem, entry: ResourceSet, most_heads: int) -> Bound | None:
    """The best bound over all thresholds by the room-minutes that the work takes, states and changeovers apart."""
    room, work = _Room(problem, entry.resources), entry.work
    while_changing = _Room(problem, entry.resources, changing=True)
    chambers = [r for r in (problem.resources[index] for index in entry.resources) if isinstance(r, Chamber)]
    smallest = min((chamber.capacity for chamber in chambers), default=0)
    scalings = scalings_of(problem, entry)
    weights = [[scale(item.amount) * item.length for scale in scalings] for item in work]
    order = sorted(range(len(work)), key=lambda k: -work[k].tail)
    best: Bound | None = None
    for head in thresholds((item.head for item in work), most_heads):
        energy, members = _Energy(len(scalings)), _Members(chambers)
        after_head = [k for k in order if work[k].head >= head]
        for position, k in enumerate(after_head):
            item = work[k]
            energy.add(item.state, weights[k])
            if item.state is not None:
                members.add(item.state)
            if position + 1 < len(after_head) and work[after_head[position + 1]].tail == item.tail:
                continue
            # Work whose state is open may lie inside a changeover, so only the rest is counted with them.
            changing = energy.stated + members.changeover_minutes() * smallest
            offered = max(
                room.time_to_offer(head, energy.total, entry.capacity),
                while_changing.time_to_offer(head, changing, entry.capacity),
            )
            minutes = offered + item.tail
            if best is None or minutes > best.minutes:
                best = _resource_result(entry, after_head[: position + 1], minutes, max(energy.total, changing))
    return best


def _turns_bound(problem: Problem, entry: ResourceSet, most_heads: int) -> Bound | None:
    """The best bound by counting turns of work.

    Where at most m of n pieces go on at a time, one of m lines does n/m of them, rounded up, one
    after another, and takes no less than for as many of the shortest. There are such lines, for
    intervals can be coloured with as many colours as go on at a time.
    """
    rooms = [problem.resources[index].capacity for index in entry.resources]
    best: Bound | None = None
    for amount in sorted({item.amount for item in entry.work}):
        lines = sum(room // amount for room in rooms)
        if not lines:
            continue
        order = sorted(
            (k for k, item in enumerate(entry.work) if item.amount >= amount), key=lambda k: -entry.work[k].tail
        )
        for head in thresholds((entry.work[k].head for k in order), most_heads):
            after_head = [k for k in order if entry.work[k].head >= head]
            lengths: list[int] = []
            for position, k in enumerate(after_head):
                item = entry.work[k]
                insort(lengths, item.length)
                turns = -(-len(lengths) // lines)
                minutes = head + sum(lengths[:turns]) + item.tail
                if best is None or minutes > best.minutes:
                    result = _resource_result(entry, after_head[: position + 1], minutes, 0)
                    best = replace(result, turns=turns, lines=lines)
    return best


def _resource_result(entry: ResourceSet, members: list[int], minutes: int, needed: int) -> Bound:
    """A bound made by some of the work of a set of resources, which needs so many room-minutes for it."""
    doing = [entry.work[k] for k in members]
    work = sum(item.amount * item.length for item in doing)
    return Bound(
        BoundKind.RESOURCE,
        minutes,
        entry.resources,
        min(item.head for item in doing),
        work,
        min(item.tail for item in doing),
        tuple(item.task for item in doing),
        max(0, needed - work),
    )


class _Energy:
    """Room-minutes of a growing collection of work, each state measured by the scaling that tells most of it.

    In a chamber different states never overlap, so each state needs its own time; work without a
    state may overlap with all, and one scaling measures it with all the others.
    """

    def __init__(self, scalings: int) -> None:
        self._by_state: dict[str | None, list[int]] = {}
        self._scalings = scalings

    def add(self, state: str | None, weights: list[int]) -> None:
        """Take in one more piece of work with its room-minutes under each scaling."""
        sums = self._by_state.setdefault(state, [0] * self._scalings)
        for position, weight in enumerate(weights):
            sums[position] += weight

    @property
    def stated(self) -> int:
        """Room-minutes of the work that has a state."""
        return sum(max(sums) for state, sums in self._by_state.items() if state is not None)

    @property
    def total(self) -> int:
        """Room-minutes of all work."""
        together = max(map(sum, zip(*self._by_state.values(), strict=True)), default=0)
        return together if None in self._by_state else self.stated


@dataclass(frozen=True, slots=True)
class Scaling:
    """A dual feasible function: room in units of ``unit`` per resource, ``capacity`` in all."""

    threshold: int
    unit: int
    capacity: int

    def __call__(self, amount: int) -> int:
        """The measure of an amount: all of a resource, nothing, or the amount itself."""
        if amount > self.unit - self.threshold:
            return self.unit
        return amount if amount >= self.threshold else 0


def scalings_of(problem: Problem, entry: ResourceSet) -> list[Scaling]:
    """The plain measure of room and, where the resources are equal, those that round large uses up to all of it."""
    plain = [Scaling(0, entry.unit, entry.capacity)]
    equal = len({problem.resources[index].capacity for index in entry.resources}) == 1
    if not equal or any(isinstance(r, Pool) and r.closures for r in (problem.resources[i] for i in entry.resources)):
        return plain
    amounts = sorted({item.amount for item in entry.work})
    thresholds = {entry.unit - amount + 1 for amount in amounts if 2 * amount > entry.unit} | set(amounts)
    useful = sorted(t for t in thresholds if t > 1 and 2 * t <= entry.unit + 1)[:6]
    return plain + [Scaling(t, entry.unit, entry.capacity) for t in useful]


class _Room:
    """How much room a set of resources offers over time, closures taken off.

    With ``changing`` those of chambers are not, for a chamber may change its state while it is closed.
    """

    def __init__(self, problem: Problem, resources: Iterable[int], *, changing: bool = False) -> None:
        pools = [problem.resources[index] for index in resources]
        shut = [pool for pool in pools if isinstance(pool, Pool) or not changing]
        closures = [closure for pool in shut for closure in pool.closures]
        self._capacity = sum(pool.capacity for pool in pools)
        times = sorted({0, *(time for closure in closures for time in (closure.start, closure.end) if time > 0)})
        rooms = []
        for time in times:
            away = 0
            for pool in shut:
                gone = [c.amount for c in pool.closures if c.start <= time < c.end]
                away += min(sum(gone), pool.capacity) if isinstance(pool, Pool) else pool.capacity * bool(gone)
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
