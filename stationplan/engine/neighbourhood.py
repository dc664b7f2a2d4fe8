"""Parts of a schedule to decide anew, with everything before pushed to the left and everything after to the right.

A schedule that shall end some minutes earlier is cut open: what lies before the cut
stays where it is, what lies after it goes where it would be, pushed to the right, if
the schedule ended that early. The free tasks about the cut have to fit in between.
So a small model decides whether the whole gets shorter, whatever its size.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from stationplan.engine.model import Model
from stationplan.engine.problem import Assignment, Chamber, Hold, Link, LinkKind, Problem, Schedule
from stationplan.engine.variables import Values
from stationplan.engine.windows import Windows, clip, use_length

# A model of more tasks than this takes too long for one try out of many.
MOST_FREE = 300
# In a problem with no more tasks than this a model may as well hold all that is placed.
FEW_TASKS = 400


class Kind(StrEnum):
    """How the free tasks are chosen."""

    STRETCH = "stretch"
    """All tasks of a stretch of time."""
    THINNED = "thinned"
    """Half of the groups of tasks in a stretch twice as long."""
    RESOURCE = "resource"
    """The tasks on one resource in a long stretch, and those about its middle."""


@dataclass(frozen=True, slots=True)
class Cut:
    """A schedule pushed to the left, and pushed to the right to end at ``end``; ``latest`` are ends to be kept."""

    left: Schedule
    right: Schedule
    end: int
    latest: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class Part:
    """Free tasks of a cut; of the others, those in ``before`` stay to the left and the rest to the right."""

    free: frozenset[int]
    before: frozenset[int]


def choose(problem: Problem, cut: Cut, groups: Mapping[int, int], kind: Kind, size: int, draw: random.Random) -> Part:
    """Choose free tasks about a random cut.

    Args:
        problem: the problem.
        cut: the schedule, in both forms.
        groups: the group of each task.
        kind: how to choose.
        size: about how many to choose.
        draw: randomness.
    """
    count = len(problem.tasks)
    order = sorted(range(count), key=lambda task: (cut.left.tasks[task].start + cut.right.tasks[task].start, task))
    size = min(size, count)
    middle = draw.randrange(count)

    def stretch(length: int) -> list[int]:
        return order[max(0, middle - length // 2) : middle - length // 2 + length]

    match kind:
        case Kind.STRETCH:
            free = stretch(size)
        case Kind.THINNED:
            long = stretch(2 * size)
            there = sorted({groups[task] for task in long})
            kept = set(draw.sample(there, (len(there) + 1) // 2))
            free = [task for task in long if groups[task] in kept]
        case Kind.RESOURCE:
            used = sorted(set(cut.left.tasks[order[middle]].resources)) or [0]
            resource = draw.choice(used)
            free = [task for task in stretch(4 * size) if resource in cut.left.tasks[task].resources][:size]
            free += stretch(max(2, size - len(free)))
    # What has begun already does not move.
    begun = {task for task, data in enumerate(problem.tasks) if data.fixed_start is not None}
    chosen = frozenset(free) - begun
    return Part(chosen, (frozenset(order[:middle]) | begun) - chosen)


def model_of(problem: Problem, windows: Windows, relations: tuple[Link, ...], cut: Cut, part: Part) -> SubModel | None:
    """The model that decides on the free tasks, None where the fixed ones contradict each other.

    Fixed tasks on both sides of the cut that contradict each other are set free too, up to a limit.

    Args:
        problem: the problem.
        windows: its windows.
        relations: its links, and one for the precedence in each hold.
        cut: the schedule, in both forms.
        part: the free tasks.
    """
    places = [(cut.left if task in part.before else cut.right).tasks[task] for task in range(len(problem.tasks))]
    free = _with_contradicted(problem, relations, places, part)
    if not free:
        return None
    starts = [schedule.tasks[task].start for task in free for schedule in (cut.left, cut.right)]
    low, high = max(0, min(starts)), max(starts)
    allowed = list(windows.allowed)
    for task in free:
        last = min(high, cut.end - windows.tail[task])
        due = cut.latest.get(task, cut.end)
        allowed[task] = tuple(
            tuple(clip(starts_of_mode, low, min(last, due - mode.duration)))
            for mode, starts_of_mode in zip(problem.tasks[task].modes, windows.allowed[task], strict=True)
        )
        if not any(allowed[task]):
            return None
    longest = max(mode.duration for task in free for mode in problem.tasks[task].modes)
    placed, holds = _placed(problem, cut, part, places, free, (low, high + longest))
    if any(place.start < windows.earliest[task] for task, place in placed.items()):
        return None
    model = Model(problem, replace(windows, allowed=tuple(allowed)), free, placed, holds)
    for task in sorted(free):
        model.variables.hint_start(task, cut.left.tasks[task].start)
    return SubModel(model, tuple(places), cut, part.before)


@dataclass(frozen=True, slots=True)
class SubModel:
    """A model of the free tasks, and the places of all others."""

    model: Model
    places: tuple[Assignment, ...]
    cut: Cut
    before: frozenset[int]

    def schedule(self, problem: Problem, values: Values) -> Schedule:
        """The whole schedule for a solution; not yet verified where the model did not hold all tasks."""
        return Schedule(
            tuple(values.tasks.get(task, place) for task, place in enumerate(self.places)),
            tuple(
                values.holds.get(number, _hold_of(self.cut, self.before, hold)[number])
                for number, hold in enumerate(problem.holds)
            ),
        )


def _hold_of(cut: Cut, before: frozenset[int], hold: Hold) -> tuple[int, ...]:
    return (cut.left if hold.before in before else cut.right).holds


def _with_contradicted(
    problem: Problem, relations: tuple[Link, ...], places: list[Assignment], part: Part
) -> frozenset[int] | None:
    """The free tasks and those fixed ones that contradict each other across the cut; None if they become too many."""
    free = set(part.free) | _in_each_others_state(problem, places, part)
    crossing = [
        link
        for link in relations
        if (link.before in part.before) != (link.after in part.before)
        and link.before not in free
        and link.after not in free
    ]
    for link in crossing:
        before, after = places[link.before], places[link.after]
        lag = after.start - before.start
        if link.kind in (LinkKind.END_START, LinkKind.END_END):
            lag -= problem.tasks[link.before].modes[before.mode].duration
        if link.kind in (LinkKind.END_END, LinkKind.START_END):
            lag += problem.tasks[link.after].modes[after.mode].duration
        if (link.least is not None and lag < link.least) or (link.most is not None and lag > link.most):
            free |= {link.before, link.after}
    return frozenset(free) if len(free) <= MOST_FREE else None


def _in_each_others_state(problem: Problem, places: list[Assignment], part: Part) -> set[int]:
    """Fixed tasks on both sides of the cut that leave a chamber no time for its changeover between them."""
    uses: dict[tuple[int, bool], list[tuple[int, int, str, int]]] = defaultdict(list)
    for task, place in enumerate(places):
        if task in part.free:
            continue
        mode = problem.tasks[task].modes[place.mode]
        for use, resource in zip(mode.uses, place.resources, strict=True):
            if use.state is not None:
                start = place.start + use.offset
                uses[resource, task in part.before].append((start, start + use_length(mode, use), use.state, task))
    found: set[int] = set()
    for (resource, is_before), left in uses.items():
        chamber, right = problem.resources[resource], uses.get((resource, False), [])
        if not is_before or not right or not isinstance(chamber, Chamber):
            continue
        changes = chamber.changeovers
        reach = max(changes.values(), default=0)
        first, last = min(use[0] for use in right), max(use[1] for use in left)
        near = [use for use in right if use[0] < last + reach]
        for start, end, state, task in left:
            if end + reach <= first:
                continue
            for other_start, other_end, other_state, other in near:
                there, back = changes.get((state, other_state), 0), changes.get((other_state, state), 0)
                apart = state != other_state or (chamber.capacity == 1 and there > 0)
                if apart and other_start < end + there and start < other_end + back:
                    found |= {task, other}
    return found


def _placed(
    problem: Problem,
    cut: Cut,
    part: Part,
    places: list[Assignment],
    free: frozenset[int],
    reach: tuple[int, int],
) -> tuple[dict[int, Assignment], dict[int, int]]:
    """The fixed tasks, and the places of holds between them, that the free tasks may run into."""
    fixed = [task for task in range(len(places)) if task not in free]
    near = set(fixed)
    if len(places) > FEW_TASKS and not problem.consumables:
        changes = max(
            (
                max(resource.changeovers.values(), default=0)
                for resource in problem.resources
                if isinstance(resource, Chamber)
            ),
            default=0,
        )
        low, high = reach[0] - changes, reach[1] + changes

        def end(task: int) -> int:
            return places[task].start + problem.tasks[task].modes[places[task].mode].duration

        near = {task for task in fixed if places[task].start <= high and end(task) >= low}
        for link in problem.links:
            if (link.before in free) != (link.after in free):
                near |= {link.before, link.after} - free
        for hold in problem.holds:
            across = (hold.before in part.before) != (hold.after in part.before)
            touches = hold.before in free or hold.after in free
            if touches or across or (end(hold.before) <= high and places[hold.after].start >= low):
                near |= {hold.before, hold.after} - free
    holds = {
        number: _hold_of(cut, part.before, hold)[number]
        for number, hold in enumerate(problem.holds)
        if hold.before in near and hold.after in near and (hold.before in part.before) == (hold.after in part.before)
    }
    return {task: places[task] for task in sorted(near)}, holds
