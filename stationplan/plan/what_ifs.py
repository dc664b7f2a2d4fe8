"""What could be otherwise in a kitchen: one more, one fewer, a larger oven, a later closing time."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from copy import deepcopy
from dataclasses import dataclass
from enum import StrEnum
from functools import partial
from typing import TYPE_CHECKING, Any

from stationplan.network.alternatives import CHAMBERED
from stationplan.network.measures import MEASURED
from stationplan.network.network import Crew, StationGroup
from stationplan.plan.alteration import Alteration, mapping_at
from stationplan.plan.alterations import longer_hours, more_people, more_stations
from stationplan.plan.attendance import minutes_present
from stationplan.plan.reductions import fewer_people, fewer_stations, is_the_last, only_what_is_made
from stationplan.scenario.units import format_number, format_quantity, plural

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.network.errors import Path
    from stationplan.scenario.models import Equipment, Scenario


class Choice(StrEnum):
    """A kind of what-if."""

    MORE_EQUIPMENT = "more-equipment"
    MORE_PEOPLE = "more-people"
    LARGER_OVEN = "larger-oven"
    LATER_CLOSE = "later-close"
    FEWER_EQUIPMENT = "fewer-equipment"
    FEWER_PEOPLE = "fewer-people"

    @property
    def adds(self) -> bool:
        """Whether it adds something, rather than taking it away."""
        return self not in (Choice.FEWER_EQUIPMENT, Choice.FEWER_PEOPLE)


ADDITIONS = tuple(choice for choice in Choice if choice.adds)


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A changed scenario.

    Attributes:
        choice: the kind of change.
        sentence: the change in the kitchen's words.
        path: where to make it in the scenario.
        scenario: the changed scenario as plain data.
        takes_the_last: whether a changed scenario that cannot be read proves that it cannot be done.
    """

    choice: Choice
    sentence: str
    path: Path
    scenario: dict[str, Any]
    takes_the_last: bool = False


def what_ifs(network: Network, scenario: Scenario, raw: dict[str, Any], choices: Collection[Choice]) -> list[WhatIf]:
    """Every change of some kinds to what the orders need; nothing is added that they have no use for.

    People of equal skills are one kind when somebody is added: one like whoever of them is there the longest. Where
    somebody leaves, it matters who, so people of the same skills, hours and breaks are one kind.

    Args:
        network: the scheduling problem of the scenario.
        scenario: the scenario.
        raw: the same as plain data.
        choices: the kinds.

    Returns:
        The changes in a fixed order.
    """
    found = []
    made = only_what_is_made(network, scenario, raw)
    for choice in Choice:
        if choice in choices:
            for change, sentence in _changes(network, scenario, choice):
                changed = deepcopy(raw if choice.adds else made)
                change.apply(changed, change.most if choice is Choice.LATER_CLOSE else 1)
                last = _takes_the_last(network, choice, change)
                found.append(WhatIf(choice, sentence, change.path, changed, last))
    return found


def _takes_the_last(network: Network, choice: Choice, change: Alteration) -> bool:
    if choice is Choice.FEWER_EQUIPMENT:
        position = change.path[-1]
        assert isinstance(position, int)
        return is_the_last(network, position)
    # Without somebody a scenario is refused only where a step then has too few people.
    return choice is Choice.FEWER_PEOPLE


def needed_equipment(network: Network) -> list[int]:
    """Positions of the equipment that some step or wait may use.

    Args:
        network: the scheduling problem of the scenario.
    """
    problem = network.problem
    used = {index for task in problem.tasks for mode in task.modes for use in mode.uses for index in use.resources}
    used |= {index for hold in problem.holds for index in hold.resources}
    groups = [network.resources[index] for index in sorted(used)]
    return sorted({group.equipment for group in groups if isinstance(group, StationGroup)})


def needed_crews(network: Network) -> list[Crew]:
    """The people, together with those who are like them, that some step may need.

    Args:
        network: the scheduling problem of the scenario.
    """
    used = {
        index for task in network.problem.tasks for mode in task.modes for use in mode.uses for index in use.resources
    }
    return [group for index, group in enumerate(network.resources) if index in used and isinstance(group, Crew)]


def _changes(network: Network, scenario: Scenario, choice: Choice) -> Iterator[tuple[Alteration, str]]:
    equipment = needed_equipment(network)
    match choice:
        case Choice.MORE_EQUIPMENT:
            found = [more_stations(scenario, position) for position in equipment]
        case Choice.MORE_PEOPLE:
            found = [more_people(scenario, position) for position in _longest_there(network, scenario)]
        case Choice.LARGER_OVEN:
            found = [
                _larger(machine, position)
                for position in equipment
                if _has_slots(machine := scenario.kitchen.equipment[position])
            ]
        case Choice.LATER_CLOSE:
            yield next(longer_hours(network)), "open as long as it takes"
            return
        case Choice.FEWER_EQUIPMENT:
            found = [fewer_stations(scenario, position) for position in equipment]
        case Choice.FEWER_PEOPLE:
            found = [fewer_people(crew, scenario) for crew in needed_crews(network)]
    yield from ((change, change.tell(1)) for change in found)


def _longest_there(network: Network, scenario: Scenario) -> list[int]:
    """For each set of skills the position of the person who is in the kitchen the longest."""
    useful = {name for crew in needed_crews(network) for name in crew.names}
    present = partial(minutes_present, scenario.shift, start=network.opens, end=network.closes)
    best: dict[frozenset[str], int] = {}
    people = scenario.kitchen.people
    for position, person in enumerate(people):
        skills = frozenset(person.skills)
        if person.name in useful and (skills not in best or present(person) > present(people[best[skills]])):
            best[skills] = position
    return list(best.values())


def _has_slots(machine: Equipment) -> bool:
    """Whether it is an oven or prover whose room is counted, in trays for instance."""
    return machine.kind in CHAMBERED and machine.holds is not None and machine.holds.unit not in MEASURED


def _larger(machine: Equipment, position: int) -> Alteration:
    """Room for one more, such as a tray, in each chamber of an oven."""
    path = ("kitchen", "equipment", position)
    holds = machine.holds
    assert holds is not None

    def apply(raw: dict[str, Any], more: int) -> None:
        mapping_at(raw, path)["holds"] = format_quantity(holds.amount + more, holds.unit)

    def tell(more: int) -> str:
        names = plural(machine.name, machine.count)
        then = format_quantity(holds.amount + more, holds.unit)
        return f"{names} of {then}, not {format_number(holds.amount)}"

    return Alteration(apply, tell, (*path, "holds"), 1, 1, steady=False)
