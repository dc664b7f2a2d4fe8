"""The critical chain: the batches that the finish hangs on, each with why it could not start earlier."""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from typing import TYPE_CHECKING, Literal

from stationplan.engine.problem import Chamber, LinkKind
from stationplan.network.flow import total_most
from stationplan.network.network import BatchTask, Crew, MoveTask, StockTask
from stationplan.plan.document import ChainLink
from stationplan.plan.naming import Names, span_names

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.network.network import Lot
    from stationplan.plan.timeline import Span, Timeline

Why = Literal["opening", "follows", "waits", "station", "person", "release", "goods", "stock"]


@dataclass(frozen=True, slots=True)
class _Cause:
    """Why a batch starts no earlier: ``task`` is the one it hangs on, None when the chain begins here.

    ``slack`` are the minutes that it could start earlier for all that this cause forbids.
    """

    why: Why
    on: str
    task: int | None
    slack: int = 0


def critical_chain(timeline: Timeline, names: Names) -> tuple[ChainLink, ...]:
    """The way back from the last end to the opening that leaves the least time unexplained.

    A plan that is tidied up holds batches back that could start earlier, so not every way
    back leads through causes without slack; this one does if any does (Dijkstra, by slack).

    Args:
        timeline: the network and a feasible schedule.
        names: who does what.

    Returns:
        The chain in the order of time.
    """
    last = _last_batches(timeline)
    # Slack so far, a number that makes the causes named first come out first, batch, and the links from it on.
    ways: list[tuple[int, int, int | None, tuple[ChainLink, ...]]] = [
        (0, number, task, ()) for number, task in enumerate(last)
    ]
    seen: set[int] = set()
    pushed = 0
    while ways:
        slack, _, task, links = heappop(ways)
        if task is None:
            return links
        if task in seen:
            continue
        seen.add(task)
        for cause in reversed(list(_causes(timeline, names, task))):
            pushed -= 1
            link = ChainLink(label=_batch(timeline, task).label, why=cause.why, on=cause.on)
            before = None if cause.task is None else _batch_of(timeline, cause.task)
            if before is not None and isinstance(timeline.network.tasks[before], StockTask):
                before = None
            heappush(ways, (slack + cause.slack, pushed, before, (link, *links)))
    return ()


def _last_batches(timeline: Timeline) -> list[int]:
    """The batches that end last, their waits until delivery included; of these, first the one that starts last."""
    ends = {task: timeline.end(task) for task, _ in timeline.batches()}
    for lot in timeline.network.lots:
        if lot.after is None:
            ends[lot.before] = max(ends[lot.before], timeline.end(lot.tasks[-1]))
    finish = max(ends.values(), default=0)
    return sorted((task for task in ends if ends[task] == finish), key=timeline.start, reverse=True)


def _batch_of(timeline: Timeline, task: int) -> int:
    """The task itself if it is a batch; for the move of a lot between two waits, the batch that the lot comes from."""
    meaning = timeline.network.tasks[task]
    return timeline.network.lots[meaning.lot].before if isinstance(meaning, MoveTask) else task


def _batch(timeline: Timeline, task: int) -> BatchTask:
    meaning = timeline.network.tasks[_batch_of(timeline, task)]
    assert isinstance(meaning, BatchTask)
    return meaning


def _causes(timeline: Timeline, names: Names, task: int) -> Iterator[_Cause]:
    """Everything that keeps a batch from starting earlier, by how well it explains it."""
    if timeline.begun(task) is not None:
        yield _Cause("opening", "", None)
        return
    held = [
        cause
        for span in timeline.spans_of(task)
        if span.start < span.end
        for cause in _resource_causes(timeline, names, task, span)
    ]
    full = list(_full_places(timeline, names, task))
    if full:
        # What stands there is made as late as it may for what comes next, so a break explains more.
        yield from (cause for cause in held if cause.why == "release")
    # What is made for a full place comes as late as it may, so all that feeds it seems to hold it up just as well.
    yield from full
    yield from _lots_before(timeline, task)
    yield from held
    yield from _lots_after(timeline, task)
    goods = _batch(timeline, task).last_goods
    if goods:
        slack = timeline.start(task) - timeline.network.problem.tasks[task].release
        yield _Cause("goods", goods, None, slack)
    for link in timeline.network.problem.links:
        if link.kind is LinkKind.START_START and link.after == task:
            slack = timeline.start(task) - timeline.start(link.before)
            yield _Cause("follows", _batch(timeline, link.before).step, link.before, slack)
    so_far = timeline.network.so_far
    now = 0 if so_far is None else so_far.now - timeline.network.opens
    yield _Cause("opening", "", None, timeline.start(task) - now)


def _lots_before(timeline: Timeline, task: int) -> Iterator[_Cause]:
    lots = [lot for lot in timeline.network.lots if lot.after == task]
    # What has to be used up soon is made as late as it may be, so it is seldom what others hang on.
    for lot in sorted(lots, key=lambda lot: total_most(lot.stands) is not None):
        slack = timeline.start(task) - timeline.end(lot.before) - _least(lot)
        if isinstance(timeline.network.tasks[lot.before], StockTask):
            yield _Cause("stock", lot.item, None, slack)
            continue
        step = _batch(timeline, lot.before).step
        if _least(lot):
            yield _Cause("waits", _waits(lot) or step, lot.before, slack)
        else:
            yield _Cause("follows", step, lot.before, slack)


