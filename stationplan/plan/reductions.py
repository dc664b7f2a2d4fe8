"""Taking equipment and people away from a scenario, as changes to its plain data."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from copy import deepcopy
from typing import TYPE_CHECKING, Any

from stationplan.network.network import StationGroup
from stationplan.plan.alteration import Alteration, mapping_at
from stationplan.plan.wording import listed
from stationplan.scenario.checks.entries import all_steps
from stationplan.scenario.draft import complete_draft
from stationplan.scenario.fields import parse_name
from stationplan.scenario.models import ANYTHING
from stationplan.scenario.units import plural

if TYPE_CHECKING:
    from stationplan.engine.problem import Mode
    from stationplan.network import Network
    from stationplan.network.network import Crew
    from stationplan.scenario.models import Scenario


def only_what_is_made(network: Network, scenario: Scenario, raw: dict[str, Any]) -> dict[str, Any]:
    """The scenario without the recipes that no order needs: what only they use can be taken away.

    Args:
        network: the scheduling problem of the scenario.
        scenario: the scenario.
        raw: the same as plain data.

    Returns:
        A copy of the plain data; its kitchen has everything that it had.
    """
    made = {amount.item for amount in network.amounts}
    left = deepcopy(raw)
    for key in ("components", "products"):
        if left.get(key):
            left[key] = {name: item for name, item in left[key].items() if parse_name(name) in made}
    # A washing time between contents that are in no bowl any more would be taken for a misspelt name.
    held = {step.holding or name for name, _, step, _ in all_steps(complete_draft(scenario)) if name in made}
    contents = {*held, *made, ANYTHING}
    for machine, plain in zip(scenario.kitchen.equipment, left["kitchen"]["equipment"], strict=True):
        if machine.changeovers:
            plain["changeovers"] = [
                written
                for change, written in zip(machine.changeovers, plain["changeovers"], strict=True)
                if {change.before, change.after} <= contents
            ]
    return left


def is_the_last(network: Network, position: int) -> bool:
    """Whether some step or wait of what is made can be on no other equipment.

    Only then does it prove anything that a scenario with less of it cannot be read.

    Args:
        network: the scheduling problem of the scenario that the equipment is in.
        position: of the equipment in its kitchen.
    """
    taken = {
        index
        for index, group in enumerate(network.resources)
        if isinstance(group, StationGroup) and group.equipment == position
    }
    problem = network.problem
    return any(all(_takes(mode, taken) for mode in task.modes) for task in problem.tasks) or any(
        taken.issuperset(hold.resources) for hold in problem.holds
    )


def _takes(mode: Mode, resources: Collection[int]) -> bool:
    """Whether a way of doing something needs one of these resources and can have no other."""
    return any(set(use.resources) <= set(resources) for use in mode.uses)


def fewer_stations(scenario: Scenario, position: int) -> Alteration:
    """Fewer of an equipment, down to none.

    With the last one, the equipment is taken out of steps that may be done on something else instead. Where there is
    nothing else, or a place to stand things is missing, the changed scenario cannot be read: it cannot be done.

    Args:
        scenario: the scenario.
        position: of the equipment in its kitchen.
    """
    machine = scenario.kitchen.equipment[position]
    path = ("kitchen", "equipment", position)

    def apply(raw: dict[str, Any], fewer: int) -> None:
        if fewer < machine.count:
            mapping_at(raw, path)["count"] = machine.count - fewer
            return
        del raw["kitchen"]["equipment"][position]
        _do_without(raw, machine.name)

    def tell(fewer: int) -> str:
        if fewer < machine.count:
            return f"{fewer if fewer > 1 else 'one'} {plural(machine.name, fewer)} fewer"
        return f"without the {plural(machine.name, machine.count)}"

    return Alteration(apply, tell, path, 1, machine.count)


def fewer_people(crew: Crew, scenario: Scenario) -> Alteration:
    """Fewer people of the same skills, hours and breaks, the last ones first.

    Args:
        crew: these people.
        scenario: the scenario.
    """
    positions = [position for position, person in enumerate(scenario.kitchen.people) if person.name in crew.names]

    def apply(raw: dict[str, Any], fewer: int) -> None:
        for position in reversed(positions[-fewer:]):
            del raw["kitchen"]["people"][position]

    def tell(fewer: int) -> str:
        if fewer == len(positions):
            return f"without {listed(crew.names)}"
        return f"without {fewer if fewer > 1 else 'one'} of {listed(crew.names)}"

    return Alteration(apply, tell, ("kitchen", "people", positions[0]), 1, len(positions))


def _do_without(raw: dict[str, Any], name: str) -> None:
    """Leave an equipment that is gone out of the alternatives of steps, where something else is left."""
    kinds = {machine["kind"] for machine in raw["kitchen"]["equipment"]}
    kind_of = {kind: kind for kind in kinds}
    kind_of |= {machine["name"].casefold(): machine["kind"] for machine in raw["kitchen"]["equipment"]}
    for step in _steps(raw):
        written = step.get("equipment")
        options = re.split(r"\s+or\s+", written.strip()) if isinstance(written, str) else written
        if not isinstance(options, list):
            continue
        left = [option for option in options if _used(option) != name.casefold() or _used(option) in kinds]
        if left and len(left) < len(options):
            step["equipment"] = left
            if "mixer" not in (kind_of.get(_used(option)) for option in left):
                # It says what is in a mixer's bowl, and is refused where there is none.
                step.pop("holding", None)


def _used(option: str | dict[str, Any]) -> str:
    """The name or kind of equipment in one way of doing a step."""
    use: str = option if isinstance(option, str) else option["use"]
    return re.split(r"\s+at\s+", use.strip(), maxsplit=1)[0].casefold()


def _steps(raw: dict[str, Any]) -> Iterator[dict[str, Any]]:
    for items in (raw.get("components") or {}, raw["products"]):
        for item in items.values():
            entries = item["steps"] if isinstance(item["steps"], list) else [item["steps"]]
            for entry in entries:
                yield from entry["steps"] if "repeat" in entry else [entry]
