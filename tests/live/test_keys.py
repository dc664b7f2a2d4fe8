"""An event that is sent again with its key is recorded once, whoever else records in between."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path

import pytest

from stationplan.live.errors import EventError
from stationplan.live.record import Log, add_event, last_number
from stationplan.live.recording import understood

from .conftest import MOMENT, Tell


def send(shift: Path, words: str, key: str | None, moment: str = MOMENT) -> int:
    make = lambda log: understood(log, [words], now=400, who="Ida")  # noqa: E731
    return add_event(shift, make, moment, key=key).number


def test_an_event_with_a_key_is_recorded_once(shift: Path, tell: Tell, log: Callable[[], Log]) -> None:
    assert send(shift, "started Aa1", "one") == 1
    assert tell("finished Aa1", now=400).number == 2
    assert send(shift, "started Aa1", "one", "later") == 1
    assert [entry.event.kind for entry in log().events] == ["started", "finished"]
    again = add_event(shift, lambda _: pytest.fail("it was made again"), "later", key="one")
    assert again == log().events[0]


def test_other_keys_and_no_key_are_other_events(shift: Path, log: Callable[[], Log]) -> None:
    assert [send(shift, "note x", key) for key in ("one", "two", None, None)] == [1, 2, 3, 4]
    assert last_number(shift) == log().last == 4


def test_what_was_refused_may_be_sent_again_with_its_key(shift: Path, tell: Tell) -> None:
    with pytest.raises(EventError):
        send(shift, "finished Aa1", "one")
    tell("started Aa1", now=400)
    assert send(shift, "finished Aa1", "one") == 2


def test_an_event_and_its_key_are_recorded_together_or_not_at_all(shift: Path, log: Callable[[], Log]) -> None:
    with closing(sqlite3.connect(shift, isolation_level=None)) as file:
        file.execute("CREATE TRIGGER full BEFORE INSERT ON sent BEGIN SELECT RAISE(ABORT, 'the disk is full'); END")
    with pytest.raises(Exception, match="the disk is full"):
        send(shift, "note x", "one")
    assert log().events == ()
    with closing(sqlite3.connect(shift, isolation_level=None)) as file:
        file.execute("DROP TRIGGER full")
    assert send(shift, "note x", "one") == 1


def test_two_who_send_the_same_at_once_record_it_once(shift: Path, log: Callable[[], Log]) -> None:
    with ThreadPoolExecutor(4) as pool:
        numbers = [pool.submit(send, shift, "note x", f"key {number % 2}") for number in range(8)]
    assert sorted(number.result() for number in numbers) == [1] * 4 + [2] * 4
    assert log().last == 2


@pytest.mark.parametrize("sql", ["DELETE FROM sent", "UPDATE sent SET number = 7"])
def test_keys_stay(shift: Path, sql: str) -> None:
    send(shift, "note x", "one")
    with closing(sqlite3.connect(shift, isolation_level=None)) as file, pytest.raises(sqlite3.IntegrityError):
        file.execute(sql)
