"""Workbooks, read back with the library that writes them, and as bare XML."""

from __future__ import annotations

import io
from datetime import UTC, date, datetime, timedelta
from xml.etree import ElementTree
from zipfile import ZipFile

import openpyxl
import pytest
from openpyxl.workbook import Workbook

from stationplan.plan.document import Plan
from stationplan.render.files.tables import TABLES, table
from stationplan.render.files.wishes import Wishes
from stationplan.render.files.workbook import write

from .conftest import AWKWARD, plan_of

WISHES = Wishes(date=date(2026, 12, 31), revised=datetime(2026, 3, 1, 9, 30, tzinfo=UTC))
_CELL = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def read(plan: Plan, wishes: Wishes = WISHES) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(write(plan, wishes)))


def rows(book: Workbook, name: str) -> list[dict[str, object]]:
    header, *others = book[name].iter_rows(values_only=True)
    return [dict(zip(map(str, header), row, strict=True)) for row in others]


def test_there_is_a_sheet_for_every_table_after_one_that_says_what_the_plan_is(plan: Plan) -> None:
    book = read(plan)
    assert book.sheetnames == ["plan", *TABLES]
    assert str(book["plan"]["A1"].value).startswith(f"{plan.name}: ")
    assert book["plan"]["A2"].value == "day 1 is 2026-12-31"
    for name in TABLES:
        assert [cell.value for cell in book[name][1]] == list(table(plan, name).columns)
        assert book[name].max_row == len(table(plan, name).rows) + 1


def test_warnings_are_on_the_first_sheet() -> None:
    plan = plan_of("docs/examples/shift-overnight").model_copy(update={"warnings": ("Mind the hot sugar.",)})
    assert [cell.value for cell in read(plan)["plan"]["A"]][-1] == "! Mind the hot sugar."


def test_batches_come_back_with_their_times_places_and_people(plan: Plan) -> None:
    found = {row["label"]: row for row in rows(read(plan), "batches")}
    assert len(found) == len(plan.batches)
    midnight = datetime(2026, 12, 31)
    for batch in plan.batches:
        row = found[batch.label]
        assert row["start"] == midnight + timedelta(minutes=batch.start)
        assert row["end"] == midnight + timedelta(minutes=batch.end)
        assert row["on"] == ("; ".join(seat.station for seat in batch.seats) or None)
        assert row["people"] == ("; ".join(dict.fromkeys(hand.person for hand in batch.hands)) or None)


def test_a_sheet_keeps_its_header_in_sight_and_can_be_filtered(plan: Plan) -> None:
    book = read(plan)
    for name in TABLES:
        sheet = book[name]
        assert sheet.freeze_panes == "A2"
        assert sheet.auto_filter.ref == sheet.dimensions
        assert sheet.print_title_rows == "$1:$1"
        assert all(cell.font.bold for cell in sheet[1])
        widths = [sheet.column_dimensions[cell.column_letter].width for cell in sheet[1]]
        assert all(width >= len(str(cell.value)) and width <= 50 for width, cell in zip(widths, sheet[1], strict=True))


def bare(plan: Plan, wishes: Wishes, name: str) -> list[ElementTree.Element]:
    """The cells of a sheet as they are in the file."""
    number = ["plan", *TABLES].index(name) + 1
    with ZipFile(io.BytesIO(write(plan, wishes))) as archive:
        return list(ElementTree.fromstring(archive.read(f"xl/worksheets/sheet{number}.xml")).iter(f"{_CELL}c"))


def test_a_date_is_a_serial_number() -> None:
    # Microsoft's reference of the function DATE: 1 January 2008 is serial number 39448.
    plan = plan_of("docs/examples/shift-overnight")
    cells = {cell.attrib["r"]: cell for cell in bare(plan, Wishes(date=date(2008, 1, 1)), "waits")}
    assert "t" not in cells["F2"].attrib or cells["F2"].attrib["t"] == "n"
    assert float(cells["F2"].findtext(f"{_CELL}v", "")) == pytest.approx(39448 + 23.5 / 24, abs=1e-9)
    assert float(cells["H2"].findtext(f"{_CELL}v", "")) == pytest.approx(39449 + 0.25 / 24, abs=1e-9)


def test_without_a_date_a_time_counts_from_midnight_of_the_first_day_and_shows_as_a_time_of_day() -> None:
    plan = plan_of("docs/examples/shift-overnight")
    cells = {cell.attrib["r"]: cell for cell in bare(plan, Wishes(), "waits")}
    start, end = (float(cells[place].findtext(f"{_CELL}v", "")) for place in ("F2", "H2"))
    assert (end - start) * 24 * 60 == pytest.approx(45)
    assert start == pytest.approx(23.5 / 24)
    sheet = read(plan, Wishes())["waits"]
    assert [sheet[place].number_format for place in ("F2", "H2")] == ["hh:mm", "hh:mm"]
    assert (sheet["E2"].value, sheet["G2"].value) == (1, 2)


def test_no_cell_is_a_formula_or_an_error(awkward_plan: Plan) -> None:
    for name in ("plan", *TABLES):
        for cell in bare(awkward_plan, WISHES, name):
            assert cell.find(f"{_CELL}f") is None
            assert cell.attrib.get("t") in (None, "n", "s", "inlineStr")
    assert AWKWARD[0] in [row["item"] for row in rows(read(awkward_plan), "batches")]
    assert AWKWARD[2] in [row["station"] for row in rows(read(awkward_plan), "stations")]
    # A spreadsheet that is told of the apostrophe keeps text as text when somebody edits the cell.
    assert read(awkward_plan)["batches"]["B2"].quotePrefix


def test_numbers_are_numbers() -> None:
    [cream] = [
        row for row in rows(read(plan_of("scenarios/first-shift")), "quantities") if row["item"] == "lemon cream"
    ]
    assert cream["needed"] == 2783.505155  # 90 tartlets at 30 g with 3 % lost
    assert cream["surplus"] == 0


def test_line_feeds_come_back_and_control_characters_are_blanks() -> None:
    # XML 1.0 section 2.2: most control characters cannot be written at all.
    plan = plan_of("docs/examples/shift-overnight").model_copy(update={"warnings": ("=hot\r\noil\x1b\x00\ufffe",)})
    assert [cell.value for cell in read(plan)["plan"]["A"]][-1] == "! =hot\noil   "


def test_the_same_plan_gives_the_same_bytes(plan: Plan) -> None:
    assert write(plan, WISHES) == write(plan, WISHES)
    properties = read(plan).properties
    assert properties.created == properties.modified == datetime(2026, 3, 1, 9, 30)
    with ZipFile(io.BytesIO(write(plan, WISHES))) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
