"""The closest starts and the least difference between candidates that an exam allows, each with a proof or a gap."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from stationplan.engine import solve
from stationplan.engine.result import Result, Status, TierName
from stationplan.plan.exam.copies import copies_of
from stationplan.plan.exam.turns import by_turns

if TYPE_CHECKING:
    from collections.abc import Callable

    from stationplan.plan.exam.budget import Budget
    from stationplan.plan.exam.copies import Copies, Timeline
    from stationplan.plan.exam.sitting import Sitting
    from stationplan.plan.produce import Effort

QUICKLY_APART = 8
"""Minutes: what has been found is near enough to what may be least for the careful search to begin."""


@dataclass(frozen=True)
class Found:
    """A number that was to be as small as possible: its value, and a bound that nothing can be below."""

    value: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether value and bound meet."""
        return self.value == self.bound


@dataclass(frozen=True)
class Wave:
    """What the candidates of one wave do.

    Attributes:
        offsets: minutes after the first one's start, for each.
        every: minutes from one start to the next.
        differ: the largest difference between two candidates in the wait for one turn at shared equipment.
        length: minutes from the start of cooking to the last dish ready, the most of any candidate.
        timelines: what each does.
        cooks: when the first one may begin to cook, minutes after opening.
    """

    offsets: tuple[int, ...]
    every: Found
    differ: Found
    length: Found
    timelines: tuple[Timeline, ...]
    cooks: int


@dataclass(frozen=True, slots=True)
class Starts:
    """When candidates start.

    Attributes:
        offsets: minutes after the first one's start, for each.
        later: minutes by which the first one begins later than the sitting says.
    """

    offsets: tuple[int, ...]
    later: int = 0


