"""Every table of a plan in one JSON document (RFC 8259)."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.render.files.cells import moment_text, number
from stationplan.render.files.tables import TABLES, Cell, Moment, table

if TYPE_CHECKING:
    from stationplan.plan.document import Plan
    from stationplan.render.files.wishes import Wishes


def write(plan: Plan, wishes: Wishes) -> bytes:
    """The tables of a plan as lists of objects.

    Args:
        plan: the plan.
        wishes: heeds ``date``.

    Returns:
        JSON in UTF-8.
    """
    document: dict[str, object] = {
        "format": "stationplan tables",
        "version": 1,
        "name": plan.name,
        "date": None if wishes.date is None else wishes.date.isoformat(),
        "warnings": list(plan.warnings),
    }

    def value(cell: Cell) -> object:
        if isinstance(cell, Moment):
            return moment_text(cell, wishes.date, "T")
        return number(cell) if isinstance(cell, Fraction | float) else cell

    for name in TABLES:
        made = table(plan, name)
        document[name] = [dict(zip(made.columns, map(value, row), strict=True)) for row in made.rows]
    return (json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")
