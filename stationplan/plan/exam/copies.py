"""Many candidates as one scheduling problem: copies of one candidate's, each moved by its start.

Where all must have the same timeline, a candidate's own steps need no copies: they can
only be where the first candidate's are. What is left to decide is one timeline, and which
oven each copy of a load goes into. Where turns may differ a little, everything is copied,
and each turn at shared equipment must begin within one window for all, counted from each
candidate's own start. Without a difference the two are the same: whoever has every turn
at the same moment can do everything else at the same moment, too.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from stationplan.engine.problem import Assignment, Delivery, Hold, Link, LinkKind, Mode, Problem, Task, Use

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stationplan.engine.problem import Chamber, Pool, Schedule
    from stationplan.plan.exam.sitting import Sitting

POINT = 10_000
"""What a point costs in minutes: more than all dishes together can be late."""

Timeline = tuple[Assignment, ...]
"""What one candidate does: an assignment for each task of the one-candidate problem, times after opening."""


@dataclass(frozen=True)
class Copies:
    """The problem of several candidates.

    Attributes:
        sitting: the pattern.
        offsets: minutes after the first candidate's start, for each candidate.
        problem: the problem.
        tasks: for each candidate, where the copies of the pattern's tasks stand in it; those of the first that are
            left out for the others are where the first one's are.
        resources: for each candidate, what each of the pattern's resources is.
        windows: for each turn whose moment may differ, the task from which the difference is measured.
    """

    sitting: Sitting
    offsets: tuple[int, ...]
    problem: Problem
    tasks: tuple[dict[int, int], ...]
    resources: tuple[tuple[int, ...], ...]
    windows: dict[int, int]

    def timelines(self, schedule: Schedule) -> tuple[Timeline, ...]:
        """What each candidate does.

        Args:
            schedule: a schedule of the problem.
        """
        return tuple(self._timeline(schedule, number) for number in range(len(self.offsets)))

    def _timeline(self, schedule: Schedule, number: int) -> Timeline:
        back = {mine: pattern for pattern, mine in enumerate(self.resources[number])}
        found = []
        for task, part in enumerate(self.sitting.network.problem.tasks):
            first = schedule.tasks[self.tasks[0][task]]
            where = self.tasks[number].get(task)
            if where is None:
                found.append(replace(first, start=first.start + self.offsets[number]))
                continue
            mine = schedule.tasks[where]
            uses = self.problem.tasks[where].modes[mine.mode].uses
            chosen = {position: back[resource] for position, resource in enumerate(mine.resources)}
            whole = part.modes[mine.mode].uses
            if len(uses) < len(whole):
                # The copy has only what is shared; the rest is as with the first candidate, in the same order.
                theirs = iter(chosen.values())
                own = iter(r for r in first.resources if not self.sitting.shared[r])
                resources = tuple(next(theirs) if self._is_shared(use) else next(own) for use in whole)
            else:
                resources = tuple(chosen.values())
            found.append(Assignment(mine.start, mine.mode, resources))
        return tuple(found)

    def _is_shared(self, use: Use) -> bool:
        return any(self.sitting.shared[index] for index in use.resources)


def copies_of(
    sitting: Sitting, offsets: Sequence[int], differ: int, *, late: bool = False, spare: bool = False
) -> Copies:
    """Set up the problem of several candidates.

    Args:
        sitting: one candidate's problem.
        offsets: minutes after the first candidate's start, for each candidate, the first one 0.
        differ: minutes by which turns at shared equipment may differ.
        late: whether late dishes cost points, and as few as possible.
        spare: whether, all else equal, dishes are to be ready with time to spare until the end of their windows.
    """
    builder = _Builder(sitting, tuple(offsets), late=late, spare=spare)
    if differ or not has_one_way(sitting):
        builder.add_everybody(differ)
    else:
        builder.add_twins()
    return builder.copies()


def has_one_way(sitting: Sitting) -> bool:
    """Whether no task has a choice that includes the candidate's own equipment."""
    for part in sitting.network.problem.tasks:
        kinds = {
            (mode.duration, tuple(use for use in mode.uses if not any(sitting.shared[r] for r in use.resources)))
            for mode in part.modes
        }
        mixed = any(len({sitting.shared[r] for r in use.resources}) > 1 for mode in part.modes for use in mode.uses)
        if len(kinds) > 1 or mixed:
            return False
    return True


