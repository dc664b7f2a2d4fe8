"""CSV (RFC 4180), and its relatives with semicolons or tabs, which spreadsheets of many countries write."""

from __future__ import annotations

import csv
import io
from itertools import islice
from typing import TYPE_CHECKING

from stationplan.scenario.reading import UnreadableFile
from stationplan.scenario.tables.rows import Cell, Row
from stationplan.scenario.tables.titles import MOST_ABOVE, known_titles

if TYPE_CHECKING:
    from collections.abc import Iterator

_SEPARATORS = (",", ";", "\t")


def separated_rows(text: str) -> list[Row]:
    """Read a table of separated values.

    Args:
        text: the table; which sign separates its cells is told by the line that names the columns.

    Returns:
        Every row with anything in it.

    Raises:
        UnreadableFile: when its quotes do not match.
    """
    # The first of those that fit equally well, which is the comma.
    separator = max(_SEPARATORS, key=lambda sign: _titles(text, sign))
    return list(_rows(text, separator))


def _titles(text: str, separator: str) -> int:
    """How many titles of columns one of the first rows has when it is read with this separator."""
    most = 0
    try:
        for row in islice(_rows(text, separator), MOST_ABOVE + 1):
            most = max(most, known_titles(row))
    except UnreadableFile:
        # Quotes that do not match are told when the separator is settled.
        pass
    return most


def _rows(text: str, separator: str) -> Iterator[Row]:
    """Every row with anything in it, with the line it begins at: a quoted cell may hold line breaks."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=separator)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader, None)
        except csv.Error as error:
            sentence = "the quotes of this line do not match; a quote inside quotes stands twice"
            raise UnreadableFile(sentence, line) from error
        if cells is None:
            return
        if any(cell.strip() for cell in cells):
            yield Row(line, tuple(Cell(cell.strip()) for cell in cells))
