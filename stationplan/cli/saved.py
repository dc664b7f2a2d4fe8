"""Reading a saved plan that the user has named."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from stationplan.cli.failure import BadInputError, working_on

if TYPE_CHECKING:
    from stationplan.plan.document import Plan


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
