"""A plan as one page for a browser (HTML)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.render.page.document import page

if TYPE_CHECKING:
    from stationplan.plan.document import Plan
    from stationplan.render.files.wishes import Wishes


def write(plan: Plan, wishes: Wishes) -> bytes:
    """The page.

    Args:
        plan: the plan.
        wishes: heeds none.

    Returns:
        HTML in UTF-8.
    """
    return page(plan).encode("utf-8")
