"""Reading a scenario and building its network, with every complaint at its file and line."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.network.times import Durations
    from stationplan.scenario import Loaded


def load_network(path: Path, durations: Durations) -> tuple[Loaded, Network]:
    """Read a scenario and turn it into a scheduling problem.

    Args:
        path: folder or file of the scenario.
        durations: which end of ranges to plan on.

    Returns:
        What was read, and the network.

    Raises:
        InvalidScenario: with file:line for everything that is wrong.
    """
    from stationplan.network import NetworkError, build
    from stationplan.scenario import load
    from stationplan.scenario.errors import InvalidScenario, Problem

    loaded = load(path)
    try:
        return loaded, build(loaded.scenario, durations)
    except NetworkError as error:
        raise InvalidScenario((Problem(loaded.where(error.path), str(error)),)) from None
