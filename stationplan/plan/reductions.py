"""Taking equipment and people away from a scenario, as changes to its plain data."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from stationplan.plan.alteration import Alteration, mapping_at
from stationplan.plan.wording import listed
from stationplan.scenario.units import plural

if TYPE_CHECKING:
    from stationplan.network.network import Crew
    from stationplan.scenario.models import Scenario


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
    for step in _steps(raw):
        written = step.get("equipment")
        options = re.split(r"\s+or\s+", written.strip()) if isinstance(written, str) else written
        if not isinstance(options, list):
            continue
        left = [option for option in options if _used(option) != name.casefold() or _used(option) in kinds]
        if left and len(left) < len(options):
            step["equipment"] = left


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
