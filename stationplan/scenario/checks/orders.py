"""Checks of how much orders are for, and when they are due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.checks.measures import in_words
from stationplan.scenario.fields import Ordered
from stationplan.scenario.units import format_clock
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.sentences import Finding


def units_of_orders(draft: Draft) -> Iterator[Finding]:
    """An order in another unit than that of the product's ``makes``."""
    for index, order in draft.orders.items():
        product = draft.products.get(order.product)
        unit = order.quantity.unit if isinstance(order.quantity, Ordered) else ""
        if product is not None and unit and unit != product.makes.unit:
            counted = in_words(product.makes.unit)
            sentence = f"'{order.product}' is ordered in {counted}, as it says in 'makes', not in {in_words(unit)}"
            yield ("orders", index, "quantity"), sentence


def due_after_midnight(draft: Draft) -> Iterator[Finding]:
    """An order due before the shift opens, at a time of day that the shift reaches after midnight.

    In a shift that never reaches it, such an order is overdue when work begins, which may be so.
    """
    if draft.shift is None:
        return
    opens, closes = draft.shift.opens, draft.shift.closes
    for index, order in draft.orders.items():
        if order.due is not None and order.due < opens:
            # The first time after opening at which a clock shows the same.
            meant = opens + (order.due - opens) % MINUTES_PER_DAY
            if meant <= closes:
                sentence = f"{order.due} is before the shift opens at {opens}; write {format_clock(meant)}"
                yield ("orders", index, "due"), sentence
