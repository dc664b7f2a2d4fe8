"""Orders: which tasks they are made from, and which make them ready."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.engine.problem import Delivery
from stationplan.network.lots import OrderClaim, overlaps
from stationplan.network.network import OrderTasks

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from stationplan.network.lots import Claim
    from stationplan.network.production import Production
    from stationplan.scenario.models import Order


def orders_of(
    made: Mapping[str, Production],
    orders: Sequence[Order],
    claims: Mapping[str, tuple[Claim, ...]],
    supply: Mapping[str, tuple[int, ...]],
    ready: Mapping[tuple[str, int], int],
) -> tuple[OrderTasks, ...]:
    """The stock and the batches of the last step that each order is made from.

    Args:
        made: every item that is made.
        orders: the orders.
        claims: who takes up what of each item.
        supply: the tasks that give what others take up, by item, as :attr:`Production.supply` has them.
        ready: the move that makes ready what a task gives, by item and task; none where it is so at once.
    """
    found: dict[int, OrderTasks] = {}
    for name, production in made.items():
        takers = [claim for claim in claims[name] if isinstance(claim, OrderClaim)]
        batches: dict[int, list[int]] = {claim.order: [] for claim in takers}
        for one, other, _ in overlaps(production.supply, takers):
            batches[takers[other].order].append(supply[name][one])
        for position, tasks in batches.items():
            order = orders[position]
            last = tuple(ready.get((name, task), task) for task in tasks)
            found[position] = OrderTasks(name, order.quantity, order.due, order.weight, tuple(tasks), last)
    return tuple(found[position] for position in sorted(found))


def deliveries_of(orders: Sequence[OrderTasks], opens: int) -> tuple[Delivery, ...]:
    """The orders that are due, for the engine.

    Args:
        orders: all orders.
        opens: when the shift opens, minutes since midnight of the first day.
    """
    return tuple(
        Delivery(f"{order.quantity} {order.product}", order.ready, order.due - opens, order.weight)
        for order in orders
        if order.due is not None
    )
