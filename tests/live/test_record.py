"""The record of a shift: append-only, sealed, and readable or refused with a sentence."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from stationplan.live.errors import EventError, RecordFileError
from stationplan.live.record import APPLICATION, VERSION, Log, add_event, add_plan, create, read
from stationplan.plan.document import Plan
from stationplan.plan.store import save

from .conftest import DAY, MOMENT, Tell


def query(path: Path, sql: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path, isolation_level=None)) as file:
        return file.execute(sql).fetchall()


def test_a_new_record_holds_the_plan_and_its_day(shift: Path, plan: Plan, log: Callable[[], Log]) -> None:
    assert (log().day, log().first, log().plan, log().events, log().last) == (DAY, plan, plan, (), 0)
    assert [path.name for path in shift.parent.iterdir()] == [shift.name]


def test_a_record_that_is_there_is_not_replaced(shift: Path, plan: Plan, tell: Tell, log: Callable[[], Log]) -> None:
    tell("note it is there", now=400)
    with pytest.raises(FileExistsError):
        create(shift, plan, DAY, MOMENT)
    assert log().last == 1
    assert [path.name for path in shift.parent.iterdir()] == [shift.name]


def test_events_are_numbered_and_kept_with_who_and_when(tell: Tell, log: Callable[[], Log]) -> None:
    assert [tell(words, now=400).number for words in ("started Aa1", "note one", "finished Aa1")] == [1, 2, 3]
    assert [(entry.number, entry.event.kind, entry.event.who) for entry in log().events] == [
        (1, "started", "Ida"),
        (2, "note", "Ida"),
        (3, "finished", "Ida"),
    ]
    assert {entry.moment for entry in log().events} == {MOMENT}


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE entry SET document = '{}' WHERE number = 1",
        "DELETE FROM entry WHERE number = 1",
        "DELETE FROM entry",
        "INSERT INTO entry VALUES (7, '', 'event', '{}', '')",
        "REPLACE INTO entry VALUES (1, '', 'event', '{}', '')",
    ],
)
def test_nothing_is_changed_or_removed_or_left_out(shift: Path, tell: Tell, log: Callable[[], Log], sql: str) -> None:
    tell("note one", now=400)
    before = log()
    with pytest.raises(sqlite3.IntegrityError, match="entries of a shift are"):
        query(shift, sql)
    assert log() == before


def test_the_file_syncs_before_an_event_counts_and_keeps_a_log_of_its_own(shift: Path) -> None:
    assert query(shift, "PRAGMA journal_mode") == [("wal",)]
    # The default of SQLite in write-ahead mode is FULL (2) only where it was built so; the record asks for it.
    assert "PRAGMA synchronous = FULL" in Path(read.__code__.co_filename).read_text(encoding="utf-8")


def test_an_acknowledged_event_stands_in_the_file_itself(shift: Path, tell: Tell, tmp_path: Path) -> None:
    tell("note one", now=400)
    copy = tmp_path / "copy.shift"
    copy.write_bytes(shift.read_bytes())
    assert read(copy).last == 1


def test_an_event_that_is_refused_leaves_nothing(shift: Path, log: Callable[[], Log]) -> None:
    def refuse(log: Log) -> None:
        raise EventError("no")

    before = shift.read_bytes()
    with pytest.raises(EventError, match="no"):
        add_event(shift, refuse, MOMENT)  # type: ignore[arg-type]
    assert shift.read_bytes() == before


def test_a_plan_is_in_force_once_it_is_accepted(shift: Path, plan: Plan, tell: Tell, log: Callable[[], Log]) -> None:
    tell("note one", now=400)
    other = plan.model_copy(update={"name": "after the oven came back"})
    assert add_plan(shift, other, accepted=False, after=1, moment=MOMENT) == 2
    assert (log().plan, log().proposed, log().known) == (plan, other, 0)
    assert add_plan(shift, other, accepted=True, after=2, moment=MOMENT) == 3
    assert (log().first, log().plan, log().proposed, log().known) == (plan, other, None, 3)
    assert tell("note two", now=400).number == 4


def test_a_plan_that_does_not_know_the_last_event_is_refused(shift: Path, plan: Plan, tell: Tell) -> None:
    tell("note one", now=400)
    with pytest.raises(EventError, match="entry 1 was recorded while this plan was made; plan once more"):
        add_plan(shift, plan, accepted=True, after=0, moment=MOMENT)


def test_what_is_no_record_is_refused_with_a_sentence(tmp_path: Path, plan: Plan) -> None:
    save(plan, tmp_path / "plan.json")
    (tmp_path / "empty.shift").touch()
    query(tmp_path / "other.db", "CREATE TABLE t (x)")
    for name in ("plan.json", "empty.shift", "other.db"):
        with pytest.raises(RecordFileError, match=f"{name}: this is not the record of a shift; begin one: stationplan"):
            read(tmp_path / name)
    with pytest.raises(FileNotFoundError):
        read(tmp_path / "none.shift")


def test_a_record_of_a_newer_version_is_refused(shift: Path) -> None:
    query(shift, f"PRAGMA user_version = {VERSION + 1}")
    with pytest.raises(RecordFileError, match=f"of version {VERSION + 1}, and this program reads version {VERSION}"):
        read(shift)
    assert query(shift, "PRAGMA application_id") == [(APPLICATION,)]


def test_an_entry_that_was_tampered_with_is_noticed(shift: Path, tell: Tell) -> None:
    tell("note one", now=400)
    tell("note two", now=400)
    query(shift, "DROP TRIGGER entries_stay_as_they_are")
    [[document]] = query(shift, "SELECT document FROM entry WHERE number = 1")
    changed = json.dumps({**json.loads(str(document)), "text": "won"})
    query(shift, f"UPDATE entry SET document = '{changed}' WHERE number = 1")
    with pytest.raises(RecordFileError, match="this record is damaged, from entry 1 on; keep the file"):
        read(shift)


def test_a_removed_entry_is_noticed(shift: Path, tell: Tell) -> None:
    for words in ("note one", "note two", "note three"):
        tell(words, now=400)
    query(shift, "DROP TRIGGER entries_stay")
    query(shift, "DELETE FROM entry WHERE number = 2")
    with pytest.raises(RecordFileError, match="this record is damaged, from entry 2 on"):
        read(shift)