class _Builder:
    def __init__(self, sitting: Sitting, offsets: tuple[int, ...], *, late: bool, spare: bool) -> None:
        self.sitting = sitting
        self.pattern = sitting.network.problem
        self.offsets = offsets
        self.late = late
        self.spare = spare
        self.parts: list[Task] = []
        self.resources: list[Pool | Chamber] = list(self.pattern.resources)
        self.links: list[Link] = []
        self.holds: list[Hold] = []
        self.deliveries: list[Delivery] = []
        self.windows: dict[int, int] = {}
        self.tasks: list[dict[int, int]] = []
        self.renamed: list[tuple[int, ...]] = []
        self._add_candidate(0, set(range(len(self.pattern.tasks))), whole=True)
        self._add_hand_ins(0)

    def add_twins(self) -> None:
        """The same timeline: copies of what takes something shared, tied to the first candidate's."""
        turns = set(self.sitting.turns)
        for hold in self.pattern.holds:
            if any(self.sitting.shared[index] for index in hold.resources):
                turns |= {hold.before, hold.after}
        last = {task for dish in self.sitting.hand_ins for task in dish.tasks}
        for number, offset in enumerate(self.offsets[1:], 1):
            # The last one's hand-ins are there to be the finish of the whole.
            copied = turns | (last if number == len(self.offsets) - 1 else set())
            self._add_candidate(number, copied, whole=False)
            for task in sorted(copied):
                first, mine = self.tasks[0][task], self.tasks[number][task]
                self.links.append(Link(first, mine, offset, offset, LinkKind.START_START))

    def add_everybody(self, differ: int) -> None:
        """Turns that differ by a few minutes: everything is copied, and one window for each turn holds for all."""
        every = set(range(len(self.pattern.tasks)))
        for number in range(1, len(self.offsets)):
            self._add_candidate(number, every, whole=True)
            self._add_hand_ins(number)
        turns = self.sitting.turns
        if not differ:
            # A turn may take longer on one machine than on another, so that starts alone do not make timelines alike.
            for tasks, offset in zip(self.tasks[1:], self.offsets[1:], strict=True):
                for task in sorted(every):
                    for kind in (LinkKind.START_START, LinkKind.END_END):
                        self.links.append(Link(self.tasks[0][task], tasks[task], offset, offset, kind))
        for turn in turns:
            window = self._add(Task(f"turn {self.pattern.tasks[turn].name}", (Mode(0),)))
            self.windows[turn] = window
            for number, offset in enumerate(self.offsets):
                mine = self.tasks[number][turn]
                self.links.append(Link(window, mine, offset, offset + differ, LinkKind.START_START))
        for number in range(1, len(self.offsets)):
            # Nothing tells two candidates with one start apart, so one order of theirs does for all.
            if turns and self.offsets[number] == self.offsets[number - 1]:
                one, other = self.tasks[number - 1][turns[0]], self.tasks[number][turns[0]]
                self.links.append(Link(one, other, kind=LinkKind.START_START))

    def copies(self) -> Copies:
        """Put everything together."""
        end = self.sitting.cooks + self.sitting.allowed + self.sitting.spare
        problem = Problem(
            tasks=tuple(self.parts),
            resources=tuple(self.resources),
            links=tuple(self.links),
            holds=tuple(self.holds),
            deliveries=tuple(self.deliveries),
            horizon=end + self.offsets[-1],
            tidy_changeover=self.pattern.tidy_changeover,
        )
        return Copies(self.sitting, self.offsets, problem, tuple(self.tasks), tuple(self.renamed), self.windows)

    def _add(self, task: Task) -> int:
        self.parts.append(task)
        return len(self.parts) - 1

    def _add_candidate(self, number: int, copied: set[int], *, whole: bool) -> None:
        """Copies of some tasks; without ``whole`` only what is shared is copied of their needs."""
        sitting, offset = self.sitting, self.offsets[number]
        begin = sitting.cooks + offset
        end = begin + sitting.allowed + sitting.spare
        renamed = list(range(len(self.pattern.resources)))
        if number and whole:
            for index, resource in enumerate(self.pattern.resources):
                if not sitting.shared[index]:
                    renamed[index] = len(self.resources)
                    self.resources.append(resource)
        mine: dict[int, int] = {}
        for task in sorted(copied):
            part = self.pattern.tasks[task]
            modes = tuple(self._mode(mode, renamed, whole=whole) for mode in part.modes)
            mine[task] = self._add(Task(part.name, modes, begin, end))
        self.tasks.append(mine)
        self.renamed.append(tuple(renamed))
        if whole:
            self.links.extend(
                replace(link, before=mine[link.before], after=mine[link.after]) for link in self.pattern.links
            )
        moved: dict[int, int] = {}
        for position, hold in enumerate(self.pattern.holds):
            if not whole and not any(sitting.shared[index] for index in hold.resources):
                continue
            moved[position] = len(self.holds)
            beside = None if hold.beside is None else moved[hold.beside]
            places = tuple(renamed[index] for index in hold.resources)
            self.holds.append(Hold(mine[hold.before], mine[hold.after], places, hold.amount, beside))

    def _mode(self, mode: Mode, renamed: Sequence[int], *, whole: bool) -> Mode:
        uses = tuple(
            replace(use, resources=tuple(renamed[index] for index in use.resources))
            for use in mode.uses
            if whole or any(self.sitting.shared[index] for index in use.resources)
        )
        return replace(mode, uses=uses)

    def _add_hand_ins(self, number: int) -> None:
        """Dishes are ready in time for their windows, and not too long before."""
        sitting = self.sitting
        begin = sitting.cooks + self.offsets[number]
        for dish in sitting.hand_ins:
            tasks = tuple(self.tasks[number][task] for task in dish.tasks)
            for task in tasks:
                latest = begin + dish.latest
                part = self.parts[task]
                self.parts[task] = replace(part, deadline=min(latest, part.deadline or latest))
            # A dish is ready with the last of its batches, and batches begin in their order.
            part = self.parts[tasks[-1]]
            shortest = min(mode.duration for mode in part.modes)
            if begin + dish.earliest - shortest > part.release:
                self._not_before(tasks[-1], begin + dish.earliest)
            if self.late:
                # Points first, then as few minutes as possible after a window that cost nothing.
                self.deliveries.append(Delivery("", tasks, begin + dish.due, dish.points * POINT))
                self.deliveries.append(Delivery("", tasks, begin + dish.closing, 1))
            if self.spare and dish.opening < dish.latest:
                # Each minute in the window before the dish is ready costs as much as one of waiting.
                opens = self._add(Task("window opens", (Mode(0),), deadline=begin + dish.opening))
                self.links.append(Link(opens, tasks[-1], 0, None, LinkKind.START_END, tidy=1))

    def _not_before(self, task: int, moment: int) -> None:
        """A task ends no sooner than that."""
        part = self.parts[task]
        lengths = {mode.duration for mode in part.modes}
        if len(lengths) == 1:
            self.parts[task] = replace(part, release=moment - min(lengths))
            return
        start = self._add(Task("opening", (Mode(0),), fixed_start=0))
        self.links.append(Link(start, task, moment, None, LinkKind.END_END))
