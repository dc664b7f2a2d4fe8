"""Whatever ends a process, what it has acknowledged is there, and what it has not is there whole or not at all."""

from __future__ import annotations

import json
import random
import resource
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from stationplan.live import record
from stationplan.live.errors import NotRecordedError, RecordFileError
from stationplan.live.events import Note
from stationplan.live.record import Log, add_event, create, read
from stationplan.plan.document import Plan

from .conftest import DAY, MOMENT, Tell

ROOT = Path(__file__).parents[2]
PROGRAM = "from stationplan.cli import main; main(prog_name='stationplan')"


@pytest.fixture
def small(plan: Plan, tmp_path: Path) -> Path:
    """A record whose plan takes no time to read: the record knows nothing of what is in it."""
    nothing = {"batches": (), "stays": (), "changes": (), "orders": (), "chain": (), "reasons": ()}
    path = tmp_path / "small.shift"
    create(path, plan.model_copy(update=nothing), DAY, MOMENT)
    return path


def test_two_hundred_kills_take_no_acknowledged_event(small: Path) -> None:
    command = [sys.executable, "-m", "tests.live.nursery", str(small), "1", "200"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    seen = json.loads(done.stdout)
    events = {entry.number: entry.event for entry in read(small).events}
    assert len(seen["acknowledged"]) >= 200
    for number, (who, count) in seen["acknowledged"].items():
        event = events[int(number)]
        assert isinstance(event, Note)
        assert (event.who, event.text) == (who, str(count))
    # No half event, none twice, and each writer's in the order in which they wrote them.
    assert list(events) == list(range(1, len(events) + 1))
    for name in ("Ida", "Odo"):
        own = [int(event.text) for event in events.values() if isinstance(event, Note) and event.who == name]
        assert own == list(range(len(own)))
    assert seen["damaged"] > 0


@pytest.fixture
def begun(shift: Path, tell: Tell) -> Path:
    """A shift whose first batch is running."""
    tell("started Aa1", now=361)
    return shift


def test_kills_of_processes_that_plan_anew_leave_the_old_plan_or_the_new_one(begun: Path) -> None:
    # More of them: python -m tests.benchmark.replanning_kills
    command = [sys.executable, "-m", "tests.live.replanning_nursery", str(begun), "1", "16"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    seen = json.loads(done.stdout)
    assert (seen["kills"], seen["replans"]) == (16, 3)
    assert seen["events"] > 0
    assert seen["plans"] > 0


def test_one_who_plans_anew_at_once_and_one_who_records_leave_one_order_and_a_plan_for_it(begun: Path) -> None:
    program = [sys.executable, "-c", PROGRAM, "shift", "record", str(begun), "--now", "06:12"]
    until = [f"until 06:{minute}" for minute in (25, 50)]
    planning, notes = [], []
    for number, words in enumerate(until):
        replanning = [*program, "--auto", "overrunning", "Aa1", *words.split()]
        planning.append(subprocess.Popen(replanning, stdout=subprocess.PIPE, text=True))
        while planning[-1].poll() is None:
            note = subprocess.run([*program, "note", str(len(notes))], capture_output=True, text=True, check=True)
            notes.append(int(note.stdout.split(":")[0]))
            if len(notes) >= 2 * (number + 1):
                planning[-1].wait()
    told = [process.communicate()[0] for process in planning]
    assert [process.returncode for process in planning] == [0, 0]
    log = read(begun)
    events = {entry.number: entry.event for entry in log.events}
    assert [events[number].kind for number in notes] == ["note"] * len(notes)
    assert [event.text for event in events.values() if isinstance(event, Note)] == list(map(str, range(len(notes))))
    overrun = [number for number, event in events.items() if event.kind == "overrunning"]
    assert [int(text.split(":")[0]) for text in told] == overrun
    # The plan in force reckons with the last of them, and was made after all that was recorded before it.
    assert max(overrun) < log.known == int(told[-1].splitlines()[-1].split(":")[0])
    assert next(batch for batch in log.plan.batches if batch.label == "Aa1").end == 410


def test_two_writers_at_once_record_everything_in_one_order(small: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from stationplan.live.record import add_event\n"
        "from stationplan.live.events import Note\n"
        "for count in range(60):\n"
        "    note = Note(at=400, who=sys.argv[2], text=str(count))\n"
        "    print(add_event(Path(sys.argv[1]), lambda log: note, 'now').number)\n"
    )
    writers = [
        subprocess.Popen([sys.executable, "-c", code, str(small), who], stdout=subprocess.PIPE, text=True)
        for who in ("Ida", "Odo")
    ]
    numbers = [list(map(int, writer.communicate()[0].split())) for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0]
    assert sorted(numbers[0] + numbers[1]) == list(range(1, 121))
    events = read(small).events
    for who, own in zip(("Ida", "Odo"), numbers, strict=True):
        assert [entry.number for entry in events if entry.event.who == who] == own
        assert [e.event.text for e in events if isinstance(e.event, Note) and e.event.who == who] == [
            str(count) for count in range(60)
        ]


@pytest.mark.parametrize(("room", "words"), [(4_096, "a little"), (40_000, "butter " * 9_000)])
def test_a_full_disk_is_told_and_nothing_acknowledged(
    shift: Path, log: Callable[[], Log], room: int, words: str
) -> None:
    command = [sys.executable, "-c", PROGRAM, "shift", "record", str(shift), "--now", "06:30", "note", words]
    done = subprocess.run(
        command,
        capture_output=True,
        text=True,
        check=False,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (room, room)),
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith(f"{shift}: nothing is recorded: ")
    assert done.stderr.count("\n") == 1
    assert log().events == ()
    assert add_event(shift, lambda log: Note(at=390, who="Ida", text="it fits again"), MOMENT).number == 1


def test_a_database_that_may_not_grow_is_told(
    shift: Path, log: Callable[[], Log], monkeypatch: pytest.MonkeyPatch
) -> None:
    connect = record._connect

    def no_room(path: Path) -> sqlite3.Connection:
        connection = connect(path)
        connection.execute("PRAGMA max_page_count = 1")
        return connection

    with monkeypatch.context() as patched:
        patched.setattr(record, "_connect", no_room)
        with pytest.raises(NotRecordedError, match="nothing is recorded: database or disk is full"):
            add_event(shift, lambda log: Note(at=390, who="Ida", text="butter " * 900), MOMENT)
    assert log().events == ()


@pytest.mark.parametrize("seed", range(40))
def test_a_damaged_file_is_refused_with_a_sentence_or_reads_as_it_was(shift: Path, tell: Tell, seed: int) -> None:
    for number in range(3):
        tell(f"note number {number}", now=400)
    before = read(shift)
    chance = random.Random(seed)
    content = bytearray(shift.read_bytes())
    if seed % 2:
        del content[chance.randrange(1, len(content)) :]
    else:
        for _ in range(chance.choice((1, 50))):
            content[chance.randrange(len(content))] ^= chance.randrange(1, 256)
    shift.write_bytes(content)
    try:
        found = "as it was" if read(shift) == before else "something else"
    except RecordFileError as error:
        found = str(error).removeprefix(f"{shift}: ")
    assert found == "as it was" or found.startswith("this ")
