"""Orders: every one is there, and ready when its last batch is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from stationplan.plan.check.case import Case, Run
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.flow import Flow, OrderShare, sources_of
from stationplan.plan.check.recipe import Recipe
from stationplan.plan.check.stock import Stocked
from stationplan.plan.document import Delivered
from stationplan.scenario.models import Order
from stationplan.scenario.units import format_duration


@dataclass(frozen=True)
class Readiness:
    """What the batches of the plan make of an order."""

    order: Order
    labels: tuple[str, ...]
    ready: int

    @property
    def late(self) -> int:
        """Minutes after the due time, 0 when in time or without one."""
        return 0 if self.order.due is None else max(0, self.ready - self.order.due)

    @property
    def terms(self) -> tuple[str, int, int | None, int]:
        """What was ordered: product, quantity, due time and weight."""
        order = self.order
        return (order.product, order.quantity, None if order.due is None else int(order.due), order.weight)


def work_out_readiness(case: Case, flow: Flow) -> list[Readiness]:
    """Work out when each order is ready.

    Args:
        case: the plan beside its scenario.
        flow: its lots and the orders' shares.

    Returns:
        One entry for each order, in the order of the scenario.
    """
    shares: dict[int, OrderShare] = {share.order: share for found in flow.shares.values() for share in found}
    found = []
    for number, order in enumerate(case.scenario.orders):
        recipe = case.recipes[order.product]
        sources = sources_of(case, recipe, shares[number].first, shares[number].last)
        ready = max((_ready_at(case, recipe, source) for source in sources), default=case.opens)
        found.append(Readiness(order, tuple(source.label for source in sources), ready))
    return found


def _ready_at(case: Case, recipe: Recipe, source: Run | Stocked) -> int:
    """When a batch of a product is ready: at its end, or when its last wait for delivery is over. Stock is at once."""
    if not recipe.trailing or isinstance(source, Stocked):
        return source.end
    least = sum(wait.least for wait in recipe.trailing)
    return case.delivered_at.get(source.label, source.end + least)


def check_orders(case: Case, readiness: list[Readiness]) -> Iterator[Fault]:
    """Compare what the plan says of each order with what its batches make of it."""
    left_over = list(case.plan.orders)
    missing: list[Readiness] = []
    for ready in readiness:
        found = [delivered for delivered in left_over if _terms(delivered) == ready.terms]
        if not found:
            missing.append(ready)
            continue
        # Orders on the same terms may share a product's batches out differently.
        delivered = min(found, key=lambda entry: (entry.ready != ready.ready, entry.batches != ready.labels))
        left_over.remove(delivered)
        yield from _check_order(ready, delivered)
    for ready in missing:
        wanted = (ready.order.product, ready.order.quantity, ready.order.weight)
        other = next((d for d in left_over if (d.product, d.quantity, d.weight) == wanted), None)
        if other is None:
            sentence = f"The order of {ready.order.quantity} {ready.order.product} is missing from the plan."
            yield Fault(FaultKind.ORDER_MISSING, sentence)
            continue
        left_over.remove(other)
        now = "not due at any time" if ready.order.due is None else f"due {clock(ready.order.due)}"
        then = "at no time" if other.due is None else clock(other.due)
        sentence = f"The order of {ready.order.quantity} {ready.order.product} is {now} now, {then} in the plan."
        yield Fault(FaultKind.ORDER_DUE, sentence, ready.labels)
    for delivered in left_over:
        sentence = f"Nobody ordered {delivered.quantity} {delivered.product}"
        due = "" if delivered.due is None else f" for {clock(delivered.due)}"
        weight = "" if delivered.weight == 1 else f" (weight {delivered.weight})"
        yield Fault(FaultKind.ORDER_UNKNOWN, f"{sentence}{due}{weight}.")


def _terms(delivered: Delivered) -> tuple[str, int, int | None, int]:
    return (delivered.product, delivered.quantity, delivered.due, delivered.weight)


def _check_order(ready: Readiness, delivered: Delivered) -> Iterator[Fault]:
    what = f"The order of {ready.order.quantity} {ready.order.product}"
    if sorted(delivered.batches) != sorted(ready.labels):
        sentence = f"{what} is made from {', '.join(ready.labels) or 'nothing'}, not from what the plan says."
        yield Fault(FaultKind.ORDER_BATCHES, sentence, ready.labels)
    if delivered.ready != ready.ready:
        sentence = f"{what} is ready at {clock(ready.ready)}, not at {clock(delivered.ready)}."
        yield Fault(FaultKind.ORDER_READY, sentence, ready.labels)
    if delivered.late != ready.late:
        sentence = f"{what} is late by {format_duration(ready.late)}, not by {delivered.late} min."
        yield Fault(FaultKind.ORDER_LATE, sentence, ready.labels)
