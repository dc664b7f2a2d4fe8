"""Writers that are killed: run as a program, it forks processes that record, kills them, and looks at what is left.

Usage: python -m tests.live.nursery RECORD SEED KILLS. It prints what it has seen as JSON. Forking spares each writer
the imports, so that hundreds of kills fit into a test.
"""

from __future__ import annotations

import json
import os
import random
import select
import signal
import sys
import time
from pathlib import Path

from stationplan.live.errors import RecordFileError
from stationplan.live.events import Note
from stationplan.live.record import add_event, read

WRITERS = ("Ida", "Odo")


def write(path: Path, who: str, first: int, acknowledge: int) -> None:
    """Record notes without end, each acknowledged on a pipe once it is recorded."""
    for count in range(first, sys.maxsize):
        note = Note(at=400, who=who, text=str(count))
        entry = add_event(path, lambda _, note=note: note, "now")  # type: ignore[misc]
        os.write(acknowledge, f"{entry.number} {count}\n".encode())


def main(path: Path, seed: int, kills: int) -> dict[str, object]:
    """Kill writers, two at a time, until there have been enough kills.

    Returns:
        The acknowledged events, how many images of the moment of a kill were damaged on purpose, and how many of these
        were refused with a sentence.
    """
    chance = random.Random(seed)
    acknowledged: dict[int, tuple[str, int]] = {}
    counts = dict.fromkeys(WRITERS, 0)
    logs = refused = 0
    for _ in range(kills // len(WRITERS)):
        children = []
        for who in WRITERS:
            reading, writing = os.pipe()
            child = os.fork()
            if child == 0:
                os.close(reading)
                write(path, who, counts[who], writing)
            os.close(writing)
            children.append((who, child, reading))
        heard = {reading: b"" for _, _, reading in children}
        enough = chance.randint(1, 4)
        while b"".join(heard.values()).count(b"\n") < enough:
            for reading in select.select(list(heard), [], [])[0]:
                heard[reading] += os.read(reading, 4096)
        time.sleep(chance.uniform(0.0, 0.02))
        for who, child, reading in children:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            with os.fdopen(reading, "rb") as rest:
                for line in (heard[reading] + rest.read()).splitlines():
                    number, count = map(int, line.split())
                    acknowledged[number] = who, count
                    counts[who] = count + 1
        damaged = damage(path, chance)
        logs += damaged is not None
        if damaged is not None and not holds(damaged, acknowledged):
            refused += 1
        whole = {entry.number: entry.event for entry in read(path).events}
        # One that was recorded but not acknowledged has used its count up.
        for who in WRITERS:
            own = [int(event.text) for event in whole.values() if isinstance(event, Note) and event.who == who]
            counts[who] = max([counts[who], *(count + 1 for count in own)])
    return {"acknowledged": acknowledged, "damaged": logs, "refused": refused}


def damage(path: Path, chance: random.Random) -> Path | None:
    """A copy of the record whose log beside it is cut short or garbled; None where there is no such log."""
    log = path.with_name(f"{path.name}-wal")
    if not log.exists() or not log.stat().st_size:
        return None
    copy = path.with_name("copy.shift")
    copy.with_name(f"{copy.name}-shm").unlink(missing_ok=True)
    copy.write_bytes(path.read_bytes())
    content = bytearray(log.read_bytes())
    if chance.random() < 0.5:
        del content[chance.randrange(len(content)) :]
    else:
        begin = chance.randrange(len(content))
        for at in range(begin, min(len(content), begin + chance.choice((1, 16, 4096)))):
            content[at] ^= chance.randrange(1, 256)
    copy.with_name(f"{copy.name}-wal").write_bytes(content)
    return copy


def holds(path: Path, acknowledged: dict[int, tuple[str, int]]) -> bool:
    """Whether a damaged record can be read; then everything acknowledged must be in it."""
    try:
        found = {entry.number: entry.event for entry in read(path).events}
    except RecordFileError:
        return False
    for number, (who, count) in acknowledged.items():
        event = found[number]
        assert isinstance(event, Note)
        assert (event.who, event.text) == (who, str(count)), number
    return True


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))
