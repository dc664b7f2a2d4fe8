"""What goes from batch to batch: how much, through which waits, and by when it must be taken up."""

from __future__ import annotations

from collections import defaultdict, deque
from dataclasses import dataclass
from fractions import Fraction

from stationplan.plan.document import Plan, Stay
from stationplan.plan.rebuilding import network_of


@dataclass(frozen=True, slots=True)
class Passing:
    """Some of an item on its way from the batch ``before`` to the batch ``after``, or to the orders.

    Attributes:
        item: what goes over.
        size: how much of it, in ``unit``.
        unit: the item's base unit.
        before: label of the batch that it comes out of.
        after: label of the batch that takes it up; None when it is ready for delivery.
        stays: the waits in between, in order.
        latest: by when it must be taken up, minutes since midnight of the first day; None without a limit.
    """

    item: str
    size: Fraction
    unit: str
    before: str
    after: str | None
    stays: tuple[Stay, ...]
    latest: int | None


def passings_of(plan: Plan) -> tuple[Passing, ...]:
    """Everything that goes from one batch to another.

    A plan names the waits only; that one step follows another at once, or within a most, stands in its scenario.

    Args:
        plan: a plan that has passed the check.

    Returns:
        In the order of the recipes.
    """
    network = network_of(plan)
    ends = {batch.label: batch.end for batch in plan.batches} | {stock.label: stock.start for stock in plan.stock}
    units = {batch.label: batch.unit for batch in plan.batches} | {stock.label: stock.unit for stock in plan.stock}
    waiting: dict[tuple[str, str | None, int], deque[Stay]] = defaultdict(deque)
    for stay in plan.stays:
        waiting[stay.before, stay.after, stay.position].append(stay)
    # What could not be kept to any more is still worth knowing.
    lives = {lifted.lot: lifted.most for lifted in network.lifted if lifted.rule == "shelf life"}
    found = []
    for number, lot in enumerate(network.lots):
        before = network.tasks[lot.before].label
        after = None if lot.after is None else network.tasks[lot.after].label
        queues = [waiting[before, after, position] for position in range(len(lot.stands))]
        stays = tuple(queue.popleft() for queue in queues if queue)
        most = lot.stands[-1].most if lot.stands else None
        begun = stays[-1].start if stays else ends[before]
        keeps = lives.get(number, None if lot.shelf_life is None else network.problem.links[lot.shelf_life].most)
        limits = [None if most is None else begun + most, None if keeps is None else ends[before] + keeps]
        latest = min((limit for limit in limits if limit is not None), default=None)
        found.append(Passing(lot.item, lot.size, units[before], before, after, stays, latest))
    return tuple(found)
