"""The chart of a plan as a drawing (SVG)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.render.svg import standalone

if TYPE_CHECKING:
    from stationplan.plan.document import Plan
    from stationplan.render.files.wishes import Wishes


def write(plan: Plan, wishes: Wishes) -> bytes:
    """The chart.

    Args:
        plan: the plan.
        wishes: heeds ``rows``.

    Returns:
        SVG in UTF-8.
    """
    return standalone(plan, rows=wishes.rows or "equipment").encode("utf-8")
