"""Comma-separated values, held against RFC 4180."""

from __future__ import annotations

import csv
import io
import re
from datetime import date, datetime, timedelta

import pytest

from stationplan.plan.document import Plan
from stationplan.render.files.separated import write
from stationplan.render.files.tables import TABLES
from stationplan.render.files.wishes import Wishes

from .conftest import AWKWARD, plan_of

# RFC 4180 section 2, with the characters beyond ASCII that the charset of text/csv allows.
_FIELD = r'(?:"(?:[^"]|"")*"|[^",\r\n]*)'
FILE = re.compile(rf"(?:{_FIELD}(?:,{_FIELD})*\r\n)+")


def read(plan: Plan, table: str, day: date | None = None) -> list[dict[str, str]]:
    text = write(plan, Wishes(date=day, table=table)).decode("utf-8")
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


@pytest.mark.parametrize("table", TABLES)
def test_a_file_follows_the_grammar(plan: Plan, table: str) -> None:
    text = write(plan, Wishes(table=table)).decode("utf-8")
    assert FILE.fullmatch(text)
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert len({len(row) for row in rows}) == 1  # section 2, rule 4


def test_batches_come_back_with_their_times_places_and_people(plan: Plan) -> None:
    rows = {row["label"]: row for row in read(plan, "batches", date(2026, 12, 31))}
    assert len(rows) == len(plan.batches)
    for batch in plan.batches:
        row = rows[batch.label]
        midnight = datetime(2026, 12, 31)
        assert datetime.fromisoformat(row["start"]) == midnight + timedelta(minutes=batch.start)
        assert datetime.fromisoformat(row["end"]) == midnight + timedelta(minutes=batch.end)
        assert int(row["minutes"]) == batch.end - batch.start
        assert row["on"].removeprefix("'") == "; ".join(seat.station for seat in batch.seats)
        assert row["people"].removeprefix("'") == "; ".join(dict.fromkeys(hand.person for hand in batch.hands))


def test_hands_come_back(plan: Plan) -> None:
    shown = [
        (row["person"].removeprefix("'"), row["label"], row["doing"], row["minutes"]) for row in read(plan, "hands")
    ]
    real = [(h.person, batch.label, h.doing, str(h.end - h.start)) for batch in plan.batches for h in batch.hands]
    assert sorted(shown) == sorted(real)


def test_without_a_date_there_are_times_of_day_with_their_days() -> None:
    [row] = read(plan_of("docs/examples/shift-overnight"), "waits")
    assert (row["start day"], row["start"], row["end day"], row["end"]) == ("1", "23:30", "2", "00:15")


def test_with_a_date_times_are_dates_and_times_of_day() -> None:
    [row] = read(plan_of("docs/examples/shift-overnight"), "waits", date(2026, 2, 28))
    assert (row["start"], row["end"]) == ("2026-02-28 23:30", "2026-03-01 00:15")


def test_no_text_begins_like_a_formula_and_no_number_is_changed(awkward_plan: Plan) -> None:
    # OWASP, CSV Injection: a cell that begins with = + - @, tab, carriage return or line feed, or a wide one of them.
    for table in TABLES:
        for row in read(awkward_plan, table):
            assert [cell for cell in row.values() if cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))] == []
    [oven] = {row["station"] for row in read(awkward_plan, "stations")} - {"ring"}
    assert oven == f"'{AWKWARD[2]}"
    assert {row["celsius"] for row in read(awkward_plan, "stations")} == {"", "180"}


@pytest.mark.parametrize("name", ["=1", "+1", "-1", "@a", "\ta", "\na", "\ra", "＝1", "＋1", "－1", "＠a"])  # noqa: RUF001
def test_every_beginning_of_a_formula_is_made_harmless(name: str) -> None:
    plan = plan_of("docs/examples/shift-overnight").model_copy(update={"people": (name,)})
    hand = plan.batches[0].hands[0].model_copy(update={"person": name})
    plan = plan.model_copy(update={"batches": (plan.batches[0].model_copy(update={"hands": (hand,)}),)})
    [row] = read(plan, "hands")
    assert row["person"] == f"'{name}".replace("\r", "\n")


def test_line_feeds_quotes_and_commas_come_back() -> None:
    plan = plan_of("docs/examples/shift-overnight")
    step = 'fold\nand "spread", twice'
    batches = tuple(batch.model_copy(update={"step": step}) for batch in plan.batches)
    assert {row["step"] for row in read(plan.model_copy(update={"batches": batches}), "batches")} == {step}


def test_without_a_table_it_is_the_first(plan: Plan) -> None:
    assert write(plan, Wishes()) == write(plan, Wishes(table="batches"))


def test_numbers_have_at_most_six_decimals() -> None:
    [cream] = [row for row in read(plan_of("scenarios/first-shift"), "quantities") if row["item"] == "lemon cream"]
    # 90 tartlets at 30 g with 3 % lost.
    assert cream["needed"] == "2783.505155"
    assert (cream["surplus"], cream["unit"]) == ("0", "g")
