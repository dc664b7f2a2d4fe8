"""The input: what a kitchen has, what is made in it and how, and what is ordered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from stationplan.scenario.errors import InvalidScenario, Problem, ScenarioError, UnitError

if TYPE_CHECKING:
    from pathlib import Path

    from stationplan.scenario.loader import Loaded as Loaded
    from stationplan.scenario.models import Scenario as Scenario

__all__ = ["InvalidScenario", "Problem", "ScenarioError", "UnitError", "from_plain", "load"]


def load(path: Path) -> Loaded:
    """Read a scenario from its folder or its file; see :func:`stationplan.scenario.loader.load`."""
    # Only here, so that the units can be imported without pydantic and the YAML reader.
    from stationplan.scenario.loader import load as load_files

    return load_files(path)


def from_plain(raw: dict[str, Any]) -> Scenario:
    """Read a scenario from plain data; see :func:`stationplan.scenario.loader.from_plain`."""
    from stationplan.scenario.loader import from_plain as read_plain

    return read_plain(raw)
