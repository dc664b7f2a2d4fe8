"""Reading a scenario and building its network, with every complaint at its file and line."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from stationplan.cli.explaining import explained
from stationplan.cli.failure import BadInputError, NoSuchPlanError, working_on
from stationplan.cli.saved import is_shift
from stationplan.render.lettering import clean

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.network.times import Durations
    from stationplan.plan.explanation import Explanation
    from stationplan.plan.why import Against
    from stationplan.scenario import Loaded


def load_scenario(path: Path) -> Loaded:
    """Read a scenario, and warn on stderr of what may not be meant.

    Args:
        path: folder or file of the scenario.

    Raises:
        InvalidScenario: with file:line for everything that is wrong.
        BadInputError: when it cannot be read, or is a shift.
    """
    from stationplan.scenario import load

    if is_shift(path):
        raise BadInputError(
            f"{path}: this is a shift and no scenario; to plan what is left of it anew: stationplan shift replan {path}"
        )
    with working_on(path):
        loaded = load(path)
    for warning in loaded.warnings:
        click.echo(clean(str(warning), unicode=True), err=True)
    return loaded


def load_network(path: Path, durations: Durations) -> tuple[Loaded, Network]:
    """Read a scenario, warn on stderr of what may not be meant, and turn it into a scheduling problem.

    Args:
        path: folder or file of the scenario.
        durations: which end of ranges to plan on.

    Returns:
        What was read, and the network.

    Raises:
        InvalidScenario: with file:line for everything that is wrong.
        BadInputError: when it is an exam, or a shift.
    """
    from stationplan.network import NetworkError, build
    from stationplan.scenario.errors import InvalidScenario, Problem

    loaded = load_scenario(path)
    if loaded.scenario.exam is not None:
        raise BadInputError(
            f"{loaded.where(('exam',))}: this scenario is an exam; plan it for all its candidates with: "
            f"stationplan exam {path}"
        )
    try:
        return loaded, build(loaded.scenario, durations)
    except NetworkError as error:
        raise InvalidScenario((Problem(loaded.where(error.path), str(error)),)) from None


def impossible(
    scenario: Path, loaded: Loaded, reasons: tuple[Against, ...], explanation: Explanation | None = None
) -> NoSuchPlanError:
    """Why a scenario cannot be done, with the place in its files where there is one.

    Args:
        scenario: as the user named it.
        loaded: what was read from it.
        reasons: why there is no plan.
        explanation: what exactly is in conflict and what would help, where that has been looked for.
    """
    lines = [f"{scenario}: this cannot be done as it stands."]
    for reason in reasons:
        where = f"{loaded.where(reason.path)}: " if reason.path else ""
        lines.append(f"{where}{reason.sentence}")
    if explanation is not None:
        lines += explained(explanation, loaded.where)
    return NoSuchPlanError("\n".join(lines))
