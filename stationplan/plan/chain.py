"""The critical chain: the batches that the finish hangs on, each with why it could not start earlier."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from stationplan.engine.problem import Chamber, LinkKind
from stationplan.network.network import BatchTask, Crew
from stationplan.plan.document import ChainLink
from stationplan.plan.naming import Names, span_names

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.network.network import Lot
    from stationplan.plan.timeline import Span, Timeline

Why = Literal["opening", "follows", "waits", "station", "person", "release"]


@dataclass(frozen=True, slots=True)
class _Cause:
    """Why a batch starts no earlier: ``task`` is the one it hangs on, None when the chain begins here."""

    why: Why
    on: str
    task: int | None
    slack: int = 0


def critical_chain(timeline: Timeline, names: Names) -> tuple[ChainLink, ...]:
    """Walk back from the last end, each time to what keeps the batch from starting a minute earlier.

    Args:
        timeline: the network and a feasible schedule.
        names: who does what.

    Returns:
        The chain in the order of time.
    """
    task: int | None = _last_batch(timeline)
    seen: set[int] = set()
    links: list[ChainLink] = []
    while task is not None:
        seen.add(task)
        cause = _cause(timeline, names, task, seen)
        links.append(ChainLink(label=_meaning(timeline, task).label, why=cause.why, on=cause.on))
        task = cause.task
    return tuple(reversed(links))


def _last_batch(timeline: Timeline) -> int | None:
    """The batch that ends last, its wait until delivery included."""
    ends = {task: timeline.end(task) for task, _ in timeline.batches()}
    for lot in timeline.network.lots:
        if lot.after is None:
            ends[lot.before] = max(ends[lot.before], timeline.end(lot.tasks[-1]))
    return max(ends, key=lambda task: ends[task], default=None)


def _meaning(timeline: Timeline, task: int) -> BatchTask:
    meaning = timeline.network.tasks[task]
    assert isinstance(meaning, BatchTask)
    return meaning


def _cause(timeline: Timeline, names: Names, task: int, seen: set[int]) -> _Cause:
    """The first cause without slack; else, for a batch that could start earlier, the one with the least."""
    if timeline.start(task) == 0:
        return _Cause("opening", "", None)
    loose: list[_Cause] = []
    for cause in _causes(timeline, names, task):
        if cause.task is not None and cause.task in seen:
            continue
        if not cause.slack:
            return cause
        loose.append(cause)
    return min(loose, key=lambda cause: cause.slack, default=_Cause("opening", "", None))


def _causes(timeline: Timeline, names: Names, task: int) -> Iterator[_Cause]:
    yield from _lots_before(timeline, task)
    for span in timeline.spans_of(task):
        if span.start < span.end:
            yield from _resource_causes(timeline, names, task, span)
    for number, hold in enumerate(timeline.network.problem.holds):
        if hold.before == task:
            yield from _resource_causes(timeline, names, task, timeline.hold_span(number))
    yield from _lots_after(timeline, task)
    for link in timeline.network.problem.links:
        if link.kind is LinkKind.START_START and link.after == task:
            slack = timeline.start(task) - timeline.start(link.before)
            yield _Cause("follows", _meaning(timeline, link.before).step, link.before, slack)


def _lots_before(timeline: Timeline, task: int) -> Iterator[_Cause]:
    for lot in timeline.network.lots:
        if lot.after == task:
            least = sum(stand.least for stand in lot.stands)
            slack = timeline.start(task) - timeline.end(lot.before) - least
            if least:
                yield _Cause("waits", _wait_name(lot), lot.before, slack)
            else:
                yield _Cause("follows", _meaning(timeline, lot.before).step, lot.before, slack)


def _wait_name(lot: Lot) -> str:
    names = [stand.name or stand.place or "" for stand in lot.stands if stand.least]
    return ", ".join(name for name in names if name)


def _lots_after(timeline: Timeline, task: int) -> Iterator[_Cause]:
    """Batches that must take this one up soon, so that it cannot come before they can."""
    for lot in timeline.network.lots:
        if lot.before != task or lot.after is None or not lot.stands:
            continue
        mosts = [stand.most for stand in lot.stands]
        if None not in mosts:
            latest = timeline.end(task) + sum(most for most in mosts if most is not None)
            if latest == timeline.start(lot.after):
                yield _Cause("waits", _meaning(timeline, lot.after).step, lot.after)


def _resource_causes(timeline: Timeline, names: Names, task: int, span: Span) -> Iterator[_Cause]:
    """What keeps a span from beginning a minute earlier on its resource."""
    resource = timeline.network.problem.resources[span.resource]
    group = timeline.network.resources[span.resource]
    why: Why = "person" if isinstance(group, Crew) else "station"
    on = " and ".join(span_names(timeline, span, names)[: span.amount])
    minute = span.start - 1
    if minute < 0:
        return
    others = [other for other in timeline.taken.get(span.resource, []) if other.task != task]
    room = resource.capacity - span.amount
    if isinstance(resource, Chamber):
        if resource.first.get(span.state or "", 0) > minute:
            yield _Cause("opening", "", None)
        for other in others:
            gap = resource.changeovers.get((other.state or "", span.state or ""), 0)
            differs = other.state != span.state or resource.capacity == 1
            if differs and other.start < span.start and other.end + gap == span.start:
                yield _Cause("station", on, other.task)
    else:
        room -= sum(away.amount for away in resource.closures if away.start <= minute < away.end)
    present = [other for other in others if other.start <= minute < other.end]
    if sum(other.amount for other in present) > room:
        for other in present:
            if other.end == span.start:
                yield _Cause(why, on, other.task)
        if room < 0:
            yield _Cause("release" if isinstance(group, Crew) else why, on, None)
