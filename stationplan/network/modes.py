"""The ways of doing one batch, as engine modes, and what each of their uses means in the kitchen."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber, Mode, Pool, Use
from stationplan.network.crews import crews_of, hands, mornings_of
from stationplan.network.errors import BatchError
from stationplan.network.network import Crew, HandUse, ModeUses, SeatUse, StationGroup
from stationplan.network.stations import station_names, stations_of
from stationplan.network.times import BatchTime, batch_time
from stationplan.scenario.units import PeopleNeed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from stationplan.network.alternatives import Alternative, Spot
    from stationplan.network.batches import Recipe
    from stationplan.network.flow import Entry
    from stationplan.network.production import Production
    from stationplan.network.so_far import SoFar
    from stationplan.network.times import Durations
    from stationplan.scenario.models import Scenario
    from stationplan.scenario.units import Setting

ANYBODY = PeopleNeed(1, None)


@dataclass(frozen=True)
class Resources:
    """The engine's resources and what they are.

    ``of_equipment`` are those of an equipment entry by its position; ``settings`` and ``contents`` what steps need of
    it and put into it.
    """

    engine: tuple[Pool | Chamber, ...]
    meaning: tuple[StationGroup | Crew, ...]
    of_equipment: Mapping[int, tuple[int, ...]]
    settings: tuple[tuple[Setting, ...], ...]
    contents: tuple[tuple[str, ...], ...]

    @property
    def crews(self) -> list[tuple[int, Crew]]:
        """Positions of the crews, and the crews."""
        return [(index, crew) for index, crew in enumerate(self.meaning) if isinstance(crew, Crew)]

    def pools(self, spots: tuple[Spot, ...]) -> tuple[int, ...]:
        """The pools that are these places."""
        return tuple(index for spot in spots for index in self.of_equipment[spot.equipment])


def resources_of(scenario: Scenario, made: Mapping[str, Production], so_far: SoFar | None = None) -> Resources:
    """Equipment and people as resources, with the settings and contents that the items made need of them.

    What has begun may be, or may have been, on other equipment than the recipe says; that has to be got ready again
    for everything else.
    """
    equipment = scenario.kitchen.equipment
    settings: list[dict[Setting, None]] = [{} for _ in equipment]
    contents: list[dict[str, None]] = [{} for _ in equipment]
    for production in made.values():
        recipe = production.recipe
        for entry in recipe.flow.steps:
            for choice in recipe.alternatives[entry.index]:
                if choice.setting is not None:
                    settings[choice.equipment][choice.setting] = None
                contents[choice.equipment][content_of(entry, recipe)] = None
    positions = {name: position for position, machine in enumerate(equipment) for name in station_names(machine)}
    for run in () if so_far is None else so_far.runs:
        for station, seat in run.seats:
            if station in positions and seat.setting is not None:
                settings[positions[station]][seat.setting] = None
            if station in positions and seat.holding is not None:
                contents[positions[station]][seat.holding] = None
    engine: list[Pool | Chamber] = []
    meaning: list[StationGroup | Crew] = []
    of_equipment = {}
    mornings = mornings_of(scenario.kitchen.people, scenario.shift)
    for position, machine in enumerate(equipment):
        found = stations_of(position, machine, settings[position], contents[position], scenario.shift, mornings)
        of_equipment[position] = tuple(range(len(engine), len(engine) + len(found)))
        meaning.extend(group for group, _ in found)
        engine.extend(resource for _, resource in found)
    for crew, pool in crews_of(scenario.kitchen.people, scenario.shift):
        meaning.append(crew)
        engine.append(pool)
    needed = tuple(tuple(found) for found in settings)
    return Resources(tuple(engine), tuple(meaning), of_equipment, needed, tuple(tuple(found) for found in contents))


def content_of(entry: Entry, recipe: Recipe) -> str:
    """What a step puts into a mixer bowl."""
    return entry.step.holding or recipe.name


@dataclass(frozen=True, slots=True)
class _Way:
    """What must be equal for several pieces of equipment to be one mode."""

    time: BatchTime
    amount: int
    state: str | None
    seat: SeatUse | None


def modes_of(
    entry: Entry, recipe: Recipe, size: Fraction, resources: Resources, durations: Durations
) -> tuple[tuple[Mode, ...], tuple[ModeUses, ...]]:
    """The modes of a batch of ``size`` base units, and the meaning of their uses.

    Equipment on which the batch takes equally long and equally much is one mode with several resources.

    Raises:
        BatchError: when the batch would take no time in an oven or bowl.
        StaffError: when there are not enough people with a skill.
    """
    ways: dict[tuple[_Way, bool], list[int]] = {}
    choices = [choice for choice in recipe.alternatives[entry.index] if choice.takes(size)]
    for choice in choices:
        # Where several are one resource, they are all equally slow.
        for index, slower in zip(resources.of_equipment[choice.equipment], choice.slower, strict=False):
            way = _way(entry, recipe, size, choice, slower, resources.engine[index], durations)
            found = ways.setdefault((way, isinstance(resources.engine[index], Chamber)), [])
            if index not in found:
                found.append(index)
    if not choices:
        time = batch_time(entry.step, None, size, recipe.item, recipe.name, entry.path, durations)
        ways[_Way(time, 0, None, None), False] = []
    modes = []
    meanings = []
    for (way, _), indices in ways.items():
        uses: list[Use] = []
        meaning: list[SeatUse | HandUse] = []
        if way.seat is not None:
            uses.append(Use(tuple(indices), way.amount, state=way.state))
            meaning.append(way.seat)
        for _, spots in recipe.besides[entry.index]:
            amount = ceil(spots[0].room.amount(size))
            uses.append(Use(resources.pools(spots), amount))
            meaning.append(SeatUse(amount))
        for part in way.time.parts:
            for need in entry.step.people or (ANYBODY,):
                for use in hands(part, need, resources.crews, entry.name, entry.path):
                    uses.append(use)
                    meaning.append(HandUse(part.doing, use.amount, need.skill))
        modes.append(Mode(way.time.minutes, tuple(uses)))
        meanings.append(tuple(meaning))
    return tuple(modes), tuple(meanings)


def _way(
    entry: Entry,
    recipe: Recipe,
    size: Fraction,
    choice: Alternative,
    slower: Fraction,
    resource: Pool | Chamber,
    durations: Durations,
) -> _Way:
    time = batch_time(entry.step, choice.need, size, recipe.item, recipe.name, entry.path, durations, slower)
    room = 1 if choice.room is None else ceil(choice.room.amount(size))
    holding = content_of(entry, recipe) if choice.bowl else None
    state = None
    if isinstance(resource, Chamber):
        state = str(choice.setting) if choice.setting is not None else holding
    if isinstance(resource, Chamber) and time.minutes < 1:
        raise BatchError(f"{entry.name!r} takes no time; say how many minutes it is on the equipment", entry.path)
    return _Way(time, 1 if choice.bowl else room, state, SeatUse(room, choice.setting, holding))
