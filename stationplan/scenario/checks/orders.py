"""Checks of when orders are due."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.units import format_clock
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.sentences import Finding


def due_before_opening(draft: Draft) -> Iterator[Finding]:
    """An order due before the shift opens: after midnight it is another day, which has to be written."""
    if draft.shift is None:
        return
    opens = draft.shift.opens
    for index, order in draft.orders.items():
        if order.due is not None and order.due < opens:
            # The first time after opening at which a clock shows the same.
            meant = opens + (order.due - opens) % MINUTES_PER_DAY
            sentence = f"{order.due} is before the shift opens at {opens}; write {format_clock(meant)} if that is meant"
            yield ("orders", index, "due"), sentence
