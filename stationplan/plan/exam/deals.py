"""The hours of an exam, and every way to deal the candidates to waves in them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, islice, product
from math import ceil
from typing import TYPE_CHECKING

from stationplan.plan.exam.kitchen import minutes_of
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stationplan.scenario.models import Scenario

MOST_DEALS = 200


@dataclass(frozen=True, slots=True)
class Session:
    """A wave: its day, from 0 on, how many candidates, and its time of day if the exam gives it."""

    day: int
    size: int
    clock: int | None


Deal = tuple[Session, ...]
"""All waves, in order of time."""


class Hall:
    """The hours of an exam: which waves fit into them.

    Args:
        scenario: a valid scenario with an exam.
        spare: minutes after the time allowed in which late dishes are finished.
    """

    def __init__(self, scenario: Scenario, spare: int) -> None:
        exam = scenario.exam
        assert exam is not None
        self.exam = exam
        self.opens, self.closes = int(scenario.shift.opens), int(scenario.shift.closes)
        self.candidates = len(exam.candidates)
        self.spare = spare
        self.set_up = minutes_of(exam)[0]
        self.slot = sum(minutes_of(exam)) + spare
        self.pause = ceil(exam.pause)
        self.clocks = tuple(int(clock) for clock in exam.waves)

    @property
    def fewest(self) -> int:
        """Waves that there must be for the workplaces there are."""
        return 1 if self.exam.workplaces is None else -(-self.candidates // self.exam.workplaces)

    @property
    def most(self) -> int:
        """Waves that there can be, if candidates did not have to wait for one another."""
        if self.clocks:
            return min(self.candidates, len(self.clocks) * self.exam.days)
        day = self.closes - self.opens
        return min(self.candidates, (day + self.pause) // (self.slot + self.pause) * self.exam.days)

    @property
    def latest_first(self) -> int:
        """The latest begin of a wave, minutes after that of the first one that there can be."""
        fitting = [clock for clock in self.clocks if clock + self.slot <= self.closes]
        if self.clocks:
            return max(fitting, default=self.clocks[0]) - self.clocks[0]
        return max(0, self.closes - self.opens - self.slot)

    def size(self, waves: int) -> int:
        """Candidates in the largest of so many waves."""
        return -(-self.candidates // waves)

    def groups(self, size: int) -> int:
        """How many groups of candidates start one after another in a wave."""
        return -(-size // self.exam.at_a_time)

    def deals(self, waves: int) -> tuple[list[Deal], bool]:
        """The ways to have so many waves of even size for which there is time if starts are close enough.

        Days are alike, so busier days come first in each way. The first way spreads the waves evenly.

        Returns:
            Ways, and whether these are all.
        """
        found = list(islice(self._deals(waves), MOST_DEALS + 1))
        fitting = [deal for deal in found[:MOST_DEALS] if self.most_apart(deal) is not None]
        return fitting, len(found) <= MOST_DEALS

    def _deals(self, waves: int) -> Iterator[Deal]:
        least, larger = divmod(self.candidates, waves)
        for counts in _falling(waves, self.exam.days, len(self.clocks) or waves):
            for shares in _shares(counts, larger):
                days = [
                    list(islice(self._day(day, count, share, least), MOST_DEALS + 1))
                    for day, (count, share) in enumerate(zip(counts, shares, strict=True))
                ]
                for chosen in product(*days):
                    yield tuple(session for sessions in chosen for session in sessions)

    def _day(self, day: int, count: int, larger: int, least: int) -> Iterator[Deal]:
        """The ways to have ``count`` waves on a day, ``larger`` of which have a candidate more than ``least``."""
        for clocks in combinations(self.clocks, count) if self.clocks else [(None,) * count]:
            for places in combinations(range(count), larger):
                yield tuple(Session(day, least + (place in places), clock) for place, clock in enumerate(clocks))

    def room(self, deal: Deal, every: int = 0) -> list[tuple[int, int]]:
        """The time that is left: for each stretch of a day (minutes, gaps between starts in it).

        Args:
            deal: the waves.
            every: minutes between starts.
        """
        rooms = []
        for day in range(self.exam.days):
            sessions = [session for session in deal if session.day == day]
            gaps = [self.groups(session.size) - 1 for session in sessions]
            if self.clocks:
                begins = [session.clock or 0 for session in sessions]
                ends = [*(begin - self.pause for begin in begins[1:]), self.closes][: len(begins)]
                rooms += [(end - begin - self.slot, gap) for begin, end, gap in zip(begins, ends, gaps, strict=True)]
            elif sessions:
                busy = len(sessions) * (self.slot + self.pause) - self.pause
                rooms.append((self.closes - self.opens - busy, sum(gaps)))
        return [(minutes - every * gap, gap) for minutes, gap in rooms]

    def most_apart(self, deal: Deal) -> int | None:
        """The most minutes between starts for which there is time; None when there is none."""
        rooms = self.room(deal)
        if any(minutes < 0 for minutes, _ in rooms):
            return None
        limits = [minutes // gap for minutes, gap in rooms if gap]
        return min([max(self.slot, self.closes - self.opens), *limits])

    def begins(self, deal: Deal, every: int, later: int = 0, apart: Sequence[int] = ()) -> tuple[int, ...]:
        """When each wave begins, minutes since midnight of the first day.

        Args:
            deal: the waves.
            every: minutes between starts.
            later: minutes after opening that the first wave of a day begins, where no clock is given.
            apart: for each wave of a day, minutes that it begins later than it could after the one before.
        """
        found: list[int] = []
        for number, session in enumerate(deal):
            before = deal[number - 1] if number else None
            if before is None or before.day != session.day:
                place, clear = 0, self.opens + later + session.day * MINUTES_PER_DAY
            else:
                place += 1
                clear = self.clear(found[-1], before, every) + (apart[place] if place < len(apart) else 0)
            given = None if session.clock is None else session.clock + session.day * MINUTES_PER_DAY
            found.append(clear if given is None else given)
        return tuple(found)

    def clear(self, begin: int, session: Session, every: int) -> int:
        """When the wave after a wave may begin."""
        return begin + (self.groups(session.size) - 1) * every + self.slot + self.pause

    def fits(self, deal: Deal, begins: Sequence[int], every: int) -> bool:
        """Whether every wave is over by closing, and far enough before the next one."""
        for number, (session, begin) in enumerate(zip(deal, begins, strict=True)):
            clear = self.clear(begin, session, every)
            if clear - self.pause > self.closes + session.day * MINUTES_PER_DAY:
                return False
            if number + 1 < len(deal) and begins[number + 1] < clear:
                return False
        return True


def _falling(total: int, parts: int, most: int) -> Iterator[tuple[int, ...]]:
    """Ways to write a total as so many parts, none above ``most`` or the one before; the most even ones first."""
    if parts == 1:
        if total <= most:
            yield (total,)
        return
    for first in range(-(-total // parts), min(total, most) + 1):
        for rest in _falling(total - first, parts - 1, min(first, most)):
            yield (first, *rest)


def _shares(counts: Sequence[int], larger: int) -> Iterator[tuple[int, ...]]:
    """Ways to say how many of each day's waves are larger ones; of days with as many waves no later one has more."""
    if not counts:
        if not larger:
            yield ()
        return
    for first in range(min(counts[0], larger), max(0, larger - sum(counts[1:])) - 1, -1):
        for rest in _shares(counts[1:], larger - first):
            if not rest or counts[1] != counts[0] or rest[0] <= first:
                yield (first, *rest)
