"""From the rows of a table to a list of orders."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.scenario.nodes import Mapping, Place, Scalar, Sequence
from stationplan.scenario.reading import UnreadableFile
from stationplan.scenario.tables.rows import Cell
from stationplan.scenario.tables.titles import COLUMN_OF, MISUNDERSTOOD, MOST_ABOVE, PASSED_OVER, TITLES, normal
from stationplan.scenario.units import format_clock
from stationplan.scenario.units.clock import in_our_fashion
from stationplan.scenario.units.durations import MINUTES_PER_DAY
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.tables.rows import Row

_RIGHT = "the first line names the columns: product, quantity and, where wanted, due and weight"
_TOTAL = re.compile(r"(?:(?:grand|sub) ?)?totals?|sum")
_NO_CELL = Cell(None)

Finding = tuple[Place, str]


@dataclass(frozen=True, slots=True)
class _Column:
    """A column that is read, and its title as the user wrote it."""

    position: int
    title: str

    def of(self, row: Row) -> Cell:
        """The cell of this column in a row."""
        return row.cells[self.position] if self.position < len(row.cells) else _NO_CELL

    def spot(self, row: Row) -> str:
        """How a message names that cell."""
        return self.of(row).spot or f":{row.line} ({self.title})"


def read_orders(
    rows: list[Row], file: str, order: int, problems: list[Finding], remarks: list[Finding]
) -> Sequence | None:
    """Read a table of orders.

    Args:
        rows: its rows that are not blank; one of the first names the columns.
        file: the name of its file for messages.
        order: position of the file in the order of reading.
        problems: cells and rows that make no sense are added here.
        remarks: columns that are not read are added here.

    Returns:
        A list with one mapping for each row that makes sense, empty cells left out; None when the rows cannot be read
        without their columns, or none of them makes sense, which is told in ``problems``.

    Raises:
        UnreadableFile: when the file is empty.
    """
    if not rows:
        raise UnreadableFile(f"this file is empty; {_RIGHT}")
    above = next((index for index, row in enumerate(rows[: MOST_ABOVE + 1]) if _names_columns(row)), 0)
    header, below = rows[above], rows[above + 1 :]
    columns = _columns(header)
    problems += [(Place(order, header.line, file, spot), sentence) for spot, sentence in _misnamed(header, columns)]
    if not {"product", "quantity"} <= columns.keys():
        return None
    remarks += [(Place(order, header.line, file, spot), sentence) for spot, sentence in _unread(header)]
    orders = Sequence(Place(order, header.line, file, header.spot))
    ordered: list[int] = []
    refused = False
    for row in below:
        wrong = [*_strays(row, header), *_faults(row, columns), *_total(row, columns, ordered)]
        problems += [(Place(order, row.line, file, spot), sentence) for spot, sentence in wrong]
        refused = refused or bool(wrong)
        if not wrong and any(column.of(row).filled for column in columns.values()):
            orders.items.append(_order(row, columns, Place(order, row.line, file, row.spot)))
            ordered += _whole_number(columns["quantity"].of(row))
    return None if refused and not orders.items else orders


def _names_columns(row: Row) -> bool:
    keys = {COLUMN_OF.get(normal(cell.text)) for cell in row.cells}
    return {"product", "quantity"} <= keys


def _columns(header: Row) -> dict[str, _Column]:
    """The columns that are read, by their keys in an order; of two with one meaning the first."""
    columns: dict[str, _Column] = {}
    for position, cell in enumerate(header.cells):
        key = COLUMN_OF.get(normal(cell.text))
        if key is not None and key not in columns:
            columns[key] = _Column(position, " ".join(cell.text.split()))
    return columns


def _misnamed(header: Row, columns: dict[str, _Column]) -> Iterator[tuple[str, str]]:
    """Titles that cannot be understood, or that would be misunderstood, and those that are missing."""
    missing = [key for key in TITLES if key not in columns]
    for position, cell in enumerate(header.cells):
        title = normal(cell.text)
        key = COLUMN_OF.get(title)
        if title in MISUNDERSTOOD:
            yield cell.spot, f"the column '{cell.text}': {MISUNDERSTOOD[title]}"
        elif key is not None and columns[key].position != position:
            both = f"'{columns[key].title}' and '{cell.text}' both name the {key}"
            yield cell.spot, f"the columns {both}; keep one of them"
        elif key is None and title not in PASSED_OVER:
            meant = [key for key in missing if suggestion(title, TITLES[key])]
            if meant:
                missing.remove(meant[0])
                near = suggestion(title, TITLES[meant[0]])
                yield cell.spot, f"'{cell.text}' is no column of orders{near}; {_RIGHT}"
    needed = [f"'{key}'" for key in missing if key in ("product", "quantity")]
    if needed:
        which = f"column {needed[0]} is" if len(needed) == 1 else f"columns {' and '.join(needed)} are"
        yield header.spot, f"the {which} missing; {_RIGHT}"


def _unread(header: Row) -> Iterator[tuple[str, str]]:
    for cell in header.cells:
        if cell.text and normal(cell.text) not in {*COLUMN_OF, *PASSED_OVER, *MISUNDERSTOOD}:
            yield cell.spot, f"the column '{cell.text}' is not read; read are {', '.join(TITLES)}"


def _strays(row: Row, header: Row) -> Iterator[tuple[str, str]]:
    """Something in a column that has no title."""
    titled = [bool(cell.text) for cell in header.cells]
    for position, cell in enumerate(row.cells):
        if cell.text and not any(titled[position : position + 1]):
            where = "check the commas" if not cell.spot else "give the column a title, such as note, or empty the cell"
            yield cell.spot or row.spot, f"'{cell.text}' stands in a column without a title; {where}"
            return


def _faults(row: Row, columns: dict[str, _Column]) -> Iterator[tuple[str, str]]:
    for column in columns.values():
        if column.of(row).fault:
            yield column.spot(row), column.of(row).fault


def _total(row: Row, columns: dict[str, _Column], ordered: list[int]) -> Iterator[tuple[str, str]]:
    """A line that adds up the ones above, as order lists often end."""
    product, quantity = columns["product"], columns["quantity"]
    for position, cell in enumerate(row.cells):
        if _TOTAL.fullmatch(normal(cell.text)):
            spot = _Column(position, product.title).spot(row)
            yield spot, f"'{cell.text}' seems to begin a line of totals, which is no order; remove this line"
            return
    if not product.of(row).filled and len(ordered) > 1 and _whole_number(quantity.of(row)) == [sum(ordered)]:
        sentence = f"{sum(ordered)} without a product is the sum of the lines above; remove this line of totals"
        yield quantity.spot(row), sentence


def _whole_number(cell: Cell) -> list[int]:
    """The number in a cell, if it is a whole one."""
    return [int(cell.text)] if cell.text.isascii() and cell.text.isdigit() and len(cell.text) < 10 else []


def _order(row: Row, columns: dict[str, _Column], place: Place) -> Mapping:
    order = Mapping(place)
    for key, column in columns.items():
        cell = column.of(row)
        if cell.filled:
            order.places[key] = Place(place.order, place.line, place.file, column.spot(row))
            order.items[key] = Scalar(order.places[key], _clock(cell.value) if key == "due" else cell.value)
    return order


def _clock(value: str | int | float | bool | None) -> str | int | float | bool | None:
    """A time of day as people write it, or as a spreadsheet keeps it: a share of the day, shown as a plain number."""
    if isinstance(value, str):
        return in_our_fashion(value) or value
    if isinstance(value, float) and 0 <= value < 1:
        return format_clock(round(value * MINUTES_PER_DAY))
    return value
