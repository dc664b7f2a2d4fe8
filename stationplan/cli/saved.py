"""Reading a plan that the user has named: a saved one, or the one in force of a shift."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

from stationplan.cli.failure import BadInputError, working_on

if TYPE_CHECKING:
    from stationplan.plan.document import Plan

SQLITE = b"SQLite format 3\0"
"""What the record of a shift begins with; here, so that a chart of a plan need not import what reads it."""


def load_plan(path: Path) -> Plan:
    """Read a saved plan, or the one in force of a shift.

    Args:
        path: the file.

    Raises:
        BadInputError: when it cannot be read, or is a scenario.
        PlanFileError: when it is something else.
        RecordFileError: when it is the record of a shift, and damaged.
    """
    from stationplan.plan.store import load

    if is_shift(path):
        from stationplan.live.record import read

        with working_on(path):
            return read(path).plan
    if path.suffix in (".yaml", ".yml") or (path / "scenario.yaml").is_file():
        raise BadInputError(
            f"{path}: this is a scenario and no saved plan; make one: stationplan plan {path} --out my-plan.json"
        )
    with working_on(path):
        return load(path)


def load_checked_plan(path: Path) -> Plan:
    """Read a plan that is to be shown or passed on: one that holds. That of a shift says in its name which one it is.

    Args:
        path: the file.

    Raises:
        BadInputError: when it cannot be read, is a scenario, or contradicts its scenario.
        PlanFileError: when it is something else.
        RecordFileError: when it is the record of a shift, and damaged.
    """
    from stationplan.plan.check import check_plan

    plan = load_plan(path)
    faults = check_plan(plan)
    if faults:
        raise BadInputError(
            f"{path}: this plan contradicts its scenario, so it is not shown: {faults[0].sentence} "
            f"All of it: stationplan verify {path}"
        )
    return plan.model_copy(update={"name": f"{plan.name}, {which_plan(plan)}"}) if is_shift(path) else plan


def outcomes_of(path: Path) -> dict[str, Literal["running", "done", "lost"]]:
    """What has become of the batches of a shift by their labels; nothing of a saved plan.

    Args:
        path: the file.

    Raises:
        BadInputError: when it cannot be read.
        RecordFileError: when it is damaged.
    """
    if not is_shift(path):
        return {}
    from stationplan.live.record import read

    with working_on(path):
        return {label: run.outcome for label, run in read(path).state.runs.items()}


def which_plan(plan: Plan) -> str:
    """Which of the plans of a shift it is: 'plan of 08:26', when it was made.

    Args:
        plan: the plan in force.
    """
    from stationplan.scenario.units import format_clock

    return "first plan" if plan.past is None else f"plan of {format_clock(plan.past.now)}"


def is_plan(path: Path) -> bool:
    """Whether a file has a plan in it rather than a scenario; one that cannot be read is told of later."""
    from stationplan.plan.store import may_be_plan

    try:
        return path.is_file() and (is_shift(path) or may_be_plan(path))
    except OSError:
        return False


def is_shift(path: Path) -> bool:
    """Whether a file is the record of a shift; one that cannot be read is told of later."""
    try:
        with path.open("rb") as file:
            return file.read(len(SQLITE)) == SQLITE
    except OSError:
        return False
