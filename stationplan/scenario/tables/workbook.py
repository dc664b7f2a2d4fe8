"""Workbooks of spreadsheet programs (Office Open XML, ISO/IEC 29500), through openpyxl."""

from __future__ import annotations

import io
import warnings
import zipfile
from datetime import date, time, timedelta
from itertools import islice
from typing import TYPE_CHECKING, Any

from stationplan.scenario.reading import UnreadableFile
from stationplan.scenario.tables.rows import Cell, Row
from stationplan.scenario.units import format_clock

if TYPE_CHECKING:
    from collections.abc import Iterator

SUFFIXES = (".xlsx", ".xlsm")
_MOST_UNPACKED = 50_000_000
_MOST_ROWS = 20_000
_MOST_COLUMNS = 200
_SHEET = "orders"
_DAMAGED = "this is no workbook that can be read; save it again as .xlsx, or its sheet as CSV"


def workbook_rows(data: bytes) -> list[Row]:
    """Read the sheet of orders of a workbook.

    Args:
        data: the file.

    Returns:
        Every row with anything in it, of the sheet named Orders or else of the only sheet with anything in it.

    Raises:
        UnreadableFile: when openpyxl is not installed, it is no workbook, or the sheet cannot be told.
    """
    try:
        from openpyxl import load_workbook
    except ImportError as error:
        raise UnreadableFile(
            "reading a workbook needs openpyxl; install it with: pip install 'stationplan[spreadsheet]', "
            "or save the sheet as CSV"
        ) from error
    _refuse_bombs(data)
    try:
        with warnings.catch_warnings():
            # openpyxl warns of what it leaves out, such as pictures and rules for input.
            warnings.simplefilter("ignore")
            # Once with the values that the program saved, once with the formulas, to tell a formula that has none.
            books = [load_workbook(io.BytesIO(data), read_only=True, data_only=only) for only in (True, False)]
            sheets = [
                (sheet.title, list(_rows(sheet, books[1][sheet.title])))
                for sheet in books[0].worksheets
                if sheet.sheet_state == "visible"
            ]
    except UnreadableFile:
        raise
    except Exception as error:
        # A damaged file makes openpyxl, zipfile and the XML parser raise whatever they come across.
        raise UnreadableFile(_DAMAGED) from error
    return _of_orders(sheets)


def _refuse_bombs(data: bytes) -> None:
    """A small file may unpack to more than any memory holds."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            size = sum(entry.file_size for entry in archive.infolist())
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as error:
        raise UnreadableFile(_DAMAGED) from error
    if size > _MOST_UNPACKED:
        raise UnreadableFile("this workbook is far too large for a list of orders; copy the orders into a new one")


def _of_orders(sheets: list[tuple[str, list[Row]]]) -> list[Row]:
    named = [rows for title, rows in sheets if title.strip().lower() == _SHEET]
    if named:
        return named[0]
    filled = [(title, rows) for title, rows in sheets if rows]
    if len(filled) > 1:
        names = ", ".join(f"'{title}'" for title, _ in filled)
        raise UnreadableFile(f"this workbook has the sheets {names}; name the one with the orders 'Orders'")
    return filled[0][1] if filled else []


def _rows(values: Any, formulas: Any) -> Iterator[Row]:
    # What a file says about its own size is often wrong.
    values.reset_dimensions()
    formulas.reset_dimensions()
    pairs = zip(values.iter_rows(max_col=_MOST_COLUMNS), formulas.iter_rows(max_col=_MOST_COLUMNS), strict=False)
    for line, (shown, behind) in enumerate(islice(pairs, _MOST_ROWS + 1), 1):
        if line > _MOST_ROWS:
            raise UnreadableFile(f"this workbook has more than {_MOST_ROWS} rows; copy the orders into a new one")
        place = f", sheet '{' '.join(values.title.split())}'"
        cells = tuple(
            _cell(cell.value, formula.value, f"{place}, cell {_letters(column)}{line}")
            for column, (cell, formula) in enumerate(zip(shown, behind, strict=True))
        )
        if any(cell.filled for cell in cells):
            yield Row(line, cells, f"{place}, row {line}")


def _letters(column: int) -> str:
    from openpyxl.utils import get_column_letter

    return str(get_column_letter(column + 1))


def _cell(value: Any, formula: Any, spot: str) -> Cell:
    if value is None and formula is not None:
        fault = "the result of this formula was not saved; open the workbook in a spreadsheet program and save it again"
        return Cell(None, spot, fault)
    if isinstance(value, date):
        fault = f"this is a date, {value:%Y-%m-%d %H:%M}, and a plan knows times of day only; write one such as 17:30"
        return Cell(None, spot, f"{fault}, or with the day of the plan, day 2 06:30, as text")
    if isinstance(value, (time, timedelta)):
        return Cell(_clock(value), spot)
    if value is None or isinstance(value, (str, int, float)):
        return Cell(value.strip() if isinstance(value, str) else value, spot)
    return Cell(str(value), spot)


def _clock(value: time | timedelta) -> str:
    """A time of day, or the hours since midnight of the first day, which a spreadsheet may count beyond 24."""
    if isinstance(value, time):
        value = timedelta(hours=value.hour, minutes=value.minute, seconds=value.second, microseconds=value.microsecond)
    # Spreadsheets keep times as binary shares of a day, which miss the minute by less than a second.
    seconds = round(value.total_seconds())
    minutes, rest = divmod(seconds, 60)
    return format_clock(minutes) + (f":{rest:02d}" if rest else "")
