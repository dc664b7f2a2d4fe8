"""One table of a plan as comma-separated values (RFC 4180)."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from stationplan.render.files.cells import moment_text, number, words
from stationplan.render.files.tables import TABLES, Cell, Moment, table

if TYPE_CHECKING:
    from stationplan.plan.document import Plan
    from stationplan.render.files.wishes import Wishes

_BEGINS_A_FORMULA = ("=", "+", "-", "@", "\t", "\n", "＝", "＋", "－", "＠")  # noqa: RUF001 - wide ones count as well


def write(plan: Plan, wishes: Wishes) -> bytes:
    """One table of a plan, its names of columns in the first row.

    Args:
        plan: the plan.
        wishes: heeds ``table``, without which it is the first, and ``date``.

    Returns:
        Lines that end with CR and LF, in UTF-8.
    """
    made = table(plan, wishes.table or TABLES[0])
    out = io.StringIO(newline="")
    writer = csv.writer(out)  # its default dialect is that of RFC 4180
    writer.writerow(made.columns)

    def text(cell: Cell) -> str | int | float | None:
        if isinstance(cell, Moment):
            return moment_text(cell, wishes.date, " ")
        if isinstance(cell, str | bool | tuple):
            return _harmless(words(cell))
        return None if cell is None else number(cell)

    writer.writerows([text(cell) for cell in row] for row in made.rows)
    return out.getvalue().encode("utf-8")


def _harmless(text: str) -> str:
    """Text that no spreadsheet runs as a formula: an apostrophe goes before it (OWASP, CSV Injection)."""
    return f"'{text}" if text.startswith(_BEGINS_A_FORMULA) else text
