"""Options and facts about where the output goes, shared by the commands that print charts."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])

NARROWEST, WIDEST = 60, 400
WIDTH_WITHOUT_TERMINAL = 100


def look_options(command: Command) -> Command:
    """Add --width, --ascii and --color."""
    command = click.option(
        "--color",
        type=click.Choice(["auto", "always", "never"]),
        default="auto",
        help="Colours: auto uses them on a terminal unless NO_COLOR is set.",
    )(command)
    command = click.option("--ascii", "ascii_only", is_flag=True, help="Plain ASCII, for printers that know no more.")(
        command
    )
    return click.option(
        "--width",
        type=click.IntRange(NARROWEST, WIDEST),
        default=None,
        help=f"Columns of the chart; the terminal's width if not given, {WIDTH_WITHOUT_TERMINAL} where there is none.",
    )(command)


def columns(width: int | None) -> int:
    """The columns to draw in: those asked for, else the terminal's."""
    if width is not None:
        return width
    if not sys.stdout.isatty():
        return WIDTH_WITHOUT_TERMINAL
    return min(WIDEST, max(NARROWEST, shutil.get_terminal_size((WIDTH_WITHOUT_TERMINAL, 24)).columns))


def unicode_works(ascii_only: bool) -> bool:
    """Whether to draw with Unicode marks: unless told not to, or the output cannot carry them."""
    if ascii_only:
        return False
    try:
        "█▒─".encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def colors_wanted(color: str) -> bool:
    """Whether to colour: as told, else on a terminal unless NO_COLOR is set (no-color.org: present and not empty)."""
    if color == "auto":
        return sys.stdout.isatty() and not os.environ.get("NO_COLOR")
    return color == "always"
