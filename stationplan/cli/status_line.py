"""One line on the terminal that tells what is being tried."""

from __future__ import annotations

import shutil
import sys

import click


class StatusLine:
    """A line that is written anew each time; nothing when stderr is no terminal or it is to keep quiet.

    Args:
        begin: what every line begins with.
        quiet: show nothing.
    """

    def __init__(self, begin: str, *, quiet: bool) -> None:
        self._begin = begin
        self._on = sys.stderr is not None and sys.stderr.isatty() and not quiet
        self._width = 0

    def show(self, trial: str) -> None:
        """Rewrite the line; with nothing, take it away."""
        if not self._on:
            return
        # A line that fills the terminal would go on in the next, where a return does not reach it.
        text = f"{self._begin}{trial}"[: shutil.get_terminal_size().columns - 1] if trial else ""
        blanks = " " * (self._width - len(text))
        self._width = len(text)
        try:
            click.echo(f"\r{text}{blanks}" + ("" if text else "\r"), nl=False, err=True)
        except OSError:
            # The terminal has gone; what is found is still worth finding.
            self._on = False
