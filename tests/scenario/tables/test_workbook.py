"""Orders from workbooks, written with openpyxl as a spreadsheet program would."""

from __future__ import annotations

import io
import sys
import zipfile
from datetime import datetime, time, timedelta
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from stationplan.scenario import InvalidScenario, load
from stationplan.scenario.nodes import Place, plain
from stationplan.scenario.reading import UnreadableFile
from stationplan.scenario.tables.orders import read_orders
from stationplan.scenario.tables.workbook import workbook_rows

from ..valid_text import VALID

if TYPE_CHECKING:
    from pathlib import Path

HEADER = ("Item", "Qty", "Ready by")


def saved(book: Workbook) -> bytes:
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def workbook(*rows: tuple[Any, ...], title: str = "Orders", **others: list[tuple[Any, ...]]) -> bytes:
    """A workbook with a sheet of these rows, and further ones."""
    book = Workbook()
    first = book.worksheets[0]
    first.title = title
    for sheet, lines in [(first, list(rows)), *((book.create_sheet(name), lines) for name, lines in others.items())]:
        for line in lines:
            sheet.append(line)
    return saved(book)


def read(data: bytes) -> tuple[list[dict[str, Any]], list[str]]:
    """The orders, and what is wrong, with its place."""
    problems: list[tuple[Place, str]] = []
    orders = read_orders(workbook_rows(data), "orders.xlsx", 0, problems, [])
    return plain(orders) if orders else [], [f"{place}: {sentence}" for place, sentence in problems]


def refused(data: bytes) -> str:
    with pytest.raises(UnreadableFile) as caught:
        read(data)
    return f"{caught.value.spot}: {caught.value.sentence}"


def test_a_row_is_an_order_and_a_time_is_a_time_of_day() -> None:
    assert read(workbook(HEADER, ("pear dome", 240, time(17, 30)), ("plum tart", 12.0, None))) == (
        [{"product": "pear dome", "quantity": 240, "due": "17:30"}, {"product": "plum tart", "quantity": 12}],
        [],
    )


# ISO/IEC 29500-1, 18.17.4: a time of day is a share of the day, here 7/24, 17.5/24 and so on as binary fractions; with
# the number format [h]:mm it may count on beyond 24 hours.
@pytest.mark.parametrize(
    ("value", "number_format", "due"),
    [
        (7 / 24, "h:mm", "07:00"),
        (0.729166666666667, "hh:mm", "17:30"),
        (1435 / 1440, "h:mm AM/PM", "23:55"),
        (26.5 / 24, "[h]:mm", "day 2 02:30"),
        (0.25, "General", "06:00"),
        ("05:45", "General", "05:45"),
        ("day 2 06:30", "@", "day 2 06:30"),
    ],
)
def test_a_due_time_is_read_however_the_cell_keeps_it(value: Any, number_format: str, due: str) -> None:
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.append(HEADER)
    sheet.append(("bun", 7, value))
    sheet["C2"].number_format = number_format
    assert read(saved(book)) == ([{"product": "bun", "quantity": 7, "due": due}], [])


