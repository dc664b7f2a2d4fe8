"""Reads orders from a CSV file (RFC 4180), such as a spreadsheet saves it."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from stationplan.scenario.nodes import Mapping, Place, Scalar, Sequence
from stationplan.scenario.reading import UnreadableFile
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

COLUMNS = ("product", "quantity", "due", "weight")
_RIGHT = "the first line names the columns: product,quantity,due"


def read_orders_table(text: str, file: str, order: int, problems: list[tuple[Place, str]]) -> Sequence:
    """Read a table of orders.

    Args:
        text: the table; the first line names its columns.
        file: the name of its file for messages.
        order: position of the file in the order of reading.
        problems: lines that do not fit the columns are added here.

    Returns:
        A list with one mapping for each line; empty cells are left out.

    Raises:
        UnreadableFile: when the columns cannot be told or the quotes do not match.
    """
    rows = _rows(text)
    first_line, header = next(rows, (1, []))
    columns = _columns(first_line, header)
    orders = Sequence(Place(order, first_line, file))
    for line, cells in rows:
        place = Place(order, line, file)
        if len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
            problems.append((place, f"this line has {len(cells)} cells for {len(columns)} columns; check its commas"))
        filled = {column: cell.strip() for column, cell in zip(columns, cells, strict=False) if cell.strip()}
        orders.items.append(
            Mapping(
                place,
                {column: Scalar(place, cell) for column, cell in filled.items()},
                dict.fromkeys(filled, place),
            )
        )
    return orders


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Every line with anything in it, with the line number it begins at."""
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
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
            yield line, cells


def _columns(line: int, header: list[str]) -> list[str]:
    columns = [cell.strip().lower() for cell in header]
    while columns and not columns[-1]:
        columns.pop()
    if not columns:
        raise UnreadableFile(f"this file is empty; {_RIGHT}")
    if len(columns) == 1 and any(sign in columns[0] for sign in ";\t"):
        raise UnreadableFile(f"the columns are not separated by commas; {_RIGHT}", line)
    for position, column in enumerate(columns):
        if column not in COLUMNS:
            raise UnreadableFile(f"'{column}' is no column of orders{suggestion(column, COLUMNS)}; {_RIGHT}", line)
        if column in columns[:position]:
            raise UnreadableFile(f"the column '{column}' stands twice; {_RIGHT}", line)
    for column in COLUMNS[:2]:
        if column not in columns:
            raise UnreadableFile(f"the column '{column}' is missing; {_RIGHT}", line)
    return columns
