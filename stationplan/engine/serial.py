"""Serial schedule generation: groups of tasks are placed one after the other, each at the earliest moment that fits.

A group is what tight most-lags tie together. Where a member comes too late for a
most-lag, the member that it is measured from is delayed and the group placed anew (the
unscheduling step of Franck, Neumann and Schwindt, "Truncated branch-and-bound,
schedule-construction, and schedule-improvement procedures for resource-constrained
project scheduling", OR Spektrum 23, 2001). What a hold keeps is reserved without end
until the task that takes it up is placed, so that no placement shuts that task out.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from stationplan.engine.problem import Assignment, Link, LinkKind, Problem, Schedule
from stationplan.engine.timetables import NEVER, ChamberTimetable, timetables_of
from stationplan.engine.windows import Interval, Windows, use_length

MOST_DELAYS = 300


@dataclass(frozen=True, slots=True)
class Demand:
    """Room that a placement takes on one of ``options``, ``offset`` minutes after its start, for ``length`` minutes.

    For a hold ``length`` is -1, as long as it takes, and ``hold`` its position.
    """

    offset: int
    length: int
    options: tuple[int, ...]
    amount: int
    state: str | None = None
    hold: int | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """Where a task goes, and when it ends; ``latest`` is the latest start that most-lags from ``blocker`` allow."""

    assignment: Assignment
    end: int
    holds: tuple[int, ...]
    latest: int
    blocker: int | None

    @property
    def late(self) -> int:
        """Minutes by which it comes too late."""
        return max(0, self.assignment.start - self.latest)


class SerialGenerator:
    """Places groups of tasks into timetables.

    Args:
        problem: the problem; its consumables are not looked after.
        windows: its windows.
        reluctance: minutes that a task rather waits than let a chamber change its state once more.
        expected: when tasks are likely to start: what stands until one of them does is reckoned with so long, and
            with the rest once it is placed. Until any other task it stands for ever.
    """

    def __init__(
        self, problem: Problem, windows: Windows, reluctance: int = 0, expected: Mapping[int, int] | None = None
    ) -> None:
        self._problem = problem
        self._windows = windows
        self._reluctance = reluctance
        self._expected = expected or {}
        self._tables = timetables_of(problem)
        self._places: dict[int, Place] = {}
        self._kept: dict[int, tuple[int, int, int]] = {}
        self._links: dict[int, list[Link]] = defaultdict(list)
        self._holds_from: dict[int, list[int]] = defaultdict(list)
        self._holds_to: dict[int, list[int]] = defaultdict(list)
        for number, hold in enumerate(problem.holds):
            self._holds_from[hold.before].append(number)
            self._holds_to[hold.after].append(number)
        for link in (*problem.links, *(Link(hold.before, hold.after) for hold in problem.holds)):
            self._links[link.before].append(link)
            self._links[link.after].append(link)
        self._together: dict[int, list[int]] = defaultdict(list)
        for number, hold in enumerate(problem.holds):
            self._together[number if hold.beside is None else hold.beside].append(number)
        self._far = windows.horizon + 1
        self._sought = _sought(problem)

    def place(self, group: Sequence[int], most_delays: int = MOST_DELAYS) -> bool:
        """Place all tasks of a group, in the given order, as early as they go together.

        Args:
            group: tasks, what comes before first.
            most_delays: how often a member may be delayed.

        Returns:
            Whether it was possible; if not, nothing has changed.
        """
        delayed: dict[int, int] = {}
        for _ in range(most_delays):
            delay = self._try(group, delayed)
            if delay is None:
                return True
            task, start = delay
            if task not in group or start >= NEVER:
                return False
            delayed[task] = start
        return False

    def schedule(self) -> Schedule:
        """The schedule, when every task has been placed."""
        return Schedule(
            tuple(self._places[task].assignment for task in range(len(self._problem.tasks))),
            tuple(self._kept[hold][0] for hold in range(len(self._problem.holds))),
        )

    def _try(self, group: Sequence[int], delayed: dict[int, int]) -> tuple[int, int] | None:
        """Place the group, or take everything back and say which task must start when at the earliest."""
        placed: list[int] = []
        for task in group:
            place = self._find(task, delayed.get(task, 0))
            if place is None or place.late:
                failed = (task, NEVER)
                if place is not None and place.blocker is not None:
                    failed = (place.blocker, self._places[place.blocker].assignment.start + place.late)
                for other in reversed(placed):
                    self._remove(other)
                return failed
            self._put(task, place)
            placed.append(task)
        return None

    def _find(self, task: int, delay: int) -> Place | None:
        """The best place for a task among its modes: in time, and then with the earliest end."""
        best: Place | None = None
        for number, mode in enumerate(self._problem.tasks[task].modes):
            allowed = self._windows.allowed[task][number]
            if not allowed or not self._agrees_with_itself(task, mode.duration):
                continue
            earliest, latest, blocker = self._start_window(task, mode.duration)
            demands = self._demands(task, number)
            found = self._fit(demands, allowed, max(earliest, delay, self._windows.earliest[task]))
            if found is None or not self._may_stand_until(task, found[0]):
                continue
            start, chosen = found
            uses = len(mode.uses)
            assignment = Assignment(start, number, tuple(chosen[:uses]))
            place = Place(assignment, start + mode.duration, tuple(chosen[uses:]), latest, blocker)
            if best is None or (place.late, place.end) < (best.late, best.end):
                best = place
        return best

    def _agrees_with_itself(self, task: int, duration: int) -> bool:
        """Whether a duration keeps the links from the task to itself."""
        lags = {LinkKind.END_START: -duration, LinkKind.START_END: duration}
        return all(
            (link.least is None or lags.get(link.kind, 0) >= link.least)
            and (link.most is None or lags.get(link.kind, 0) <= link.most)
            for link in self._links[task]
            if link.before == link.after
        )

    def _start_window(self, task: int, duration: int) -> tuple[int, int, int | None]:
        """Earliest and latest start by the links to placed tasks, and which of these makes the latest."""
        earliest, latest, blocker = 0, NEVER, None
        for link in self._links[task]:
            forward = link.after == task
            other = link.before if forward else link.after
            place = self._places.get(other)
            if place is None or other == task:
                continue
            from_end = link.kind in (LinkKind.END_START, LinkKind.END_END)
            to_end = link.kind in (LinkKind.START_END, LinkKind.END_END)
            if forward:
                base = (place.end if from_end else place.assignment.start) - (duration if to_end else 0)
                low = None if link.least is None else base + link.least
                high = None if link.most is None else base + link.most
            else:
                base = (place.end if to_end else place.assignment.start) - (duration if from_end else 0)
                low = None if link.most is None else base - link.most
                high = None if link.least is None else base - link.least
            if low is not None:
                earliest = max(earliest, low)
            if high is not None and high < latest:
                latest, blocker = high, other
        return earliest, latest, blocker

    def _demands(self, task: int, number: int) -> list[Demand]:
        mode = self._problem.tasks[task].modes[number]
        demands = [
            Demand(use.offset, use_length(mode, use), self._preferred(use.resources), use.amount, use.state)
            for use in mode.uses
        ]
        for index in self._holds_from[task]:
            hold = self._problem.holds[index]
            demands.append(Demand(mode.duration, -1, self._preferred(hold.resources), hold.amount, hold=index))
        return demands

    def _preferred(self, options: tuple[int, ...]) -> tuple[int, ...]:
        """The least sought-after resources first, so that the others stay free for those who have no choice."""
        return options if len(options) == 1 else tuple(sorted(options, key=lambda index: self._sought[index]))

    def _fit(self, demands: list[Demand], allowed: tuple[Interval, ...], earliest: int) -> tuple[int, list[int]] | None:
        """The first allowed start at which every demand finds room, and the resources chosen."""
        moment = earliest
        while True:
            start = _next_allowed(allowed, moment)
            if start is None:
                return None
            chosen: list[int] = []
            taken: list[tuple[int, int, int, int, str | None]] = []
            later = 0
            for demand in demands:
                begin = start + demand.offset
                length, state = demand.length, demand.state
                if demand.hold is not None:
                    length = self._stay_end(demand.hold, begin) - begin
                options = demand.options
                if demand.hold is not None:
                    options = self._beside(demand.hold, demands, chosen) or options
                resource, free = self._first_free(demand, options, begin, length)
                if free > begin:
                    later = free - begin
                    break
                chosen.append(resource)
                if length and demand.amount:
                    self._tables[resource].change(begin, begin + length, demand.amount, state)
                    taken.append((resource, begin, begin + length, demand.amount, state))
            for resource, begin, end, amount, state in reversed(taken):
                self._tables[resource].change(begin, end, -amount, state)
            if not later:
                return start, chosen
            moment = start + later

    def _beside(self, hold: int, demands: list[Demand], chosen: list[int]) -> tuple[int, ...]:
        """The place of the holds that a hold must stand beside, where one of them has one already."""
        leader = self._problem.holds[hold].beside
        together = self._together[hold if leader is None else leader]
        if len(together) == 1:
            return ()
        places = {demand.hold: place for demand, place in zip(demands, chosen, strict=False)}
        places.update({other: self._kept[other][0] for other in together if other in self._kept})
        return tuple(places[other] for other in together if other in places)[:1]

    def _first_free(self, demand: Demand, options: tuple[int, ...], begin: int, length: int) -> tuple[int, int]:
        if not length or not demand.amount:
            return options[0], begin
        best, best_key = options[0], (2 * NEVER, 0, NEVER)
        for resource in options:
            table = self._tables[resource]
            moment = table.earliest(begin, length, demand.amount, demand.state)
            changes = table.changes(moment, demand.state) if isinstance(table, ChamberTimetable) else 0
            key = (moment + self._reluctance * changes, changes, moment)
            if key < best_key:
                best, best_key = resource, key
            if best_key == (begin, 0, begin):
                break
        return best, best_key[2]

    def _may_stand_until(self, task: int, start: int) -> bool:
        """Whether all that stands until a task has room together until a start that is later than expected."""
        longer: list[tuple[int, int, int]] = []
        fits = True
        for index in self._holds_to[task]:
            amount = self._problem.holds[index].amount
            if not amount or index not in self._kept or self._kept[index][2] >= start:
                continue
            resource, _, until = self._kept[index]
            fits = self._tables[resource].earliest(until, start - until, amount, None) <= until
            if not fits:
                break
            self._keep(resource, until, start, amount)
            longer.append((resource, until, amount))
        for resource, until, amount in longer:
            self._keep(resource, until, start, -amount)
        return fits

    def _stay_end(self, hold: int, begin: int) -> int:
        after = self._problem.holds[hold].after
        place = self._places.get(after)
        return max(begin, self._expected.get(after, self._far) if place is None else place.assignment.start)

    def _put(self, task: int, place: Place) -> None:
        self._take(task, place, 1)
        self._places[task] = place
        for index, resource in zip(self._holds_from[task], place.holds, strict=True):
            until = self._stay_end(index, place.end)
            self._kept[index] = (resource, place.end, until)
            self._keep(resource, place.end, until, self._problem.holds[index].amount)
        self._stand_anew(task)

    def _remove(self, task: int) -> None:
        place = self._places.pop(task)
        self._take(task, place, -1)
        for index in self._holds_from[task]:
            resource, begin, until = self._kept.pop(index)
            self._keep(resource, begin, until, -self._problem.holds[index].amount)
        self._stand_anew(task)

    def _stand_anew(self, task: int) -> None:
        """Let what stands until a task stand as long as it has to, now that the task has a place or none."""
        for index in self._holds_to[task]:
            if index in self._kept:
                resource, begin, until = self._kept[index]
                end, amount = self._stay_end(index, begin), self._problem.holds[index].amount
                self._keep(resource, min(until, end), max(until, end), amount if end > until else -amount)
                self._kept[index] = (resource, begin, end)

    def _take(self, task: int, place: Place, sign: int) -> None:
        mode = self._problem.tasks[task].modes[place.assignment.mode]
        for use, resource in zip(mode.uses, place.assignment.resources, strict=True):
            length = use_length(mode, use)
            if length and use.amount:
                begin = place.assignment.start + use.offset
                self._tables[resource].change(begin, begin + length, sign * use.amount, use.state)

    def _keep(self, resource: int, begin: int, until: int, amount: int) -> None:
        if until > begin and amount:
            self._tables[resource].change(begin, until, amount, None)


def _next_allowed(allowed: tuple[Interval, ...], start: int) -> int | None:
    """The first minute from ``start`` inside closed intervals."""
    k = bisect_right(allowed, (start, NEVER)) - 1
    if k >= 0 and start <= allowed[k][1]:
        return start
    return allowed[k + 1][0] if k + 1 < len(allowed) else None


def _sought(problem: Problem) -> list[float]:
    """How much each resource is asked for, as a share of its room, each use spread evenly over its options."""
    sought = [0.0] * len(problem.resources)
    for task in problem.tasks:
        for mode in task.modes:
            for use in mode.uses:
                for index in use.resources:
                    sought[index] += use.amount * use_length(mode, use) / len(use.resources) / len(task.modes)
    return [total / max(1, resource.capacity) for total, resource in zip(sought, problem.resources, strict=True)]