def test_every_minute_of_the_day_survives_the_spreadsheet() -> None:
    times = [time(minute // 60, minute % 60) for minute in range(1440)]
    orders, _ = read(workbook(HEADER, *(("bun", 7, due) for due in times)))
    assert [order["due"] for order in orders] == [f"{due:%H:%M}" for due in times]


def test_hours_beyond_a_day_are_the_next_day() -> None:
    assert read(workbook(HEADER, ("bun", 7, timedelta(hours=25))))[0][0]["due"] == "day 2 01:00"


def test_blank_rows_and_a_heading_are_passed_over_and_rows_keep_their_numbers() -> None:
    data = workbook(("Saturday",), (), HEADER, (), ("bun", 7, "08:00"), ("bun", "Sum", 7))
    orders, (problem,) = read(data)
    assert len(orders) == 1
    assert problem.startswith("orders.xlsx, sheet 'Orders', cell B6: 'Sum' seems to begin a line of totals")


def test_a_date_is_refused_with_its_cell() -> None:
    orders, (problem,) = read(workbook(HEADER, ("bun", 7, datetime(2031, 5, 3, 17, 30)), ("bun", 8, "09:00")))
    assert orders == [{"product": "bun", "quantity": 8, "due": "09:00"}]
    assert problem.startswith("orders.xlsx, sheet 'Orders', cell C2: this is a date, 2031-05-03 17:30, and a plan")


def test_a_date_in_a_column_that_is_not_read_does_no_harm() -> None:
    assert read(workbook(("Item", "Qty", "Note"), ("bun", 7, datetime(2031, 5, 3))))[1] == []


# openpyxl writes formulas without their results, as every program does that does not reckon.
def test_a_formula_whose_result_was_not_saved_is_refused_with_its_cell() -> None:
    _, (problem,) = read(workbook(HEADER, ("bun", "=3+4", "08:00"), ("bun", 8)))
    assert problem.startswith("orders.xlsx, sheet 'Orders', cell B2: the result of this formula was not saved; open")


def test_a_cell_without_a_title_is_refused_with_its_cell() -> None:
    _, (problem,) = read(workbook(("Item", "Qty"), ("bun", 7, "late"), ("bun", 8)))
    assert problem.startswith("orders.xlsx, sheet 'Orders', cell C2: 'late' stands in a column without a title; give")


def test_the_sheet_named_orders_is_read_whatever_else_there_is() -> None:
    data = workbook(("Staff",), title="People", ORDERS=[HEADER, ("bun", 7)])
    assert read(data)[0] == [{"product": "bun", "quantity": 7}]


def test_the_only_sheet_with_anything_in_it_is_read() -> None:
    assert read(workbook(HEADER, ("bun", 7), title="Sheet1", Sheet2=[], Sheet3=[]))[0] != []


def test_which_of_several_sheets_is_meant_is_asked() -> None:
    data = workbook(HEADER, ("bun", 7), title="Friday", Saturday=[HEADER, ("bun", 8)])
    assert "has the sheets 'Friday', 'Saturday'; name the one with the orders 'Orders'" in refused(data)


def test_a_header_that_is_not_understood_is_refused_with_its_cell() -> None:
    for titles, told in (
        (("Itm", "Qty"), "cell A1: 'Itm' is no column"),
        (("Item", "Qty", "Date"), "cell C1: the column 'Date': a plan"),
    ):
        _, problems = read(workbook(titles, ("bun", 7)))
        assert [problem.startswith(f"orders.xlsx, sheet 'Orders', {told}") for problem in problems] == [True]


def test_an_empty_workbook_is_refused() -> None:
    assert "this file is empty" in refused(workbook())


def test_a_workbook_that_unpacks_to_too_much_is_refused() -> None:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b" " * 60_000_000)
    assert "far too large" in refused(file.getvalue())


def test_without_the_library_it_is_said_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    assert "install it with: pip install 'stationplan[spreadsheet]', or save the sheet as CSV" in refused(b"PK")


def assert_read_or_refused(data: bytes) -> None:
    """Anything but an UnreadableFile would end the test."""
    try:
        orders, problems = read(data)
    except UnreadableFile:
        return
    assert isinstance(orders, list)
    assert all(problem.startswith("orders.xlsx") for problem in problems)


GOOD = workbook(HEADER, ("bun", 7, time(8, 0)), ("rye bun", 8, time(9, 30)))


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.integers(0, len(GOOD) - 1), st.integers(0, 255)), min_size=1, max_size=20))
def test_a_damaged_workbook_is_read_or_refused(changes: list[tuple[int, int]]) -> None:
    data = bytearray(GOOD)
    for position, value in changes:
        data[position] = value
    assert_read_or_refused(bytes(data))


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_workbook_with_damaged_xml_is_read_or_refused(data: st.DataObject) -> None:
    file = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(GOOD)) as old, zipfile.ZipFile(file, "w") as new:
        spoilt = data.draw(st.sampled_from(old.namelist()))
        for name in old.namelist():
            text = old.read(name)
            if name == spoilt:
                start = data.draw(st.integers(0, len(text)))
                end = data.draw(st.integers(start, len(text)))
                text = text[:start] + data.draw(st.sampled_from([b"", b"<", b"-1", b"x", b"1e999"])) + text[end:]
            new.writestr(name, text)
    assert_read_or_refused(file.getvalue())


def test_a_scenario_names_a_workbook_as_any_other_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "scenario.yaml").write_text(VALID.partition("orders:\n")[0] + "orders: orders.xlsx\n", encoding="utf-8")
    rows = [HEADER, ("lantern bun", 240, time(17, 30)), ("lantern bnu", 7.5, "tea")]
    (tmp_path / "orders.xlsx").write_bytes(workbook(*rows[:2]))
    loaded = load(tmp_path)
    assert [(order.product, order.quantity, order.due) for order in loaded.scenario.orders] == [
        ("lantern bun", 240, 17 * 60 + 30)
    ]
    assert loaded.where(("orders", 0, "quantity")).endswith("orders.xlsx, sheet 'Orders', cell B2")
    (tmp_path / "orders.xlsx").write_bytes(workbook(*rows))
    with pytest.raises(InvalidScenario) as caught:
        load(tmp_path)
    where = f"{tmp_path / 'orders.xlsx'}, sheet 'Orders', cell "
    told = [str(problem).removeprefix(where) for problem in caught.value.problems]
    assert [line.partition(":")[0] for line in told] == ["B3", "C3"]
    assert "'tea' is not a time of day" in told[1]
