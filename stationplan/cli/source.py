"""What a command works on: a scenario, or a saved plan with its scenario inside."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stationplan.cli.failure import BadInputError, NoSuchPlanError, working_on
from stationplan.cli.loading import load_network
from stationplan.cli.saved import is_shift, load_plan

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.network.times import Durations
    from stationplan.plan.document import Plan
    from stationplan.scenario import Loaded
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True)
class Source:
    """A scenario and, if it came with one, its plan.

    Attributes:
        path: as the user named it.
        scenario: the scenario.
        raw: the same as plain data.
        network: its scheduling problem.
        plan: the saved plan, which holds; None for a scenario.
        loaded: what was read from files; None for a saved plan.
    """

    path: Path
    scenario: Scenario
    raw: dict[str, Any]
    network: Network
    plan: Plan | None = None
    loaded: Loaded | None = None

    def never_in_time(self) -> NoSuchPlanError:
        """That not even the whole kitchen can have every order ready in time."""
        return NoSuchPlanError(
            f"{self.path}: not even with everything and everybody can all orders be ready in time: proved. "
            f"What would help: stationplan bottlenecks {self.path}"
        )


def load_source(path: Path, durations: Durations | None) -> Source:
    """Read a scenario or a saved plan.

    Args:
        path: a folder or file of a scenario, or a file of a plan.
        durations: which end of ranges to plan on; None for the long end, or for that of the plan.

    Raises:
        BadInputError: when it cannot be read, is a shift, the plan does not hold, or it was made with other durations.
    """
    from stationplan.plan.check import check_plan
    from stationplan.plan.rebuilding import network_of
    from stationplan.scenario import from_plain

    if is_shift(path):
        raise BadInputError(
            f"{path}: this is a shift, and what has begun cannot be tried otherwise; name the plan that it began with, "
            "or its scenario"
        )
    with working_on(path):
        saved = _is_plan(path)
    if not saved:
        loaded, network = load_network(path, durations or "longest")
        return Source(path, loaded.scenario, loaded.raw, network, loaded=loaded)
    plan = load_plan(path)
    faults = check_plan(plan)
    if faults:
        raise BadInputError(
            f"{path}: this plan contradicts its scenario, so nothing follows from it: {faults[0].sentence} "
            f"All of it: stationplan verify {path}"
        )
    if durations not in (None, plan.durations):
        raise BadInputError(f"{path}: this plan was made with --durations {plan.durations}; leave the option out")
    scenario = from_plain(plan.scenario)
    return Source(path, scenario, plan.scenario, network_of(plan), plan)


def _is_plan(path: Path) -> bool:
    if not path.is_file() or path.suffix in (".yaml", ".yml"):
        return False
    with path.open("rb") as file:
        return b'"format": "stationplan plan"' in file.read(200)
