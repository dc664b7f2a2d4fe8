"""The record of a shift: one file, only ever added to, that no crash can take an acknowledged event from.

The file is an SQLite database. Everything stands in one table of numbered entries: number 0 is how the shift began,
with its plan; then come the events and the plans made since. Each entry is sealed with a checksum over itself and the
entry before it, so that a damaged file is noticed, and triggers refuse to change or remove one.

An event is written in a transaction of its own that begins by locking the file, so that whoever records at the same
time sees it or is seen by it. It is synced to the disk before it counts, and then moved from the log beside the file
(``-wal``) into the file itself.
"""

from __future__ import annotations

import errno
import hashlib
import json
import os
import secrets
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Literal

from pydantic import BaseModel

from stationplan.live.errors import NotRecordedError, OutdatedError, RecordFileError
from stationplan.live.events import EVENT, Accepted, Event, Left, Recorded
from stationplan.live.state import ShiftState, fold, standing
from stationplan.plan.document import Plan

Kind = Literal["shift", "event", "proposed", "accepted"]

APPLICATION = 0x53544150
"""The application_id of the file, so that it is known for what it is."""
VERSION = 1
_MAGIC = b"SQLite format 3\0"
PATIENCE = 20
"""Seconds to wait while others write."""
_PASSING = (
    sqlite3.SQLITE_BUSY,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_LOCKED,
    sqlite3.SQLITE_NOMEM,
    sqlite3.SQLITE_PERM,
    sqlite3.SQLITE_READONLY,
)
"""Errors that say nothing against the file."""
_MOMENT = 2
"""Seconds to try to bring an event home in."""
_NOTHING, _NOT_NOW = "nothing is recorded", "this record cannot be read now"
_SCHEMA = f"""
PRAGMA application_id = {APPLICATION};
PRAGMA user_version = {VERSION};
CREATE TABLE entry (
    number INTEGER PRIMARY KEY,
    moment TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('shift', 'event', 'proposed', 'accepted')),
    document TEXT NOT NULL,
    seal TEXT NOT NULL
) STRICT;
CREATE TRIGGER entries_stay BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries of a shift are never removed'); END;
CREATE TRIGGER entries_stay_as_they_are BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'entries of a shift are never changed'); END;
CREATE TRIGGER entries_follow_each_other BEFORE INSERT ON entry
WHEN NEW.number <> (SELECT COALESCE(MAX(number) + 1, 0) FROM entry)
BEGIN SELECT RAISE(ABORT, 'entries of a shift are numbered without gaps'); END;
CREATE TABLE sent (
    key TEXT PRIMARY KEY,
    number INTEGER NOT NULL UNIQUE REFERENCES entry (number)
) STRICT;
CREATE TRIGGER keys_stay BEFORE DELETE ON sent
BEGIN SELECT RAISE(ABORT, 'keys of entries are never removed'); END;
CREATE TRIGGER keys_stay_as_they_are BEFORE UPDATE ON sent
BEGIN SELECT RAISE(ABORT, 'keys of entries are never changed'); END;
"""


@dataclass(frozen=True)
class Log:
    """Everything in a record.

    Attributes:
        day: the first day of the shift.
        first: the plan that the shift began with.
        plan: the plan in force.
        proposed: a newer plan that nobody has accepted or left yet.
        proposed_as: number of its entry, 0 without one.
        known: number of the entry since which the plan in force is.
        events: the events, by number.
        last: number of the last entry.
        identity: the seal of its first entry, which no other shift has.
    """

    day: date
    first: Plan
    plan: Plan
    proposed: Plan | None
    proposed_as: int
    known: int
    events: tuple[Recorded, ...]
    last: int
    identity: str

    @cached_property
    def state(self) -> ShiftState:
        """What the events make of the shift."""
        return fold(self.plan, self.events, scenario=self.first.scenario, known=self.known)


@dataclass(frozen=True)
class _Entry:
    number: int
    moment: str
    kind: Kind
    document: str
    seal: str


def create(path: Path, plan: Plan, day: date, moment: str) -> None:
    """Begin the record of a shift; the file is there whole or not at all.

    Args:
        path: the new file.
        plan: the plan that the shift begins with, which has passed its check.
        day: its first day.
        moment: the wall clock, ISO 8601.

    Raises:
        FileExistsError: when there is such a file already.
        OSError: when it cannot be written.
        NotRecordedError: when the disk is full.
    """
    path = path.resolve()
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    document = json.dumps({"day": day.isoformat(), "plan": plan.model_dump(mode="json")}, ensure_ascii=False)
    try:
        part.open("x").close()
        with _guarded(part, _NOTHING), closing(_connect(part)) as file:
            file.executescript(f"BEGIN IMMEDIATE; {_SCHEMA} COMMIT;")
            file.execute("BEGIN IMMEDIATE")
            _insert(file, _sealed(0, moment, "shift", document, ""))
            file.execute("COMMIT")
            file.execute("PRAGMA journal_mode = WAL")
        _name(part, path)
    finally:
        for name in (part.name, f"{part.name}-wal", f"{part.name}-shm", f"{part.name}-journal"):
            with suppress(OSError):
                part.with_name(name).unlink()
    _settle(path.parent)