def offsets_of(count: int, at_a_time: int, every: int) -> tuple[int, ...]:
    """Minutes after the first candidate's start for each of ``count``."""
    return tuple(number // at_a_time * every for number in range(count))


class Questions:
    """Asks the engine about copies of one sitting.

    Args:
        sitting: one candidate's problem.
        budget: how long it may all take.
        tell: told of what is being looked for.
    """

    def __init__(self, sitting: Sitting, budget: Budget, tell: Callable[[str], None] | None = None) -> None:
        self.sitting = sitting
        self.budget = budget
        self._tell = tell or (lambda text: None)
        self.interrupted = False

    @property
    def over(self) -> bool:
        """Whether no more questions should be asked."""
        return self.interrupted or self.budget.used_up

    def ask(self, starts: Starts, differ: int, saying: str, *, quickly: bool = False) -> tuple[Copies, Result]:
        """Whether there is any schedule with these starts and at most this difference."""
        self._tell(saying)
        copies = copies_of(self.sitting.later(starts.later), starts.offsets, differ)
        limits = self.budget.for_a_look() if quickly else self.budget.for_a_question()
        known = by_turns(copies, limits) if differ else None
        return copies, self._noted(known or solved(copies, limits))

    def _noted(self, result: Result) -> Result:
        self.interrupted |= result.interrupted
        return _unproved(result) if self.sitting.narrowed else result

    def best(self, starts: Starts, differ: int, *, late: bool = False) -> tuple[Copies, Result]:
        """The best schedule with these starts and at most this difference."""
        self._tell("the shortest timeline")
        copies = copies_of(self.sitting.later(starts.later), starts.offsets, differ, late=late, spare=True)
        return copies, self._noted(solved(copies, self.budget.for_the_best()))


def _unproved(result: Result) -> Result:
    """The same schedule without a word on what is impossible."""
    status = Status.UNKNOWN if result.schedule is None else Status.FEASIBLE
    return replace(result, status=status, tiers=tuple(replace(tier, bound=0) for tier in result.tiers), bounds=())


def solved(copies: Copies, limits: Effort) -> Result:
    """Search for a schedule of copies."""
    return solve(
        copies.problem,
        time_limit=limits.time_limit,
        effort=limits.effort,
        seed=limits.seed,
        workers=limits.workers,
        gap=limits.gap,
    )


def closest_starts(
    questions: Questions, starts: Callable[[int], Starts], differ: int, most: int
) -> tuple[Found, tuple[Copies, Result]] | bool:
    """The least minutes between starts for which there is a schedule.

    More minutes are not always easier, for loads of different candidates may meet in an oven. So every smaller number
    is ruled out by itself. A quick look at ever larger numbers first leaves something to fall back on.

    Args:
        questions: whom to ask.
        starts: all starts, by the minutes between two.
        differ: by how many minutes turns may differ.
        most: most minutes between starts.

    Returns:
        The minutes, the bound below which all is ruled out, and the schedule; or, when nothing up to ``most`` is known
        to be possible, whether all of it is ruled out.
    """
    ruled_out: set[int] = set()
    best: tuple[int, tuple[Copies, Result]] | None = None

    def possible(every: int, *, quickly: bool = False) -> bool:
        nonlocal best
        saying = f"whether candidates can start every {every} min"
        answer = questions.ask(starts(every), differ, saying, quickly=quickly)
        if answer[1].status is Status.INFEASIBLE:
            ruled_out.add(every)
        if answer[1].schedule is None:
            return False
        best = (every, answer)
        return True

    doubled = [1 << power for power in range(most.bit_length())]
    for every in (*doubled, most):
        if questions.over or (every not in ruled_out and possible(every, quickly=True)):
            break
    below = 0
    while best is not None and best[0] - below > QUICKLY_APART and not questions.over:
        middle = (below + best[0]) // 2
        if not possible(middle, quickly=True):
            below = middle
    for every in range(most + 1):
        if (best is not None and every >= best[0]) or questions.over:
            break
        if every not in ruled_out and possible(every):
            break
    if best is None:
        return len(ruled_out) == most + 1
    bound = next(every for every in range(best[0] + 1) if every not in ruled_out)
    return Found(best[0], bound), best[1]


def least_difference(
    questions: Questions, starts: Starts, most: int, first: tuple[Copies, Result]
) -> tuple[Found, tuple[Copies, Result]]:
    """The least difference between candidates in the wait for a turn, by halving: what is possible stays so with more.

    Args:
        questions: whom to ask.
        starts: the candidates' starts.
        most: a difference that is possible.
        first: the schedule that shows it.
    """
    best = first
    low, high, bound = 0, min(most, difference_of(*first)), 0
    while low < high and not questions.over:
        # Without any difference it is a much smaller problem, so that this is asked first.
        middle = 0 if low == 0 else (low + high) // 2
        answer = questions.ask(starts, middle, f"whether turns need not differ by more than {middle} min")
        if answer[1].schedule is not None:
            best, high = answer, difference_of(*answer)
            continue
        low = middle + 1
        if answer[1].status is Status.INFEASIBLE:
            bound = low
    return Found(high, min(bound, high)), best


def difference_of(copies: Copies, result: Result) -> int:
    """The largest difference between two candidates in the time from their own start to one turn.

    It is 0 for the same timeline throughout only: 1 where the turns begin alike, and something else does not.
    """
    assert result.schedule is not None
    lines = copies.timelines(result.schedule)
    tasks = copies.sitting.network.problem.tasks
    spans = [
        [(part.start - offset, tasks[task].modes[part.mode].duration) for task, part in enumerate(line)]
        for line, offset in zip(lines, copies.offsets, strict=True)
    ]
    most = max(
        (
            max(moments) - min(moments)
            for turn in copies.sitting.turns
            for moments in [[mine[turn][0] for mine in spans]]
        ),
        default=0,
    )
    return most or int(any(mine != spans[0] for mine in spans))


def wave_of(copies: Copies, result: Result, every: Found, differ: Found) -> Wave:
    """What a schedule of copies means for the candidates."""
    assert result.schedule is not None
    sitting = copies.sitting
    tasks = sitting.network.problem.tasks
    lines = copies.timelines(result.schedule)
    lengths = [
        max(part.start + tasks[task].modes[part.mode].duration for task, part in enumerate(line)) - offset
        for line, offset in zip(lines, copies.offsets, strict=True)
    ]
    tiers = {tier.name: tier for tier in result.tiers}
    length = max(lengths) - sitting.cooks
    least = tiers[TierName.MAKESPAN].bound - sitting.cooks - copies.offsets[-1]
    return Wave(
        copies.offsets,
        every,
        replace(differ, value=difference_of(copies, result)),
        Found(length, max(0, min(length, least))),
        lines,
        sitting.cooks,
    )
