"""Reading a saved plan that the user has named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from stationplan.cli.failure import BadInputError, working_on

if TYPE_CHECKING:
    from stationplan.plan.document import Plan

SQLITE = b"SQLite format 3\0"
"""What the record of a shift begins with; here, so that a chart of a plan need not import what reads it."""


def load_plan(path: Path) -> Plan:
    """Read a saved plan.

    Args:
        path: the file.

    Raises:
        BadInputError: when it cannot be read, or is a scenario.
        PlanFileError: when it is something else.
    """
    from stationplan.plan.store import load

    if path.suffix in (".yaml", ".yml") or (path / "scenario.yaml").is_file():
        raise BadInputError(
            f"{path}: this is a scenario and no saved plan; make one: stationplan plan {path} --out my-plan.json"
        )
    with working_on(path):
        return load(path)


def load_checked_plan(path: Path) -> Plan:
    """Read a saved plan that is to be shown or passed on: one that holds.

    Args:
        path: the file.

    Raises:
        BadInputError: when it cannot be read, is a scenario, or contradicts its scenario.
        PlanFileError: when it is something else.
    """
    from stationplan.plan.check import check_plan

    plan = load_plan(path)
    faults = check_plan(plan)
    if faults:
        raise BadInputError(
            f"{path}: this plan contradicts its scenario, so it is not shown: {faults[0].sentence} "
            f"All of it: stationplan verify {path}"
        )
    return plan


def is_plan(path: Path) -> bool:
    """Whether a file is a saved plan rather than a scenario; one that cannot be read is told of later."""
    from stationplan.plan.store import may_be_plan

    try:
        return path.is_file() and may_be_plan(path)
    except OSError:
        return False


def is_shift(path: Path) -> bool:
    """Whether a file is the record of a shift; one that cannot be read is told of later."""
    try:
        with path.open("rb") as file:
            return file.read(len(SQLITE)) == SQLITE
    except OSError:
        return False
