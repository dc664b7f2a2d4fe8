"""How many waves there must be, when each of them begins, and who is in which.

First one wave is looked at alone, and what it does is moved to the begin of each wave. Where
that does not do, for ovens that are not yet back at their temperature or for helpers who are
away, all waves are put into one problem, with the begins that are to be tried.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial
from typing import TYPE_CHECKING

from stationplan.engine.result import Status, TierName
from stationplan.engine.verify import verify
from stationplan.plan.exam.begins import MOST_TRIED, asked_begins, soonest_begins, started
from stationplan.plan.exam.compose import lay_out
from stationplan.plan.exam.deals import Hall
from stationplan.plan.exam.errors import ExamImpossibleError
from stationplan.plan.exam.fairness import (
    Found,
    Questions,
    Starts,
    Wave,
    closest_starts,
    least_difference,
    offsets_of,
    wave_of,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from stationplan.engine.result import Result
    from stationplan.plan.exam.copies import Copies, Timeline
    from stationplan.plan.exam.deals import Deal
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True)
class Arrangement:
    """All waves and what everybody does.

    Attributes:
        wave: what is alike: the starts, the difference and the length.
        deal: the waves.
        begins: when each wave begins its set-up, minutes since midnight of the first day.
        lines: what each candidate does, minutes after the first opening.
        number: how many waves there are, and how many there must be.
        spare: minutes after the time allowed in which late dishes are finished.
        ends: when the last workplace is clean, minutes since midnight of the first day.
    """

    wave: Wave
    deal: Deal
    begins: tuple[int, ...]
    lines: tuple[Timeline, ...]
    number: Found
    spare: int
    ends: int


@dataclass(frozen=True)
class _Tried:
    """What came of a number of waves: an arrangement; or whether there is none, and why none was found."""

    arrangement: Arrangement | None = None
    ruled_out: bool = False
    why: str = ""


def arrange(scenario: Scenario, questions: Questions) -> Arrangement:
    """Find the fewest waves into which all candidates fit, and what they do.

    Args:
        scenario: a valid scenario with an exam.
        questions: whom to ask, about one candidate's problem that has a schedule.

    Raises:
        ExamImpossibleError: when the candidates do not fit.
    """
    hall = Hall(scenario, questions.sitting.spare)
    bound: int | None = hall.fewest if questions.sitting.narrowed else None
    whys: dict[str, list[int]] = {}
    for waves in range(hall.fewest, hall.most + 1):
        tried = _Waves(scenario, hall, questions, waves).tried()
        if tried.arrangement is not None:
            return replace(tried.arrangement, number=Found(waves, bound or waves))
        whys.setdefault(tried.why, []).append(waves)
        if bound is None and not tried.ruled_out:
            bound = waves
        if questions.over:
            bound = bound or waves + 1
            break
    raise ExamImpossibleError(_too_many(hall, whys, proved=bound is None), proved=bound is None)


class _Waves:
    """The search for an exam in a given number of waves."""

    def __init__(self, scenario: Scenario, hall: Hall, questions: Questions, waves: int) -> None:
        self.scenario = scenario
        self.hall = hall
        self.questions = questions
        self.sitting = questions.sitting
        self.differ = int(hall.exam.may_differ)
        self.size = hall.size(waves)
        self.deals, self.complete = hall.deals(waves)
        self.every = hall.exam.starts.every if self.size > hall.exam.at_a_time else Fraction(0)
        self.room = max([hall.most_apart(deal) or 0 for deal in self.deals], default=0)

    def tried(self) -> _Tried:
        """What comes of it."""
        if not self.deals:
            return _Tried(None, self.complete, "the waves would come too soon after each other")
        if self.every is not None and self.every > self.room:
            why = f"starts every {self.every} min would take longer than there is time"
            return _Tried(None, self.complete, why)
        if not self.sitting.helped:
            pattern, ruled_out, why = self._one_wave()
            if pattern is None:
                return _Tried(None, ruled_out and self.complete, why)
            for deal in self.deals:
                found = self._moved(deal, pattern)
                if found is not None:
                    return _Tried(found)
        return self._all_waves()

    def _one_wave(self) -> tuple[Wave | None, bool, str]:
        """What the largest wave does, taken by itself; or None, whether that is ruled out, and why.

        A begin later than at opening finds the ovens warm. What is impossible then is so at any time of day.
        """
        wave, ruled_out, why = self._closest(partial(self._starts_of_one, 0), self.room)
        later = min(self.sitting.warms, self.hall.latest_first)
        if not later:
            return wave, ruled_out, why
        warm, ruled_out, why = self._closest(partial(self._starts_of_one, later), self.room)
        if wave is None or (warm is not None and _worth(warm) < _worth(wave)):
            return warm, ruled_out, why
        return (_unproved(wave) if warm is None else _bounded(wave, warm)), False, why

    def _starts_of_one(self, later: int, every: int) -> Starts:
        return Starts(offsets_of(self.size, self.hall.exam.at_a_time, every), later)

    def _closest(self, starts: Callable[[int], Starts], most: int) -> tuple[Wave | None, bool, str]:
        """The closest starts, and for these the least difference and the shortest timeline."""
        questions = self.questions
        if self.every is None:
            closest = closest_starts(questions, starts, self.differ, most)
            if isinstance(closest, bool):
                return None, closest, f"with starts at most {most} min apart, {self.sitting.crowded}"
            apart, first = closest
        else:
            apart = Found(int(self.every), int(self.every))
            first = questions.ask(starts(apart.value), self.differ, "whether everybody fits in")
            if first[1].schedule is None:
                ruled_out = first[1].status is Status.INFEASIBLE
                return None, ruled_out, f"with these starts, {self.sitting.crowded}"
        return _best(questions, starts(apart.value), apart, self.differ, first), False, ""

    def _moved(self, deal: Deal, wave: Wave) -> Arrangement | None:
        """What one wave does at the begin of every wave, as soon as the ovens allow."""
        every = wave.every.value
        apart = self.hall.most_apart(deal)
        if apart is None or apart < every:
            return None
        first = wave.cooks - self.hall.set_up
        own = tuple(started(line, -first) for line in wave.timelines)
        return self._checked(deal, wave, tuple(own[: session.size] for session in deal))

    def _checked(
        self, deal: Deal, wave: Wave, own: tuple[tuple[Timeline, ...], ...], begins: tuple[int, ...] | None = None
    ) -> Arrangement | None:
        """An arrangement of timelines that count from their wave's begin, if all waves together keep every rule."""
        hall, every = self.hall, wave.every.value
        if begins is None:
            begins = soonest_begins(hall, self.sitting, deal, own, every)
        if not hall.fits(deal, begins, every):
            return None
        lines = tuple(
            started(line, begin - hall.opens) for mine, begin in zip(own, begins, strict=True) for line in mine
        )
        ends = hall.clear(begins[-1], deal[-1], every) - hall.pause
        arrangement = Arrangement(wave, deal, begins, lines, Found(len(deal), 1), self.sitting.spare, ends)
        _, network, schedule, _ = lay_out(self.scenario, self.sitting, arrangement)
        return None if verify(network.problem, schedule) else arrangement

    def _all_waves(self) -> _Tried:
        """All waves as one problem, for one way after another to deal candidates to them."""
        ruled_out = self.complete
        for deal in self.deals:
            most = self.hall.most_apart(deal) or 0
            if self.every is not None and self.every > most:
                continue
            asked, out = asked_begins(self.hall, self.sitting, deal), True
            for begins in asked.tried:
                if self.questions.over:
                    return _Tried(None, False, "there was no time to look at all waves together")
                wave, none, _ = self._closest(self._starts_of(deal, begins), most)
                found = None if wave is None else self._from_all(deal, wave, begins)
                if found is not None:
                    if not asked.whole or not self.complete or len(self.deals) > MOST_TRIED:
                        return _Tried(replace(found, wave=_unproved(found.wave)))
                    return _Tried(found if len(self.deals) == 1 else self._closer(found))
                out = out and none
            if not asked.whole and ruled_out and out:
                out = asked.easiest is not None and self._closest(self._starts_of(*asked.easiest), most)[1]
            ruled_out = ruled_out and out
        return _Tried(None, ruled_out, self.sitting.crowded)

    def _closer(self, found: Arrangement) -> Arrangement:
        """Closer starts in any of the waves that are given, or as far as possible the proof that there are none."""
        wave, bound = _unproved(found.wave), 0
        if self.every is not None:
            return replace(found, wave=wave)
        for every in range(wave.every.value):
            ruled_out = True
            for deal in self.deals:
                if self.questions.over:
                    break
                if every > (self.hall.most_apart(deal) or 0):
                    continue
                begins = asked_begins(self.hall, self.sitting, deal).tried[0]
                starts = self._starts_of(deal, begins)(every)
                saying = f"whether candidates can start every {every} min in other waves"
                answer = self.questions.ask(starts, self.differ, saying)
                ruled_out = ruled_out and answer[1].status is Status.INFEASIBLE
                if answer[1].schedule is not None:
                    closer = _best(self.questions, starts, Found(every, bound), self.differ, answer)
                    other = self._from_all(deal, closer, begins)
                    if other is not None:
                        return replace(other, wave=replace(_unproved(other.wave), every=Found(every, bound)))
            if not ruled_out or self.questions.over:
                break
            bound = every + 1
        return replace(found, wave=replace(wave, every=Found(wave.every.value, bound)))

    def _starts_of(self, deal: Deal, begins: Callable[[int], tuple[int, ...]]) -> Callable[[int], Starts]:
        """Everybody's starts in all waves, by the minutes between two."""

        def starts(every: int) -> Starts:
            moments = begins(every)
            offsets = [
                begin + offset - moments[0]
                for session, begin in zip(deal, moments, strict=True)
                for offset in offsets_of(session.size, self.hall.exam.at_a_time, every)
            ]
            return Starts(tuple(offsets), moments[0] + self.hall.set_up - self.hall.opens - self.sitting.cooks)

        return starts

    def _from_all(self, deal: Deal, wave: Wave, begins: Callable[[int], tuple[int, ...]]) -> Arrangement | None:
        """The waves of one problem, each as soon as the ovens allow, if no helper minds."""
        moments = begins(wave.every.value)
        lines = iter(wave.timelines)
        own = tuple(
            tuple(started(next(lines), self.hall.opens - begin) for _ in range(session.size))
            for session, begin in zip(deal, moments, strict=True)
        )
        sooner = None if self.sitting.helped else self._checked(deal, wave, own)
        return sooner or self._checked(deal, wave, own, moments)


