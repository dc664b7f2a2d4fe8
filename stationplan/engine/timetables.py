"""What is already taken of each resource over time, and the earliest moment at which more fits in."""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from typing import Protocol

from stationplan.engine.problem import Chamber, Pool, Problem

NEVER = 1 << 40


class Timetable(Protocol):
    """Room taken of one resource."""

    def earliest(self, start: int, length: int, amount: int, state: str | None) -> int:
        """The first moment from ``start`` with ``amount`` free for ``length`` minutes; NEVER if there is none."""

    def change(self, start: int, end: int, amount: int, state: str | None) -> None:
        """Take ``amount`` from ``start`` to ``end``; give it back when negative."""


class PoolTimetable:
    """Room taken of a pool, as a step function: ``used[k]`` from ``times[k]`` to ``times[k + 1]``."""

    def __init__(self, pool: Pool) -> None:
        self._capacity = pool.capacity
        self._times = [0]
        self._used = [0]
        for closure in pool.closures:
            if closure.end > closure.start:
                self.change(closure.start, closure.end, closure.amount, None)

    def earliest(self, start: int, length: int, amount: int, state: str | None) -> int:
        """See :class:`Timetable`."""
        room = self._capacity - amount
        if room < 0:
            return NEVER
        times, used = self._times, self._used
        last = len(times)
        k = bisect_right(times, start) - 1
        while True:
            while k < last and used[k] > room:
                k += 1
            if k == last:
                return NEVER
            start = max(start, times[k])
            end = start + length
            k += 1
            while k < last and times[k] < end and used[k] <= room:
                k += 1
            if k == last or times[k] >= end:
                return start

    def change(self, start: int, end: int, amount: int, state: str | None) -> None:
        """See :class:`Timetable`."""
        first, last = self._split(start), self._split(end)
        for k in range(first, last):
            self._used[k] += amount

    def _split(self, time: int) -> int:
        k = bisect_left(self._times, time)
        if k == len(self._times) or self._times[k] != time:
            self._times.insert(k, time)
            self._used.insert(k, self._used[k - 1])
        return k


class ChamberTimetable:
    """What is in a chamber: uses (start, end, state, amount), sorted by start."""

    def __init__(self, chamber: Chamber) -> None:
        self._chamber = chamber
        self._uses: list[tuple[int, int, str, int]] = []
        self._reach = max(chamber.changeovers.values(), default=0)
        self._longest = 0
        self._closed = sorted(
            (closure.start, closure.end) for closure in chamber.closures if closure.end > closure.start
        )

    def earliest(self, start: int, length: int, amount: int, state: str | None) -> int:
        """See :class:`Timetable`."""
        chamber, wanted = self._chamber, state or ""
        if amount > chamber.capacity:
            return NEVER
        ready = chamber.after_restarts.get(wanted, 0)
        start = max(start, chamber.first.get(wanted, 0))
        while True:
            ready_at = self._ready(self._open(start, length, ready), ready)
            if ready_at > start:
                start = ready_at
                continue
            later = self._conflict(start, start + length, amount, wanted)
            if later is None:
                return start
            start = later

    def _ready(self, start: int, ready: int) -> int:
        """The first moment from ``start`` that is not within ``ready`` minutes of a restart.

        What goes on through the restart may be moved yet, so nothing counts on it.
        """
        gaps = (restart + ready for restart in self._chamber.restarts if restart <= start < restart + ready)
        return max((start, *gaps))

    def _open(self, start: int, length: int, ready: int) -> int:
        """The first moment from ``start`` at which it is open long enough, ``ready`` minutes after each closure."""
        for begin, end in self._closed:
            if begin < start + length and start < end + ready:
                start = end + ready
        return start

    def change(self, start: int, end: int, amount: int, state: str | None) -> None:
        """See :class:`Timetable`."""
        if amount > 0:
            insort(self._uses, (start, end, state or "", amount))
            self._longest = max(self._longest, end - start)
        else:
            del self._uses[bisect_left(self._uses, (start, end, state or "", -amount))]

    def changes(self, start: int, state: str | None) -> int:
        """How many more changes of state there are with a use that begins at ``start``."""
        k = bisect_left(self._uses, (start,))
        beside = [self._uses[other][2] for other in (k - 1, k) if 0 <= other < len(self._uses)]
        return sum(other != state for other in beside) - (len(set(beside)) > 1)

    def _conflict(self, start: int, end: int, amount: int, wanted: str) -> int | None:
        """A later start to try when [start, end) does not fit in, None when it does."""
        changeovers = self._chamber.changeovers
        begin = bisect_left(self._uses, (start - self._reach - self._longest,))
        same: list[tuple[int, int]] = []
        for k in range(begin, len(self._uses)):
            first, last, state, taken = self._uses[k]
            if first >= end + self._reach:
                break
            gap_before, gap_after = changeovers.get((state, wanted), 0), changeovers.get((wanted, state), 0)
            if state == wanted and not (self._chamber.capacity == 1 and gap_before):
                if first < end and start < last:
                    same.append((last, taken))
                    if amount + sum(used for until, used in same if until > first) > self._chamber.capacity:
                        return min(until for until, _ in same if until > start)
            elif first < end + gap_after and start < last + gap_before:
                return last + gap_before
        return None


def timetables_of(problem: Problem) -> list[PoolTimetable | ChamberTimetable]:
    """Empty timetables for all resources, closures entered."""
    return [
        PoolTimetable(resource) if isinstance(resource, Pool) else ChamberTimetable(resource)
        for resource in problem.resources
    ]
