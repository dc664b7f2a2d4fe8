"""What is ready long before it is due, and what its recipe says of the time until then."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from stationplan.plan.wording import listed
from stationplan.scenario.units import format_duration

if TYPE_CHECKING:
    from stationplan.plan.document import Delivered, Plan, Stay

LONG = 2 * 60
"""Minutes of standing from which on it is told: common practice, no published source."""


def standing(plan: Plan, order: Delivered) -> str:
    """What to know about the time for which a product stands until it is due.

    Args:
        plan: the plan.
        order: one of its orders.

    Returns:
        A phrase; empty when the order is late or has no due time, and when it is due soon after or may stand that
        long by its recipe.
    """
    if order.due is None or order.late:
        return ""
    until: dict[str, list[Stay]] = defaultdict(list)
    for stay in plan.stays:
        if stay.after is None and stay.before in order.batches:
            until[stay.before].append(stay)
    too_long = [waits for waits in until.values() if order.due - waits[0].start > _most(waits, order.due)]
    spare = order.due - order.ready
    early = f"{format_duration(spare)} before it is due" if spare else "when it is due"
    if too_long:
        first = min(too_long, key=lambda waits: waits[0].start)
        stands, most = (format_duration(each) for each in (order.due - first[0].start, _most(first, order.due)))
        names = listed([wait.name or "standing" for wait in first])
        return f"{early}; the first batch stands for {stands}, which is to be {most} at most ({names})"
    if spare < LONG or any(None not in [wait.most for wait in waits] for waits in until.values()):
        return ""
    places = dict.fromkeys(wait.station for waits in until.values() for wait in waits if wait.station)
    if places:
        return f"{early}, in the {listed(list(places))} until then, for which its recipe gives no most"
    return f"{early}; its recipe does not say where it stands until then, or how cold"


def _most(waits: list[Stay], otherwise: int) -> int:
    """The minutes that waits one after another may take; ``otherwise`` where one of them has no most."""
    total = 0
    for wait in waits:
        if wait.most is None:
            return otherwise
        total += wait.most
    return total