def _full_places(timeline: Timeline, names: Names, task: int) -> Iterator[_Cause]:
    """Places that had no room earlier for what comes out of the batch, or for what it was waiting for."""
    for lot in timeline.network.lots:
        for position, hold in enumerate(lot.holds):
            if hold is None:
                continue
            arriving = position == 0 and lot.before == task
            rest = sum(stand.least for stand in lot.stands[position:])
            moving = (
                position > 0 and lot.after == task and timeline.end(lot.tasks[position]) + rest == timeline.start(task)
            )
            span = timeline.hold_span(hold)
            if (arriving or moving) and span.start < span.end:
                yield from _resource_causes(timeline, names, lot.tasks[position], span)


def _standing(timeline: Timeline, on: str, span: Span) -> Iterator[_Cause]:
    """What a lot comes from that had to stand in a place until ``span`` ends there; none if that is no lot's.

    The chain goes from what stands in a place to what comes next into it, and not by way of the batch that takes it
    out: that one is no reason unless it came late.
    """
    for lot, position in _lots_standing(timeline, span):
        least = sum(stand.least for stand in lot.stands[: position + 1])
        yield _Cause("station", on, lot.before, span.end - timeline.end(lot.before) - least)


def _lots_standing(timeline: Timeline, span: Span) -> Iterator[tuple[Lot, int]]:
    """The lots out of batches that a span in a place is the wait of, each with the position of that wait."""
    for lot in timeline.network.lots:
        if span.use is not None or isinstance(timeline.network.tasks[lot.before], StockTask):
            continue
        for position, hold in enumerate(lot.holds):
            if hold is not None and timeline.hold_span(hold) == span:
                yield lot, position


def _least(lot: Lot) -> int:
    return sum(stand.least for stand in lot.stands)


def _waits(lot: Lot) -> str:
    names = [stand.name or stand.place for stand in lot.stands if stand.least]
    return ", ".join(name for name in names if name)


def _lots_after(timeline: Timeline, task: int) -> Iterator[_Cause]:
    """Batches that must take this one up soon, so that it cannot come before they can."""
    for lot in timeline.network.lots:
        if lot.before != task or lot.after is None or not lot.stands:
            continue
        most = total_most(lot.stands)
        if most is not None and timeline.end(task) + most == timeline.start(lot.after):
            yield _Cause("waits", _waits(lot) or _batch(timeline, lot.after).step, lot.after)


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
        again = resource.after_restarts.get(span.state or "", 0)
        reopens = any(morning <= minute < morning + again for morning in resource.restarts)
        if reopens or minute < resource.first.get(span.state or "", 0):
            yield _Cause("opening", "", None)
        shut = [away.start for away in resource.closures if away.end + again == span.start]
        if shut:
            yield _after_break(timeline, task, span, on, min(shut))
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
                yield from _standing(timeline, on, other)
                yield _Cause(why, on, other.task)
        if room < 0:
            begins = min(away.start for away in resource.closures if away.end == span.start)
            yield _after_break(timeline, task, span, on, begins)


def _after_break(timeline: Timeline, task: int, span: Span, on: str, begins: int) -> _Cause:
    """Why a span begins after a break, or after its station was out of use: what did not fit in before that."""
    latest = begins - (span.end - span.start)
    ready = {
        lot.before: timeline.end(lot.before) + _least(lot) + span.start - timeline.start(task)
        for lot in timeline.network.lots
        if lot.after == task
    }
    for other in timeline.taken.get(span.resource, []):
        if other.task != task and other.start < latest + span.end - span.start:
            ready[other.task] = max(other.end, ready.get(other.task, 0))
    for own in timeline.spans_of(task):
        for other in timeline.taken.get(own.resource, []):
            before = own.resource != span.resource and other.task != task and other.start < own.start
            if before and _exclude(timeline, own, other):
                moment = other.end + span.start - own.start
                ready[other.task] = max(moment, ready.get(other.task, 0))
    for lot in timeline.network.lots:
        if lot.before == task and lot.holds and lot.holds[0] is not None:
            place = timeline.hold_span(lot.holds[0])
            for origin, ends in _in_the_way(timeline, place, latest - span.start):
                ready[origin] = max(ends + span.start - place.start, ready.get(origin, 0))
    blocking = [before for before, moment in ready.items() if moment > latest]
    if blocking or latest < 0:
        return _Cause("release", on, max(blocking, key=lambda before: ready[before], default=None))
    return _Cause("release", on, None, span.start - latest)


def _in_the_way(timeline: Timeline, room: Span, shift: int) -> Iterator[tuple[int, int]]:
    """What would leave no room in a place if ``room`` in it began so much sooner or later: where from, and its end."""
    others = timeline.taken.get(room.resource, [])
    present = [other for other in others if other.start <= room.start + shift < other.end <= room.start]
    capacity = timeline.network.problem.resources[room.resource].capacity
    if room.amount + sum(other.amount for other in present) > capacity:
        for other in present:
            for lot, _ in _lots_standing(timeline, other):
                yield lot.before, other.end


def _exclude(timeline: Timeline, one: Span, other: Span) -> bool:
    """Whether two spans on a resource can never overlap."""
    resource = timeline.network.problem.resources[one.resource]
    alike = not isinstance(resource, Chamber) or (one.state == other.state and resource.capacity > 1)
    return not alike or one.amount + other.amount > resource.capacity
