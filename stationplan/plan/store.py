"""Plans as JSON files: written whole or not at all, and read with plain words for what is no plan."""

from __future__ import annotations

import errno
import json
import os
import secrets
import shutil
from contextlib import suppress
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from stationplan.plan.document import Plan
from stationplan.plan.errors import PlanFileError

_FORMAT = Plan.model_fields["format"].default
_VERSION = Plan.model_fields["version"].default


def to_json(plan: Plan) -> str:
    """The plan as JSON, indented, fields in a fixed order: the same plan gives the same text."""
    return plan.model_dump_json(indent=2) + "\n"


def from_json(text: str) -> Plan:
    """Read a plan.

    Args:
        text: what :func:`to_json` wrote.

    Returns:
        The plan.

    Raises:
        PlanFileError: when it is something else, was cut short, or was written by another version.
    """
    try:
        raw: Any = json.loads(text)
    except json.JSONDecodeError as error:
        raise PlanFileError(
            f"this is not a plan: it is not JSON (line {error.lineno}, column {error.colno})"
        ) from error
    except RecursionError as error:
        raise PlanFileError("this is not a plan: it is nested far too deeply") from error
    if not isinstance(raw, dict) or raw.get("format") != _FORMAT:
        raise PlanFileError(f'this is not a plan: it does not say "format": "{_FORMAT}"')
    if raw.get("version") != _VERSION:
        raise PlanFileError(
            f"this plan is of version {json.dumps(raw.get('version'))}, and this program reads version {_VERSION}: "
            "make the plan again"
        )
    try:
        return Plan.model_validate_json(text)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = ".".join(str(part) for part in first["loc"]) or "the whole"
        raise PlanFileError(f"this plan is damaged: {where}: {first['msg']}") from error


def try_out(path: Path) -> None:
    """Find out whether a plan can be saved in a file, and leave no trace of it.

    Args:
        path: the file; it need not be there.

    Raises:
        OSError: when it cannot, or when the file holds something other than a plan.
    """
    path = path.resolve()
    if not path.parent.is_dir():
        raise FileNotFoundError(errno.ENOENT, f"there is no folder {path.parent}")
    if path.exists() and not path.is_file():
        # A device, such as /dev/null, would be replaced by a file.
        raise FileExistsError(errno.EEXIST, "it is a folder or a device, not a file", str(path))
    if path.exists() and not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, "the file that is there is protected against writing", str(path))
    if path.exists() and not _may_be_replaced(path):
        raise FileExistsError(
            errno.EEXIST, "the file that is there is no plan, and it would be lost; choose another name", str(path)
        )
    part = _part_of(path)
    part.open("x").close()
    part.unlink()


def _may_be_replaced(path: Path) -> bool:
    """Whether a file is empty or an older plan."""
    return not path.stat().st_size or may_be_plan(path)


def may_be_plan(path: Path) -> bool:
    """Whether a file begins like a plan, of whatever version and even if damaged.

    Args:
        path: the file.

    Raises:
        OSError: when it cannot be read.
    """
    with path.open("rb") as file:
        return f'"format": "{_FORMAT}"'.encode() in file.read(200)


def _part_of(path: Path) -> Path:
    """A new file in the same folder, so that renaming it is one step."""
    return path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")


def save(plan: Plan, path: Path) -> None:
    """Write a plan to a file; a reader, or a crash at any moment, never sees half of it.

    Args:
        plan: the plan to keep.
        path: the file; what it held before is replaced.

    Raises:
        OSError: when the file cannot be written; then the old file is as it was.
    """
    write_whole(path, to_json(plan).encode("utf-8"))


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that a reader, or a crash at any moment, never sees half of it.

    Args:
        path: the file; what it held before is replaced.
        content: all that it is to hold.

    Raises:
        OSError: when the file cannot be written; then the old file is as it was.
    """
    path = path.resolve()  # a link keeps pointing where it pointed
    part = _part_of(path)
    try:
        with part.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, part)
        part.replace(path)
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise
    _settle(path.parent)


def load(path: Path) -> Plan:
    """Read a plan from a file.

    Args:
        path: the file.

    Returns:
        The plan.

    Raises:
        PlanFileError: when the file holds no plan; the message names the file.
        OSError: when the file cannot be read.
    """
    try:
        return from_json(path.read_text(encoding="utf-8"))
    except UnicodeDecodeError as error:
        raise PlanFileError(f"{path}: this is not a plan: it is not text") from error
    except PlanFileError as error:
        raise PlanFileError(f"{path}: {error}") from error


def _settle(folder: Path) -> None:
    """Make the new name last through a power cut, where the system lets a folder be flushed."""
    with suppress(OSError, AttributeError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
