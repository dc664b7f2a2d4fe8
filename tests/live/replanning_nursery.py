"""Processes that plan a shift anew and are killed: run as a program, it looks at the record after each kill.

Usage: python -m tests.live.replanning_nursery RECORD SEED KILLS. The plan in the record must be one of the first shift.
It prints what it has seen as JSON. Half of the kills come at any moment, the others just when something is written.
"""

from __future__ import annotations

import json
import os
import random
import re
import select
import signal
import sqlite3
import sys
import time
from contextlib import closing
from pathlib import Path

from stationplan.cli import main as stationplan
from stationplan.cli import shift_record
from stationplan.engine import keeping, solving
from stationplan.live import record
from stationplan.live.record import Log, read
from stationplan.plan.check import check_plan
from stationplan.plan.produce import Effort, produce

NOW = "06:12"
LONGEST = 3.0
"""Seconds within which a process is killed."""
IMPORTED = (keeping, solving, produce, Effort)
"""What every process needs, imported before they fork."""
PLANNED = re.compile(rb"^(\d+): (?:this plan is in force now|proposed;)")
TAKEN = re.compile(rb"^(\d+): the plan proposed as")
ACKNOWLEDGED = re.compile(rb"^(\d+): ")


def work(path: Path, seed: int, told: int) -> None:
    """Record without end how long the first batch takes, and plan anew each time; what is acknowledged is told."""
    chance = random.Random(seed)
    os.dup2(told, 1)
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
    sys.stdout = os.fdopen(1, "w", encoding="utf-8", closefd=False)
    insert = record._insert

    def about_to_insert(*arguments: object) -> None:
        os.write(told, b"writing\n")
        insert(*arguments)  # type: ignore[arg-type]

    record._insert = about_to_insert
    shift_record.SECONDS_AT_ONCE = 0.3
    while True:
        until = f"until 06:{chance.randint(20, 55)}"
        for words in (
            f"record --auto --now {NOW} SHIFT overrunning Aa1 {until}",
            f"record --now {NOW} SHIFT note {chance.random()}",
            f"replan --now {NOW} --effort 0.05 SHIFT",
            "accept SHIFT",
            f"replan --now {NOW} --effort 0.05 --accept SHIFT",
        ):
            arguments = ["shift", *(str(path) if word == "SHIFT" else word for word in words.split())]
            try:
                stationplan(arguments, standalone_mode=False)
            except BaseException as error:
                os.write(told, f"failed: {words}: {error!r} {error}\n".encode())
            sys.stdout.flush()


def kinds(path: Path) -> dict[int, str]:
    """The kind of each entry, that of an event as it tells it, read without any code of ours."""
    with closing(sqlite3.connect(path)) as file:
        entries = file.execute("SELECT number, kind, document FROM entry ORDER BY number").fetchall()
    return {number: json.loads(document)["kind"] if kind == "event" else kind for number, kind, document in entries}


def look(path: Path, before: Log, heard: bytes) -> Log:
    """Hold the record against what was there and what was acknowledged since."""
    found, now = kinds(path), read(path)
    assert list(found) == list(range(len(found)))
    assert now.events[: len(before.events)] == before.events
    for line in heard.splitlines():
        assert not line.startswith(b"failed"), line.decode()
        acknowledged = ACKNOWLEDGED.match(line)
        if acknowledged is not None:
            kind = found[int(acknowledged[1])]
            assert (kind in ("accepted", "proposed")) == bool(PLANNED.match(line)), line.decode()
            assert (kind == "accept") == bool(TAKEN.match(line)), line.decode()
    accepted = max((number for number, kind in found.items() if kind in ("accepted", "accept")), default=0)
    assert now.known == accepted
    if accepted == before.known:
        assert now.plan == before.plan
    for plan in (now.plan, now.proposed):
        assert plan is None or check_plan(plan) == ()
    return now


def replanned(path: Path) -> bool:
    """Whether a further replan goes through, in a process of its own."""
    child = os.fork()
    if child == 0:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
        os.dup2(1, 2)
        try:
            stationplan(["shift", "replan", "--now", NOW, "--effort", "0.05", "--accept", str(path)])
        except SystemExit as end:
            os._exit(int(end.code or 0))
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def main(path: Path, seed: int, kills: int, *, often: int = 5) -> dict[str, int]:
    """Kill processes that plan anew.

    Args:
        path: the record.
        seed: of the moments.
        kills: how many.
        often: after how many kills a further replan is tried.
    """
    chance = random.Random(seed)
    seen = {"kills": 0, "events": 0, "plans": 0, "while writing": 0, "unacknowledged": 0, "replans": 0}
    log = read(path)
    for number in range(1, kills + 1):
        reading, writing = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(reading)
            work(path, chance.randrange(10**9) + number, writing)
        os.close(writing)
        aimed = chance.randint(1, 6) if number % 2 else None
        heard, end = b"", time.monotonic() + (chance.uniform(0.0, LONGEST) if aimed is None else 60.0)
        while (rest := end - time.monotonic()) > 0 and (aimed is None or heard.count(b"writing\n") < aimed):
            if select.select([reading], [], [], rest)[0]:
                heard += os.read(reading, 4096)
        if aimed is not None:
            time.sleep(chance.uniform(0.0, 0.01))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        with os.fdopen(reading, "rb") as last:
            heard += last.read()
        entries = log.last
        log = look(path, log, heard)
        acknowledged = [line for line in heard.splitlines() if ACKNOWLEDGED.match(line)]
        seen["kills"] += 1
        seen["events"] += sum(not PLANNED.match(line) for line in acknowledged)
        seen["plans"] += sum(bool(PLANNED.match(line)) for line in acknowledged)
        seen["while writing"] += heard.endswith(b"writing\n")
        seen["unacknowledged"] += log.last - entries - len(acknowledged)
        if number % often == 0:
            assert replanned(path)
            log = look(path, log, b"")
            seen["replans"] += 1
    return seen


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))
