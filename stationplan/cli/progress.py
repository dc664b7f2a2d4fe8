"""One line on the terminal that tells how the search is getting on, a few times a second at most."""

from __future__ import annotations

import shutil
import sys
import threading
import time
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from stationplan.engine import Progress

SECONDS_BETWEEN = 0.2


class ProgressLine:
    """Writes and rewrites the line; nothing when stderr is not a terminal or it is told to keep quiet."""

    def __init__(self, *, quiet: bool) -> None:
        self._on = sys.stderr.isatty() and not quiet
        self._last = -SECONDS_BETWEEN
        self._width = 0
        self._lock = threading.Lock()

    def __call__(self, progress: Progress) -> None:
        """Show a moment of the search. May be called from any thread."""
        with self._lock:
            now = time.monotonic()
            if self._on and now - self._last >= SECONDS_BETWEEN:
                self._last = now
                # A line that fills the terminal would go on in the next, where a return does not reach it.
                text = describe(progress)[: shutil.get_terminal_size().columns - 1]
                line = text.ljust(self._width)
                # Before it is written: an interruption in between must not leave a line that nobody clears.
                self._width = len(line)
                click.echo(f"\r{line}", nl=False, err=True)

    def clear(self) -> None:
        """Take the line away, before something else is printed."""
        with self._lock:
            if self._width:
                click.echo("\r" + " " * self._width + "\r", nl=False, err=True)
            self._on, self._width = False, 0


def describe(progress: Progress) -> str:
    """A moment of the search in one line: '12 s  best so far: finished after 7 h 20 min; ...'."""
    from stationplan.scenario.units import format_duration

    seconds = f"{progress.seconds:4.0f} s"
    if progress.value is None:
        return f"{seconds}  looking for a first plan"
    if progress.tier == "tidiness":
        return f"{seconds}  tidying up: fewer waits and changes of temperature"
    value = format_duration(progress.value)
    least = f"; {format_duration(progress.bound)} is needed in any case" if progress.bound else ""
    if progress.tier == "lateness":
        least = f"; {format_duration(progress.bound)} cannot be avoided" if progress.bound else ""
        return f"{seconds}  best so far: {value} late in all{least}"
    return f"{seconds}  best so far: finished after {value}{least}"
