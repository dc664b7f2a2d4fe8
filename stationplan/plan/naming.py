"""Which of several like people, or of several like bowls, each use of a pool falls to."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from stationplan.network.network import BatchTask, Crew, HandUse

if TYPE_CHECKING:
    from stationplan.plan.timeline import Span, Timeline

Names = dict[tuple[int, int], tuple[str, ...]]
"""Names by task and number of the use."""


def name_units(timeline: Timeline) -> Names:
    """Name who or which does what.

    Whoever has begun a part of a batch, or was to do it in a plan before this one, does it if that can be; then
    whoever was to do another part of it. Then whoever worked on the batch before, or on what it is made from, goes
    on with it; else the one with the least to do so far. A pool is never asked for more than it has, so taking the
    uses by their start always leaves somebody free (they are intervals).

    Args:
        timeline: the network and a feasible schedule.

    Returns:
        Names for every use of people and of bowls that need not be told apart.
    """
    names: Names = {}
    by_task: dict[int, list[str]] = defaultdict(list)
    busy_until: dict[str, int] = defaultdict(int)
    minutes: dict[str, int] = defaultdict(int)
    meant: dict[int, list[str]] = {}
    spans = [span for spans in timeline.taken.values() for span in spans if span.use is not None]
    for span in sorted(spans, key=lambda span: (span.start, _person(timeline, span) is None, span.task, span.use or 0)):
        group = timeline.network.resources[span.resource].names
        if len(group) == 1 and not isinstance(timeline.network.resources[span.resource], Crew):
            continue
        left = meant.setdefault(span.task, _meant(timeline, span.task))
        known = {name for task in (span.task, *timeline.before[span.task]) for name in by_task[task]}
        free = [name for name in group if busy_until[name] <= span.start]
        order = {name: place for place, name in reversed(list(enumerate(left)))}
        free.sort(key=lambda name: (order.get(name, len(left)), name not in known, minutes[name]))
        person = _person(timeline, span)
        chosen = tuple(free[: span.amount]) if person is None else (person,)
        for name in chosen:
            # Whoever is recorded at two things at once is busy until both are done.
            busy_until[name] = max(busy_until[name], span.end)
            minutes[name] += span.end - span.start
            by_task[span.task].append(name)
            if name in left:
                left.remove(name)
        names[span.task, span.use or 0] = chosen
    return names


def _meant(timeline: Timeline, task: int) -> list[str]:
    """Who and which was to do what is left of a batch, in the order of its parts."""
    meaning = timeline.network.tasks[task]
    if not isinstance(meaning, BatchTask):
        return []
    names = list(meaning.names)
    for hand in meaning.hands:
        if hand.person in names:
            names.remove(hand.person)
    return names


def _person(timeline: Timeline, span: Span) -> str | None:
    """Who has begun it already."""
    use = timeline.uses(span.task)[span.use or 0]
    return use.person if isinstance(use, HandUse) else None


def span_names(timeline: Timeline, span: Span, names: Names) -> tuple[str, ...]:
    """The people, bowls or the one station that a span falls to."""
    group = timeline.network.resources[span.resource].names
    return group if span.use is None else names.get((span.task, span.use), group)
