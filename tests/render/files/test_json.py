"""The tables as JSON."""

from __future__ import annotations

import json
from datetime import date, datetime, timedelta
from typing import Any

from stationplan.plan.document import Plan
from stationplan.render.files.json import write
from stationplan.render.files.tables import TABLES
from stationplan.render.files.wishes import Wishes

from .conftest import AWKWARD, plan_of

DAY = date(2026, 12, 31)


def read(plan: Plan, day: date | None = DAY) -> dict[str, Any]:
    document: dict[str, Any] = json.loads(write(plan, Wishes(date=day)))
    return document


def test_a_document_has_every_table(plan: Plan) -> None:
    document = read(plan)
    assert (document["format"], document["version"]) == ("stationplan tables", 1)
    assert (document["name"], document["date"]) == (plan.name, "2026-12-31")
    assert list(document)[-len(TABLES) :] == list(TABLES)


def test_batches_come_back_with_their_times_places_and_people(plan: Plan) -> None:
    found = {row["label"]: row for row in read(plan)["batches"]}
    assert len(found) == len(plan.batches)
    for batch in plan.batches:
        row = found[batch.label]
        assert datetime.fromisoformat(row["start"]) == datetime(2026, 12, 31) + timedelta(minutes=batch.start)
        assert datetime.fromisoformat(row["end"]) == datetime(2026, 12, 31) + timedelta(minutes=batch.end)
        assert row["on"] == [seat.station for seat in batch.seats]
        assert set(row["people"]) == {hand.person for hand in batch.hands}
        assert row["critical"] is (batch.label in [link.label for link in plan.chain])


def test_without_a_date_there_are_times_of_day() -> None:
    document = read(plan_of("docs/examples/shift-overnight"), None)
    [wait] = document["waits"]
    assert document["date"] is None
    assert (wait["start day"], wait["start"], wait["end day"], wait["end"]) == (1, "23:30", 2, "00:15")


def test_names_are_as_they_were_written(awkward_plan: Plan) -> None:
    document = read(awkward_plan)
    assert AWKWARD[0] in [row["item"] for row in document["batches"]]
    assert AWKWARD[1] in [row["person"] for row in document["hands"]]
