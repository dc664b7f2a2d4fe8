"""Every table of a plan as a sheet of a workbook (Office Open XML, ISO/IEC 29500)."""

from __future__ import annotations

import io
from datetime import UTC, timedelta
from typing import TYPE_CHECKING, Any
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.writer.excel import ExcelWriter

from stationplan.render.files.cells import instant, number, words
from stationplan.render.files.characters import plain
from stationplan.render.files.tables import TABLES, Cell, Moment, table
from stationplan.render.lettering import columns
from stationplan.render.words import headline

if TYPE_CHECKING:
    from datetime import date

    from openpyxl.worksheet.worksheet import Worksheet

    from stationplan.plan.document import Plan
    from stationplan.render.files.tables import Table
    from stationplan.render.files.wishes import Wishes

_NARROWEST, _WIDEST = 6, 50
_FILTER_BUTTON = 3
"""Columns that the button of a filter takes from a header."""
_ONE_LINE = 10_000
_DECIMALS = "0.0##"
_CLOCK, _DATE_AND_CLOCK = "hh:mm", "yyyy-mm-dd hh:mm"


def write(plan: Plan, wishes: Wishes) -> bytes:
    """The tables of a plan as a workbook, after a sheet that says what the plan is.

    Args:
        plan: the plan.
        wishes: heeds ``date`` and ``revised``. Without a date, a moment is the time since midnight of the first day,
            shown as a time of day, so that differences and sorting are right across midnight.

    Returns:
        A workbook.
    """
    book = Workbook()
    book.properties.title = plain(plan.name)
    book.properties.creator = "stationplan"
    book.properties.created = book.properties.modified = wishes.revised.astimezone(UTC).replace(tzinfo=None)
    _cover(book.worksheets[0], plan, wishes.date)
    for name in TABLES:
        _sheet(book.create_sheet(name), table(plan, name), wishes.date)
    return _packed(book)


def _cover(sheet: Worksheet, plan: Plan, day: date | None) -> None:
    sheet.title = "plan"
    lines = [*headline(plan, _ONE_LINE).splitlines(), *(f"! {warning}" for warning in plan.warnings)]
    if day is not None:
        lines.insert(1, f"day 1 is {day.isoformat()}")
    for row, line in enumerate(lines, 1):
        _put(sheet, row, 1, plain(line), day)
        sheet.cell(row, 1).alignment = Alignment(wrap_text=True, vertical="top")
    sheet.cell(1, 1).font = Font(bold=True)
    sheet.column_dimensions["A"].width = 2 * _WIDEST


def _sheet(sheet: Worksheet, made: Table, day: date | None) -> None:
    widths = [columns(name) + _FILTER_BUTTON for name in made.columns]
    for column, name in enumerate(made.columns, 1):
        _put(sheet, 1, column, name, day)
        sheet.cell(1, column).font = Font(bold=True)
    for row, cells in enumerate(made.rows, 2):
        for column, cell in enumerate(cells, 1):
            widths[column - 1] = max(widths[column - 1], _put(sheet, row, column, cell, day) + 1)
    for column, width in enumerate(widths, 1):
        sheet.column_dimensions[get_column_letter(column)].width = min(max(width, _NARROWEST), _WIDEST)
    sheet.freeze_panes = "A2"
    sheet.auto_filter.ref = sheet.dimensions
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)


def _put(sheet: Worksheet, row: int, column: int, cell: Cell, day: date | None) -> int:
    """Fill a cell and say how many columns its text takes."""
    place: Any = sheet.cell(row, column)
    if isinstance(cell, Moment):
        place.value = timedelta(minutes=cell.minute) if day is None else instant(cell.minute, day)
        place.number_format = _CLOCK if day is None else _DATE_AND_CLOCK
        return len(place.number_format)
    if isinstance(cell, str | bool | tuple):
        place.value = words(cell)
        # Text stays text, whatever it begins with, also after somebody has edited the cell.
        place.data_type = "s"
        place.quotePrefix = True
        return max(map(columns, place.value.split("\n")))
    if cell is None:
        return 0
    place.value = number(cell)
    if isinstance(place.value, float):
        place.number_format = _DECIMALS
    return len(f"{place.value:.3f}")


def _packed(book: Workbook) -> bytes:
    """The workbook's bytes, which do not hang on when they are made."""
    loose, packed = io.BytesIO(), io.BytesIO()
    # Workbook.save would replace the time of the last change by the clock's.
    ExcelWriter(book, ZipFile(loose, "w")).save()
    with ZipFile(loose) as source, ZipFile(packed, "w", ZIP_DEFLATED) as target:
        for entry in source.infolist():
            target.writestr(ZipInfo(entry.filename), source.read(entry), ZIP_DEFLATED)
    return packed.getvalue()
