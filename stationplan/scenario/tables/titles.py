"""What people write above the columns of an order list."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stationplan.scenario.tables.rows import Row

MOST_ABOVE = 10
"""Rows that may stand above the one with the titles, such as 'Orders for Saturday'."""

TITLES = {
    "product": ("product", "item", "article", "product name", "item name"),
    "quantity": ("quantity", "qty", "pcs", "pieces", "portions", "count", "units", "how many"),
    "due": ("due", "due at", "due by", "time", "ready", "ready at", "ready by", "pick up", "pickup", "collection"),
    "weight": ("weight",),
}
"""The columns that are read, and what people call them. ('Priority' is left out: there, 1 often comes first.)"""

COLUMN_OF = {title: column for column, titles in TITLES.items() for title in titles}

_NO_DATES = (
    "a plan knows times of day and no dates; keep the orders of one shift in a table, and for a time after midnight "
    "write its day into the column 'due', such as day 2 06:30"
)
_NO_DELIVERY = "it is not clear when this must be ready; name the column 'due' and write that time into it"
MISUNDERSTOOD = {
    **dict.fromkeys(("date", "day", "due date", "ready date", "delivery date", "order date"), _NO_DATES),
    **dict.fromkeys(("delivery", "delivery time", "delivered", "deadline", "departure", "leaves"), _NO_DELIVERY),
}
"""Columns whose meaning would be lost if they were passed over."""

PASSED_OVER = frozenset(
    ("note", "notes", "remark", "remarks", "comment", "comments", "customer", "client", "order", "order number", "no")
)
"""Columns that are for people; nothing is said about them. Every other one is named in a warning."""


def normal(title: str) -> str:
    """A title without what does not matter: capitals, dashes, underscores, a colon or full stop at its end."""
    return " ".join(title.casefold().replace("_", " ").replace("-", " ").strip(" .:*#?").split())


def known_titles(row: Row) -> int:
    """How many cells of a row are titles of columns that are read."""
    return sum(normal(cell.text) in COLUMN_OF for cell in row.cells)
