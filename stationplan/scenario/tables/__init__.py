"""Tables of orders as spreadsheets save them: CSV and workbooks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.reading import read_bytes, read_text
from stationplan.scenario.tables import workbook
from stationplan.scenario.tables.orders import Finding, read_orders
from stationplan.scenario.tables.separated import separated_rows

if TYPE_CHECKING:
    from pathlib import Path

    from stationplan.scenario.nodes import Sequence

TABLES = (".csv", ".tsv", *workbook.SUFFIXES)
"""The endings of files that hold a table of orders."""


def read_table(path: Path, order: int, problems: list[Finding], remarks: list[Finding]) -> Sequence | None:
    """Read a table of orders from a file.

    Args:
        path: the file; its ending says what it is.
        order: position of the file in the order of reading.
        problems: cells and rows that make no sense are added here.
        remarks: columns that are not read are added here.

    Returns:
        A list with one mapping for each order, or None when no row makes sense.

    Raises:
        UnreadableFile: when there is no such table.
    """
    if path.suffix.lower() in workbook.SUFFIXES:
        rows = workbook.workbook_rows(read_bytes(path))
    else:
        rows = separated_rows(read_text(path))
    return read_orders(rows, str(path), order, problems, remarks)