def read(path: Path) -> Log:
    """Read a record.

    Args:
        path: the file.

    Returns:
        Everything in it.

    Raises:
        OSError: when the file cannot be read.
        RecordFileError: when it is no record, a newer one, or damaged.
    """
    with _guarded(path, _NOT_NOW), _opened(path) as file:
        return _log(path, _entries(path, file))


def last_number(path: Path) -> int:
    """The number of the last entry, without reading or checking anything else: to ask often whether there is more.

    Raises:
        RecordFileError: when the file is damaged.
        NotRecordedError: when it cannot be told now.
    """
    with _guarded(path, _NOT_NOW), closing(_connect(path)) as file:
        [number] = file.execute("SELECT MAX(number) FROM entry").fetchone()
    return int(number)


def add_event(path: Path, make: Callable[[Log], Event], moment: str, *, key: str | None = None) -> Recorded:
    """Record an event, which counts once this returns.

    Args:
        path: the file.
        make: makes the event from what is recorded at that moment, while nobody else can record; an
            :class:`EventError` that it raises leaves everything as it is.
        moment: the wall clock, ISO 8601.
        key: for a sender who may have to send it again: with a key that an event was recorded with, nothing is made or
            recorded.

    Returns:
        The event with its number; with a key of an earlier one, that one.

    Raises:
        EventError: what ``make`` has raised.
        OSError: when the file cannot be read.
        RecordFileError: when it is no record, a newer one, or damaged.
        NotRecordedError: when it could not be written.
    """
    entry = _add(path, lambda log: ("event", make(log)), moment, key)
    return Recorded(entry.number, entry.moment, EVENT.validate_json(entry.document))


def add_plan(path: Path, plan: Plan, *, accepted: bool, after: int, moment: str) -> int:
    """Record a plan that has been made anew; once accepted it is the one in force.

    Args:
        path: the file.
        plan: the plan, which has passed its check.
        accepted: whether it is in force from now on, or only proposed.
        after: number of the last entry that it reckons with.
        moment: the wall clock, ISO 8601.

    Returns:
        The number of its entry.

    Raises:
        OutdatedError: when something has been recorded since.
        OSError: when the file cannot be read.
        RecordFileError: when it is no record, a newer one, or damaged.
        NotRecordedError: when it could not be written.
    """

    def entry(log: Log) -> tuple[Kind, Plan]:
        if log.last != after:
            raise OutdatedError(f"entry {log.last} was recorded while this plan was made; plan once more")
        return "accepted" if accepted else "proposed", plan

    return _add(path, entry, moment).number


def _add(path: Path, make: Callable[[Log], tuple[Kind, BaseModel]], moment: str, key: str | None = None) -> _Entry:
    with _guarded(path, _NOTHING), _opened(path) as file:
        file.execute("BEGIN IMMEDIATE")
        entries = _entries(path, file)
        for (number,) in file.execute("SELECT number FROM sent WHERE key = ?", (key,)):
            return entries[int(number)]
        kind, document = make(_log(path, entries))
        entry = _sealed(len(entries), moment, kind, document.model_dump_json(), entries[-1].seal)
        _insert(file, entry)
        if key is not None:
            file.execute("INSERT INTO sent (key, number) VALUES (?, ?)", (key, entry.number))
        file.execute("COMMIT")
        _bring_home(file)
    return entry


def _bring_home(file: sqlite3.Connection) -> None:
    """Move what is recorded from the log beside the file into the file, so that it survives even the loss of the log.

    It is safe on the disk already; while somebody else moves or reads, this is tried again for a moment.
    """
    with suppress(sqlite3.Error):
        file.execute(f"PRAGMA busy_timeout = {1000 * _MOMENT}")
        end = time.monotonic() + _MOMENT
        while file.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0] and time.monotonic() < end:
            time.sleep(0.01)


def _sealed(number: int, moment: str, kind: Kind, document: str, before: str) -> _Entry:
    text = json.dumps([before, number, moment, kind, document])
    return _Entry(number, moment, kind, document, hashlib.sha256(text.encode("utf-8")).hexdigest())


def _insert(file: sqlite3.Connection, entry: _Entry) -> None:
    row = (entry.number, entry.moment, entry.kind, entry.document, entry.seal)
    file.execute("INSERT INTO entry (number, moment, kind, document, seal) VALUES (?, ?, ?, ?, ?)", row)


