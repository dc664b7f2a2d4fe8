"""What stood in a full place, so that the next on the critical chain could not come into it any sooner."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.plan.document import ChainLink, Plan, Stay


def in_the_way(plan: Plan) -> tuple[Stay, ...]:
    """The waits that took up a place until something else on the critical chain could come into it.

    Where the batch that took something out of the place came late because of somebody's other work, the chain goes
    through that work instead, and the wait is none of these.

    Args:
        plan: the plan.

    Returns:
        In the order of the chain; for the least time of each wait, the finish hangs on that place.
    """
    found: dict[Stay, None] = {}
    for earlier, before, link in zip((None, *plan.chain), plan.chain, plan.chain[1:], strict=False):
        if link.why == "release":
            found |= dict.fromkeys(_until_a_break(plan, before.label, link.label))
        if link.why != "station":
            continue
        entered = came_into(plan, link)
        for stay in plan.stays:
            if stay.station != link.on or stay.start == stay.end or stay.end not in entered:
                continue
            queued = before.why == "station" and before.on == link.on
            came = earlier is not None and stay.before == earlier.label
            if stay.before == before.label or (stay.after == before.label and (queued or came)):
                found[stay] = None
    return tuple(found)


def _until_a_break(plan: Plan, before: str, label: str) -> Iterator[Stay]:
    """Waits after a batch that left no room for what another leaves, which was then made only after a break."""
    capacity = {station.name: station.capacity for station in plan.stations}
    own = [stay for stay in plan.stays if stay.before == label and stay.position == 0 and stay.station]
    for stay in plan.stays:
        for left in own:
            if stay.before == before and stay.station == left.station and stay.start < stay.end <= left.start:
                there = [other for other in plan.stays if other.station == stay.station]
                taken = sum(other.amount for other in there if other.start < stay.end <= other.end)
                if taken + left.amount > capacity.get(left.station or "", 0):
                    yield stay


def came_into(plan: Plan, link: ChainLink) -> tuple[int, ...]:
    """When a batch of the chain, what it leaves, or what it takes up came into the place that its link names.

    Args:
        plan: the plan.
        link: a link to a station.

    Returns:
        Minutes since midnight of the first day, in the order of the above.
    """
    seats = [
        seat.start
        for batch in plan.batches
        if batch.label == link.label
        for seat in batch.seats
        if seat.station == link.on
    ]
    stays = [stay for stay in plan.stays if stay.station == link.on]
    left = [stay.start for stay in stays if stay.before == link.label]
    moved = [stay.start for stay in stays if stay.after == link.label]
    return (*seats, *left, *moved)