def _worth(wave: Wave) -> tuple[int, int]:
    """How good it is; a shorter timeline alone is no reason to begin later."""
    return wave.every.value, wave.differ.value


def _bounded(wave: Wave, other: Wave) -> Wave:
    """A wave with the bounds of another one."""
    every, differ, length = (
        Found(found.value, min(found.value, bound.bound))
        for found, bound in ((wave.every, other.every), (wave.differ, other.differ), (wave.length, other.length))
    )
    return replace(wave, every=every, differ=differ, length=length)


def _unproved(wave: Wave) -> Wave:
    """The same where other begins or other waves may allow more."""
    every, differ, length = (Found(found.value, 0) for found in (wave.every, wave.differ, wave.length))
    return replace(wave, every=every, differ=differ, length=length)


def _best(questions: Questions, starts: Starts, every: Found, differ: int, first: tuple[Copies, Result]) -> Wave:
    """The least difference, and for it the shortest timeline."""
    least = Found(0, 0)
    if differ:
        least, first = least_difference(questions, starts, differ, first)
    if questions.over:
        return wave_of(*first, every, least)
    polished = questions.best(starts, least.value)
    return wave_of(*min((polished, first), key=lambda answer: _cost(answer[1])), every, least)


def _cost(result: Result) -> tuple[bool, tuple[int, ...]]:
    """What counts before tidiness, in which the dishes' spare time counts for one of the two only."""
    return result.schedule is None, tuple(tier.value for tier in result.tiers if tier.name is not TierName.TIDINESS)


def _too_many(hall: Hall, whys: dict[str, list[int]], *, proved: bool) -> str:
    exam = hall.exam
    count = f"{hall.candidates} {'candidate' if hall.candidates == 1 else 'candidates'}"
    if hall.fewest > hall.most:
        places = f"{exam.workplaces} workplaces" if exam.workplaces else "the hours"
        return f"{count} at {places} need {hall.fewest} waves, and there is time for {hall.most}"
    reasons = [
        f"in {' or '.join(map(str, waves))} {'wave' if waves == [1] else 'waves'}, {why}" for why, waves in whys.items()
    ]
    tried = "; ".join([f"there is no plan for {count}", *reasons])
    return tried if proved else f"in what was tried, which is not all there is, {tried}"