def _entries(path: Path, file: sqlite3.Connection) -> list[_Entry]:
    """All entries; each must be the one that was sealed."""
    rows = file.execute("SELECT number, moment, kind, document, seal FROM entry ORDER BY number").fetchall()
    found: list[_Entry] = []
    for row in rows:
        entry = _Entry(*row)
        before = found[-1].seal if found else ""
        if entry.number != len(found) or entry != _sealed(
            entry.number, entry.moment, entry.kind, entry.document, before
        ):
            raise RecordFileError(f"{path}: this record is damaged, from entry {len(found)} on; {_KEEP}")
        found.append(entry)
    if not found:
        raise RecordFileError(f"{path}: this record is empty; {_KEEP}")
    return found


_KEEP = "keep the file, and begin a new shift from a copy of it that is whole, or from a plan"


def _log(path: Path, entries: list[_Entry]) -> Log:
    try:
        head = json.loads(entries[0].document)
        day, first = date.fromisoformat(head["day"]), Plan.model_validate(head["plan"])
        events = tuple(
            Recorded(entry.number, entry.moment, EVENT.validate_json(entry.document))
            for entry in entries
            if entry.kind == "event"
        )
        forces = {entry.number: entry.number for entry in entries if entry.kind == "accepted"}
        forces |= {entry.number: entry.event.plan for entry in events if isinstance(entry.event, Accepted)}
        accepted = max(forces, default=0)
        plan = Plan.model_validate_json(entries[forces[accepted]].document) if accepted else first
        number = max((entry.number for entry in entries[accepted + 1 :] if entry.kind == "proposed"), default=0)
        if any(isinstance(entry.event, Left) and entry.event.plan == number for entry in standing(events)):
            number = 0
        proposed = Plan.model_validate_json(entries[number].document) if number else None
    except (ValueError, LookupError, TypeError) as error:
        raise RecordFileError(f"{path}: this record holds something that this program cannot read; {_KEEP}") from error
    return Log(day, first, plan, proposed, number, accepted, events, entries[-1].number, entries[0].seal)


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    """The file, once it is clear that it is a record of a version that can be read."""
    with path.open("rb") as file:
        head = file.read(len(_MAGIC))
    if head and head != _MAGIC:
        raise RecordFileError(f"{path}: this is not the record of a shift; begin one: stationplan shift start PLAN")
    with closing(_connect(path)) as connection:
        [application] = connection.execute("PRAGMA application_id").fetchone()
        [version] = connection.execute("PRAGMA user_version").fetchone()
        if application != APPLICATION:
            raise RecordFileError(f"{path}: this is not the record of a shift; begin one: stationplan shift start PLAN")
        if version != VERSION:
            raise RecordFileError(
                f"{path}: this record is of version {version}, and this program reads version {VERSION}"
            )
        [sound] = connection.execute("PRAGMA quick_check(1)").fetchone()
        if sound != "ok":
            raise RecordFileError(f"{path}: this record is damaged ({sound}); {_KEEP}")
        yield connection


def _connect(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=rw", uri=True, timeout=PATIENCE, isolation_level=None)
    connection.text_factory = lambda text: text.decode("utf-8", "replace")  # a seal will not fit what was replaced
    connection.execute("PRAGMA synchronous = FULL")
    return connection


@contextmanager
def _guarded(path: Path, outcome: str) -> Iterator[None]:
    """Tell a damaged file from one that cannot be used at the moment: no room, no permission, others who write."""
    try:
        yield
    except UnicodeDecodeError as error:
        # What SQLite says of a garbled file may itself be garbled.
        raise RecordFileError(f"{path}: this record is damaged; {_KEEP}") from error
    except sqlite3.Error as error:
        if _primary(error) in _PASSING:
            raise NotRecordedError(f"{path}: {outcome}: {error}") from error
        raise RecordFileError(f"{path}: this record is damaged ({error}); {_KEEP}") from error


def _primary(error: sqlite3.Error) -> int:
    """The kind of an error of SQLite, without what it says closer."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT)
    return sqlite3.SQLITE_CORRUPT if code == sqlite3.SQLITE_IOERR_SHORT_READ else code & 0xFF


def _name(part: Path, path: Path) -> None:
    """Give a file its name unless there is such a file: linking refuses, where renaming would replace it."""
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:
        # Some memory sticks know no links.
        if path.exists():
            raise FileExistsError(errno.EEXIST, "there is such a file already", str(path)) from None
        part.replace(path)


def _settle(folder: Path) -> None:
    """Make the new name last through a power cut, where the system lets a folder be flushed."""
    with suppress(OSError, AttributeError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
