"""How many waves there must be, when each of them begins, and who is in which."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber
from stationplan.engine.result import Status
from stationplan.engine.verify import verify
from stationplan.plan.exam.compose import lay_out
from stationplan.plan.exam.errors import ExamImpossibleError
from stationplan.plan.exam.fairness import (
    Found,
    Questions,
    Wave,
    closest_starts,
    least_difference,
    offsets_of,
    wave_of,
)
from stationplan.plan.exam.kitchen import minutes_of
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from stationplan.engine.result import Result
    from stationplan.plan.exam.copies import Copies
    from stationplan.plan.exam.sitting import Sitting
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True)
class Arrangement:
    """All waves: the largest one's timelines serve all of them.

    Attributes:
        wave: what the candidates of the largest wave do.
        sizes: candidates in each wave.
        begins: when each wave begins its set-up, minutes since midnight of the first day.
        number: how many waves there are, and how many there must be.
        spare: minutes after the time allowed in which late dishes are finished.
        ends: when the last workplace is clean, minutes since midnight of the first day.
    """

    wave: Wave
    sizes: tuple[int, ...]
    begins: tuple[int, ...]
    number: Found
    spare: int
    ends: int


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
        self.slot = sum(minutes_of(exam)) + spare
        self.pause = ceil(exam.pause)

    @property
    def fewest(self) -> int:
        """Waves that there must be for the workplaces there are."""
        return 1 if self.exam.workplaces is None else -(-self.candidates // self.exam.workplaces)

    @property
    def most(self) -> int:
        """Waves that there can be, if candidates did not have to wait for one another."""
        if self.exam.waves:
            return len(self.exam.waves) * self.exam.days
        day = self.closes - self.opens
        return min(self.candidates, (day + self.pause) // (self.slot + self.pause) * self.exam.days)

    def size(self, waves: int) -> int:
        """Candidates in the largest of so many waves."""
        return -(-self.candidates // waves)

    def sizes(self, waves: int) -> tuple[int, ...]:
        """Candidates in each of so many waves: as even as can be, the larger ones first."""
        least, larger = divmod(self.candidates, waves)
        return tuple(least + (number < larger) for number in range(waves))

    def most_apart(self, waves: int) -> int | None:
        """The most minutes between starts for which so many waves of even size fit; None when none do."""
        limits = [max(self.slot, self.closes - self.opens)]
        for sizes in self._days(waves):
            gaps = [-(-size // self.exam.at_a_time) - 1 for size in sizes]
            if self.exam.waves:
                ends = [*(clock - self.pause for clock in self.exam.waves[1 : len(sizes)]), self.closes]
                begins = self.exam.waves[: len(sizes)]
                rooms = [(end - begin - self.slot, gap) for begin, end, gap in zip(begins, ends, gaps, strict=True)]
            else:
                busy = len(sizes) * (self.slot + self.pause) - self.pause
                rooms = [(self.closes - self.opens - busy, sum(gaps))]
            if any(room < 0 for room, _ in rooms):
                return None
            limits += [room // gap for room, gap in rooms if gap]
        return min(limits)

    def one_way(self, waves: int) -> bool:
        """Whether no other choice of clocks and of days for larger waves leaves more time between starts."""
        alike = len({-(-size // self.exam.at_a_time) for size in self.sizes(waves)}) == 1
        if self.exam.waves:
            return alike and waves == self.most
        return alike or self.exam.days == 1

    def begins(self, waves: int, offsets: tuple[int, ...], between: int) -> tuple[int, ...]:
        """When each wave begins.

        Args:
            waves: how many.
            offsets: minutes after the first start of a wave, for each candidate of the largest.
            between: least minutes from the begin of one wave to that of the next, for the ovens.
        """
        found: list[int] = []
        for day, sizes in enumerate(self._days(waves)):
            clock = self.opens
            for number, size in enumerate(sizes):
                begin = int(self.exam.waves[number]) if self.exam.waves else clock
                found.append(begin + day * MINUTES_PER_DAY)
                clock = begin + max(offsets[size - 1] + self.slot + self.pause, between)
        return tuple(found)

    def _days(self, waves: int) -> list[tuple[int, ...]]:
        """The sizes of the waves of each day."""
        sizes, a_day = self.sizes(waves), -(-waves // self.exam.days)
        return [sizes[first : first + a_day] for first in range(0, waves, a_day)]

    def too_late(self, begins: tuple[int, ...], sizes: tuple[int, ...], offsets: tuple[int, ...]) -> bool:
        """Whether a wave would end after closing."""
        of_day = [self.opens + (begin - self.opens) % MINUTES_PER_DAY for begin in begins]
        return any(
            begin + offsets[size - 1] + self.slot > self.closes for begin, size in zip(of_day, sizes, strict=True)
        )


def arrange(scenario: Scenario, questions: Questions) -> Arrangement:
    """Find the fewest waves into which all candidates fit, and what they do.

    Args:
        scenario: a valid scenario with an exam.
        questions: whom to ask, about one candidate's problem that has a schedule.

    Raises:
        ExamImpossibleError: when the candidates do not fit.
    """
    sitting = questions.sitting
    hall = Hall(scenario, sitting.spare)
    bound: int | None = hall.fewest if sitting.narrowed else None
    why = ""
    for waves in range(hall.fewest, hall.most + 1):
        apart = hall.most_apart(waves)
        if apart is None:
            if bound is None and not hall.one_way(waves):
                bound = waves
                why = "the waves would come too soon after each other"
            continue
        found, ruled_out, why = _wave(hall, questions, hall.size(waves), apart)
        if found is None:
            if bound is None and not (ruled_out and hall.one_way(waves)):
                bound = waves
            continue
        sizes = hall.sizes(waves)
        begins = hall.begins(waves, found.offsets, _between(sitting, found))
        ends = begins[-1] + found.offsets[sizes[-1] - 1] + hall.slot
        arrangement = Arrangement(found, sizes, begins, Found(waves, bound or waves), sitting.spare, ends)
        if hall.too_late(begins, sizes, found.offsets):
            why = "the ovens need too long from one wave to the next"
        elif _holds(scenario, sitting, arrangement):
            return arrangement
        else:
            why = "what was found for one wave does not suit the ovens or the helpers of another"
        # Other timelines may leave the ovens and the helpers as the next wave needs them.
        bound = waves if bound is None else bound
    raise ExamImpossibleError(_too_many(hall, why, proved=bound is None), proved=bound is None)


def _holds(scenario: Scenario, sitting: Sitting, arrangement: Arrangement) -> bool:
    """Whether all waves together keep every rule: hours and breaks of helpers, and changes of ovens in between."""
    _, network, schedule, _ = lay_out(scenario, sitting, arrangement)
    return not verify(network.problem, schedule)


def _wave(hall: Hall, questions: Questions, size: int, most: int) -> tuple[Wave | None, bool, str]:
    """What a wave of this size does, starts at most so far apart; or None, whether it is ruled out, and why."""
    exam = hall.exam
    differ = int(exam.may_differ)
    every = exam.starts.every if size > exam.at_a_time else Fraction(0)
    if every is None:
        closest = closest_starts(questions, size, exam.at_a_time, differ, most)
        if isinstance(closest, bool):
            return None, closest, f"starts at most {most} min apart leave too little room at shared equipment"
        apart, first = closest
    elif every > most:
        return None, True, f"starts every {every} min would take longer than there is time"
    else:
        apart = Found(int(every), int(every))
        first = questions.ask(offsets_of(size, exam.at_a_time, apart.value), differ, "whether everybody fits in")
        if first[1].schedule is None:
            ruled_out = first[1].status is Status.INFEASIBLE
            return None, ruled_out, "shared equipment has too little room for these starts"
    return _best(questions, offsets_of(size, exam.at_a_time, apart.value), apart, differ, first), False, ""


def _best(
    questions: Questions, offsets: tuple[int, ...], every: Found, differ: int, first: tuple[Copies, Result]
) -> Wave:
    """The least difference, and for it the shortest timeline."""
    least = Found(0, 0)
    if differ:
        least, first = least_difference(questions, offsets, differ, first)
    if questions.over:
        return wave_of(*first, every, least)
    polished = questions.best(offsets, least.value)
    return wave_of(*min((first, polished), key=lambda answer: _cost(answer[1])), every, least)


def _cost(result: Result) -> tuple[bool, tuple[int, ...]]:
    return result.schedule is None, tuple(tier.value for tier in result.tiers)


def _between(sitting: Sitting, wave: Wave) -> int:
    """Least minutes from one wave to the next, so that every chamber can come back to how the wave found it."""
    problem = sitting.network.problem
    between = 0
    for index, chamber in enumerate(problem.resources):
        if not isinstance(chamber, Chamber):
            continue
        spans = sorted(
            (
                part.start + use.offset,
                part.start + (mode.duration if use.length is None else use.offset + use.length),
                use.state or "",
            )
            for line in wave.timelines
            for task, part in enumerate(line)
            for mode in [problem.tasks[task].modes[part.mode]]
            for use, where in zip(mode.uses, part.resources, strict=True)
            if where == index and sitting.shared[index]
        )
        for start, _, state in spans:
            for _, end, before in spans:
                between = max(between, end - start + chamber.changeovers.get((before, state), 0))
    return between


def _too_many(hall: Hall, why: str, *, proved: bool) -> str:
    exam = hall.exam
    count = f"{hall.candidates} candidates"
    if hall.fewest > hall.most:
        places = f"{exam.workplaces} workplaces" if exam.workplaces else "the hours"
        return f"{count} at {places} need {hall.fewest} waves, and there is time for {hall.most}"
    tried = f"{count} do not fit into the hours of the exam" + (f": {why}" if why else "")
    return tried if proved else f"in what was tried, which is not all there is, {tried}"
