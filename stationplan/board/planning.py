"""Planning the rest anew for the board: in a process of its own, so that no screen waits for it, and one at a time."""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path

from stationplan.board.worker import Outcome, Work
from stationplan.live.moment import telling
from stationplan.live.record import Log

TRIES = 3
"""How often it is planned anew because more was recorded meanwhile."""
_DIED = Outcome("failed", "the program that plans has ended early, perhaps for want of memory; try again")


@dataclass(frozen=True)
class Limits:
    """How long to search: seconds, or units of work."""

    seconds: float | None = None
    effort: float | None = None


@dataclass(frozen=True)
class Status:
    """What every screen may know.

    Attributes:
        since: when the planning that goes on was begun, minutes since midnight of the first day; None when none does.
        why: why the last one has found nothing; '' when it has.
    """

    since: int | None = None
    why: str = ""


class Planner:
    """Plans the rest of a shift anew when it is asked to or, with ``auto``, when an event breaks the plan in force.

    Args:
        path: the record.
        limits: how long to search.
        auto: go by the plan that is found, after each event that breaks the one in force.
    """

    def __init__(self, path: Path, limits: Limits, *, auto: bool = False) -> None:
        self.path, self.limits, self.auto = path, limits, auto
        self.status = Status()
        self._heeded: int | None = None
        self._task: asyncio.Task[None] | None = None

    def begin(self, minute: Callable[[], int], *, accept: bool = False) -> bool:
        """Begin to plan anew, unless that goes on already.

        Args:
            minute: tells the time, minutes since midnight of the shift's first day.
            accept: go by what is found if the plan in force is broken, instead of proposing it.

        Returns:
            Whether it was begun.
        """
        if self._task is not None:
            return False
        self.status = Status(since=minute())
        self._task = asyncio.create_task(self._plan(minute, accept))
        return True

    def heed(self, log: Log, minute: Callable[[], int]) -> None:
        """Look at what was recorded: what was said of the last planning is over with it, and the plan may be broken.

        Args:
            log: the record as it is now.
            minute: tells the time, minutes since midnight of the shift's first day.
        """
        last = max((entry.number for entry in telling(log.events)), default=0)
        if self._heeded is None:
            self._heeded = last
        if last <= self._heeded:
            return
        if self._task is None:
            self.status = Status()
        if not self.auto or last <= log.known or self.begin(minute, accept=True):
            self._heeded = last

    async def close(self) -> None:
        """Give up what goes on."""
        if self._task is not None:
            self._task.cancel()
            with suppress(asyncio.CancelledError):
                await self._task

    async def _plan(self, minute: Callable[[], int], accept: bool) -> None:
        outcome = Outcome("overtaken")
        tries = 0
        try:
            while outcome.kind == "overtaken" and tries < TRIES:
                outcome = await self._attempt(minute(), accept)
                tries += 1
        finally:
            self.status, self._task = Status(why=outcome.why), None

    async def _attempt(self, now: int, accept: bool) -> Outcome:
        work = Work(str(self.path.resolve()), now, self.limits.seconds, self.limits.effort, accept)
        process = await asyncio.create_subprocess_exec(
            sys.executable,
            *("-m", "stationplan.board.worker", json.dumps(asdict(work))),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            # Ctrl-C in a terminal is for the board, which ends this one.
            start_new_session=True,
        )
        try:
            told, _ = await process.communicate()
        finally:
            if process.returncode is None:
                process.kill()
                await process.wait()
        return Outcome(**json.loads(told)) if process.returncode == 0 else _DIED
