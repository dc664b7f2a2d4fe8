"""The token of a shift's board: kept beside the record, for its owner alone, so that a restart locks nobody out."""

from __future__ import annotations

import os
import re
import secrets
from contextlib import suppress
from pathlib import Path

_WHOLE = re.compile(r"[\w-]{32}", re.ASCII)


def token_of(shift: Path, *, new: bool = False) -> str:
    """The token of a shift's board, made where there is none yet.

    A file that others may read, or that is not whole, is replaced: what was in it may be known.

    Args:
        shift: the record of the shift.
        new: make another one; whoever knows only the former is locked out.

    Returns:
        What has to be known to use the board.

    Raises:
        OSError: when it cannot be kept.
    """
    shift = shift.resolve()
    file = shift.with_name(f"{shift.name}.token")
    return (None if new else _kept(file)) or _made(file)


def _kept(file: Path) -> str | None:
    try:
        with file.open(encoding="ascii", errors="replace") as opened:
            shared = os.name == "posix" and os.fstat(opened.fileno()).st_mode & 0o077
            token = opened.read(100).strip()
    except FileNotFoundError:
        return None
    return token if not shared and _WHOLE.fullmatch(token) else None


def _made(file: Path) -> str:
    token = secrets.token_urlsafe(24)
    part = file.with_name(f".{file.name}.{secrets.token_hex(4)}.part")
    try:
        with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="ascii") as opened:
            opened.write(f"{token}\n")
        part.replace(file)
    finally:
        with suppress(OSError):
            part.unlink()
    return token
