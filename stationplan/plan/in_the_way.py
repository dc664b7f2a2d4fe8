"""What stood in a full place, so that the next on the critical chain could not come into it any sooner."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stationplan.plan.document import ChainLink, Plan, Stay


def in_the_way(plan: Plan) -> tuple[Stay, ...]:
    """The waits that took up a place until something else on the critical chain could come into it.

    Where a batch that took something out of the place came late for a reason of its own, such as somebody's other
    work, the chain goes through that reason instead, and the wait is none of these.

    Args:
        plan: the plan.

    Returns:
        In the order of the chain; the whole of each wait is time for which the finish hangs on that place.
    """
    found: dict[Stay, None] = {}
    for before, link in pairwise(plan.chain):
        if link.why == "station":
            entered = came_into(plan, link)
            for stay in plan.stays:
                stood = stay.station == link.on and stay.start < stay.end and stay.end in entered
                taken_out = stay.after == before.label and before.why in ("waits", "station")
                if stood and (stay.before == before.label or taken_out):
                    found[stay] = None
    return tuple(found)


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
