"""Where the output goes, and what that place can show."""

from __future__ import annotations

import codecs
import os
import shutil
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

import click

from stationplan.cli.failure import BadInputError, working_on
from stationplan.render.lettering import clean

NARROWEST, WIDEST = 60, 400
WIDTH_WITHOUT_TERMINAL = 100


def show(text: str | bytes, *, color: bool = False) -> None:
    """Print a text that ends its own lines.

    Args:
        text: bytes are printed as they are, whatever the output's encoding.
        color: keep the terminal colours in it.

    Raises:
        BadInputError: when it cannot be written, for instance because the disk is full.
    """
    with working_on("the output"):
        click.echo(text, nl=False, color=color)


def tell(text: str) -> None:
    """Print a sentence on stderr, beside the output; that nobody reads it any more is no reason to stop."""
    with suppress(OSError):
        click.echo(clean(text, unicode=True), err=True)


def write_files(files: Sequence[tuple[Path, bytes]], replace: bool) -> None:
    """Write files: all of them or, when one is in the way, none.

    Args:
        files: where each is to be, and what is to be in it.
        replace: whether files that are there already may go.

    Raises:
        BadInputError: when one is in the way, or cannot be written.
    """
    from stationplan.plan.store import write_whole

    for path, _ in files:
        with working_on(path):
            if path.exists() and not path.is_file():
                raise BadInputError(f"{path}: it is a folder or a device, not a file")
            if path.exists() and not replace:
                raise BadInputError(f"{path}: there is such a file already; choose another name, or add --replace")
    for path, content in files:
        with working_on(path):
            write_whole(path, content)
        tell(f"Saved in {path}.")


def columns(width: int | None) -> int:
    """The columns to draw in: those asked for, else the terminal's."""
    if width is not None:
        return width
    if not _on_terminal():
        return WIDTH_WITHOUT_TERMINAL
    return min(WIDEST, max(NARROWEST, shutil.get_terminal_size((WIDTH_WITHOUT_TERMINAL, 24)).columns))


def _on_terminal() -> bool:
    # There is no stdout at all when the caller has closed it.
    return sys.stdout is not None and sys.stdout.isatty()


def unicode_works(ascii_only: bool = False) -> bool:
    """Whether Unicode may be printed: unless told not to, or the output's encoding cannot carry all of it."""
    if ascii_only:
        return False
    try:
        return codecs.lookup((sys.stdout and sys.stdout.encoding) or "ascii").name.startswith("utf")
    except LookupError:
        return False


def colors_wanted(color: str) -> bool:
    """Whether to colour: as told, else on a terminal unless NO_COLOR is set (no-color.org: present and not empty)."""
    if color == "auto":
        return _on_terminal() and not os.environ.get("NO_COLOR")
    return color == "always"
