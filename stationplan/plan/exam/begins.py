"""When waves begin: as soon as the ovens allow, or where it is worth asking whether all waves go together."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from itertools import islice, product
from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber, Pool
from stationplan.engine.windows import use_length
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from stationplan.plan.exam.copies import Timeline
    from stationplan.plan.exam.deals import Deal, Hall
    from stationplan.plan.exam.sitting import Sitting

MOST_TRIED = 12


@dataclass(frozen=True, slots=True)
class Asked:
    """Begins of waves to ask about, each by the minutes between starts.

    Attributes:
        tried: begins that keep the hours.
        whole: whether there is nothing else that could be possible.
        easiest: otherwise, if known, waves and begins so far apart that what is impossible with them is so with all.
    """

    tried: tuple[Callable[[int], tuple[int, ...]], ...]
    whole: bool
    easiest: tuple[Deal, Callable[[int], tuple[int, ...]]] | None = None


def started(line: Timeline, minutes: int) -> Timeline:
    """A timeline moved by so many minutes."""
    return tuple(replace(part, start=part.start + minutes) for part in line)


@dataclass(frozen=True, slots=True)
class _Load:
    """Something in a chamber, from the begin of its wave."""

    chamber: int
    start: int
    end: int
    state: str


def soonest_begins(
    hall: Hall, sitting: Sitting, deal: Deal, own: Sequence[Sequence[Timeline]], every: int
) -> tuple[int, ...]:
    """When each wave begins if it begins as soon as everything else allows, but helpers, whom nobody asks here.

    Args:
        hall: the hours.
        sitting: one candidate's problem.
        deal: the waves.
        own: for each wave what its candidates do, from its begin.
        every: minutes between starts.

    Returns:
        Minutes since midnight of the first day; where a clock is given, that clock.
    """
    resources = sitting.network.problem.resources
    loads = [[load for line in lines for load in _loads(sitting, line)] for lines in own]
    begins: list[int] = []
    for number, (session, mine) in enumerate(zip(deal, loads, strict=True)):
        opening = hall.opens + session.day * MINUTES_PER_DAY
        soonest = opening
        for load in mine:
            chamber = resources[load.chamber]
            assert isinstance(chamber, Chamber)
            soonest = max(soonest, opening + chamber.first.get(load.state, 0) - load.start)
            for before in range(number):
                if deal[before].day != session.day:
                    continue
                for other in loads[before]:
                    if other.chamber == load.chamber and sitting.shared[load.chamber]:
                        change = chamber.changeovers.get((other.state, load.state), 0)
                        soonest = max(soonest, begins[before] + other.end + change - load.start)
        if number and deal[number - 1].day == session.day:
            soonest = max(soonest, hall.clear(begins[-1], deal[number - 1], every))
        given = None if session.clock is None else session.clock + session.day * MINUTES_PER_DAY
        begins.append(soonest if given is None else given)
    return tuple(begins)


def _loads(sitting: Sitting, line: Timeline) -> list[_Load]:
    problem = sitting.network.problem
    return [
        _Load(where, part.start + use.offset, part.start + use.offset + use_length(mode, use), use.state)
        for task, part in enumerate(line)
        for mode in [problem.tasks[task].modes[part.mode]]
        for use, where in zip(mode.uses, part.resources, strict=True)
        if use.state is not None and isinstance(problem.resources[where], Chamber)
    ]


def asked_begins(hall: Hall, sitting: Sitting, deal: Deal) -> Asked:
    """The begins for which to ask whether all waves go together.

    Without helpers who come and go, more time between two waves only makes it easier: there is more for an oven to
    change in. So the waves are asked for as far apart as the hours allow, once from opening on and once from when the
    ovens can be warm; what is impossible even if each of them had
    all the time that there is to spare before it, is impossible.

    Args:
        hall: the hours.
        sitting: one candidate's problem.
        deal: the waves.
    """
    if hall.clocks:
        return Asked((partial(hall.begins, deal),), whole=True)
    if sitting.helped:
        return Asked(_among_helpers(hall, sitting, deal), whole=False)
    busiest = tuple(session for session in deal if session.day == 0)

    def spread(longest: int, every: int) -> tuple[int, ...]:
        room, gaps = _room(hall, deal, every), max(1, len(busiest) - 1)
        later = min(room, longest)
        return hall.begins(deal, every, later, (0, *[(room - later) // gaps] * gaps))

    def easiest(every: int) -> tuple[int, ...]:
        room = _room(hall, busiest, every)
        return hall.begins(busiest, every, min(room, sitting.warms), (0, *[room] * len(busiest)))

    in_a_day = easiest(0)[-1] + hall.closes - hall.opens < hall.opens + MINUTES_PER_DAY or hall.exam.days == 1
    tried = tuple(partial(spread, longest) for longest in dict.fromkeys((0, sitting.warms)))
    # Waves so far apart end after closing. Whoever has gone home by then would make them harder, and not easier.
    easier = in_a_day and not _go_home(sitting)
    return Asked(tried, whole=False, easiest=(busiest, easiest) if easier else None)


def _go_home(sitting: Sitting) -> bool:
    """Whether there are helpers who are not in at some time."""
    return any(
        resource.closures
        for resource, common in zip(sitting.network.problem.resources, sitting.shared, strict=True)
        if isinstance(resource, Pool) and common
    )


def _room(hall: Hall, deal: Deal, every: int) -> int:
    return min(minutes for minutes, _ in hall.room(deal, every))


def _among_helpers(hall: Hall, sitting: Sitting, deal: Deal) -> tuple[Callable[[int], tuple[int, ...]], ...]:
    """Waves begin as soon as they can, or when a helper is back, or when their cooking then begins; each day alike."""
    day = hall.closes - hall.opens
    back = sorted(
        {
            moment
            for resource, common in zip(sitting.network.problem.resources, sitting.shared, strict=True)
            if isinstance(resource, Pool) and common
            for closure in resource.closures
            for moment in (closure.end, closure.end - hall.set_up)
            if 0 < moment < day
        }
    )
    most = max(sum(session.day == number for session in deal) for number in range(hall.exam.days))

    def waiting(chosen: tuple[int, ...], every: int) -> tuple[int, ...]:
        found: list[int] = []
        for number, session in enumerate(deal):
            opening = hall.opens + session.day * MINUTES_PER_DAY
            place = sum(other.day == session.day for other in deal[:number])
            clear = hall.clear(found[-1], deal[number - 1], every) if place else opening
            moments = [clear, *(opening + moment for moment in back if opening + moment > clear)]
            found.append(moments[min(chosen[place], len(moments) - 1)])
        return tuple(found)

    choices = sorted(product(range(len(back) + 1), repeat=most), key=sum) if most * len(back) < 12 else [(0,) * most]
    return tuple(partial(waiting, chosen) for chosen in islice(choices, MOST_TRIED))
