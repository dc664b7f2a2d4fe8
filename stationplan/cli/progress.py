"""One line on the terminal that tells how the search is getting on, a few times a second at most."""

from __future__ import annotations

import shutil
import sys
import threading
import time
from collections.abc import Callable
from types import TracebackType
from typing import TYPE_CHECKING, Self

import click

if TYPE_CHECKING:
    from stationplan.engine import Progress

SECONDS_BETWEEN = 0.25

_PHASES = {
    "construct": "first plans",
    "pooled": "the whole roughly",
    "exact": "the whole in detail",
    "improve": "parts anew",
    "tidy": "tidying up",
}


class ProgressLine:
    """Writes and rewrites the line while it is entered; nothing when stderr is no terminal or it is to keep quiet.

    The search only leaves its news here. A thread of this class shows the latest, with a
    clock that goes on while there is none.

    Args:
        quiet: show nothing.
        opens: opening, minutes since midnight of the first day.
        stopping: whether the user has asked to stop.
    """

    def __init__(self, *, quiet: bool, opens: int, stopping: Callable[[], bool]) -> None:
        self._on = sys.stderr is not None and sys.stderr.isatty() and not quiet
        self._opens = opens
        self._stopping = stopping
        self._started = time.monotonic()
        self._latest: Progress | None = None
        self._width = 0
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._go_on, daemon=True)

    def __call__(self, progress: Progress) -> None:
        """Take a moment of the search. May be called from any thread."""
        self._latest = progress

    def __enter__(self) -> Self:
        """Begin to show the line."""
        if self._on:
            self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, where: TracebackType | None
    ) -> None:
        """Take the line away, before something else is printed."""
        self._ended.set()
        if self._on:
            self._thread.join()
            self._write("")

    def draw(self) -> None:
        """Show the latest moment now."""
        seconds = time.monotonic() - self._started
        if self._stopping():
            self._write("stopping with the best plan so far; Ctrl-C again to leave at once without it")
        else:
            self._write(describe(self._latest, seconds, self._opens))

    def _go_on(self) -> None:
        while not self._ended.wait(SECONDS_BETWEEN):
            self.draw()

    def _write(self, text: str) -> None:
        # A line that fills the terminal would go on in the next, where a return does not reach it.
        text = text[: shutil.get_terminal_size().columns - 1]
        blanks = " " * (self._width - len(text))
        if not text and not blanks:
            return
        self._width = len(text)
        try:
            click.echo(f"\r{text}{blanks}" + ("" if text else "\r"), nl=False, err=True)
        except OSError:
            # The terminal has gone; the search has not.
            self._on = False
            self._ended.set()


def describe(progress: Progress | None, seconds: float, opens: int) -> str:
    """A moment of the search in one line: '12 s  first plans: finished 09:48, at the earliest 08:19 (gap 22 %)'.

    Args:
        progress: the latest news, None before there is any.
        seconds: since the search began.
        opens: opening, minutes since midnight of the first day.

    Returns:
        The line.
    """
    from stationplan.scenario.units import format_clock, format_duration

    begin = f"{seconds:4.0f} s"
    if progress is None or progress.value is None:
        return f"{begin}  looking for a first plan"
    begin = f"{begin}  {_PHASES[progress.phase]}"
    if progress.tier == "tidiness":
        return f"{begin}: fewer waits and changes of temperature"
    if progress.tier == "lateness":
        return (
            f"{begin}: {format_duration(progress.value)} late in all, at least {format_duration(progress.bound)}"
            if progress.value
            else f"{begin}: nothing late"
        )
    finish, least = format_clock(opens + progress.value), format_clock(opens + progress.bound)
    return f"{begin}: finished {finish}, at the earliest {least} (gap {100 * (progress.gap or 0):.1f} %)"
