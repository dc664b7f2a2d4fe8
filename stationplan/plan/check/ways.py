"""Ways of doing a step: how large a batch each piece of equipment takes, and how small."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.plan.check.measure import CHAMBER_KINDS, batch_room, in_base, station_room
from stationplan.plan.check.recipe import Recipe, Stage
from stationplan.scenario.models import Equipment, EquipmentNeed, Item
from stationplan.scenario.units import Setting


@dataclass(frozen=True)
class Way:
    """One piece of equipment that a step may be done on.

    A batch fills ``fixed`` room whatever its size and ``each`` for every base unit in it. There is ``room``, None where
    any batch fits, and ``least`` of it must be filled.
    """

    need: EquipmentNeed
    fixed: Fraction
    each: Fraction
    room: Fraction | None
    least: Fraction

    @property
    def largest(self) -> int | None:
        """Most whole base units in one batch, None for any number."""
        if self.room is None:
            return None
        if self.fixed > self.room:
            return 0
        return math.floor((self.room - self.fixed) / self.each) if self.each else None

    @property
    def smallest(self) -> int:
        """Fewest whole base units in one batch."""
        if self.room is None or not self.least or not self.each:
            return 1
        return max(1, math.ceil((self.least - self.fixed) / self.each))

    def does(self, size: Fraction) -> bool:
        """Whether a batch of this size fits, and fills it enough."""
        return self.room is None or self.least <= self.fixed + self.each * size <= self.room


@dataclass(frozen=True)
class Bounds:
    """What the kitchen says of the batches of one stage: ``largest`` in whole base units, None for any number."""

    stage: Stage
    ways: tuple[Way, ...]
    largest: int | None

    @property
    def smallest(self) -> int:
        """Fewest whole base units that fill some equipment enough."""
        return min((way.smallest for way in self.ways), default=1)


def bounds_of(recipe: Recipe, stage: Stage, kitchen: Sequence[Equipment]) -> Bounds:
    """Find out how large the batches of a stage may be.

    Args:
        recipe: the item laid out.
        stage: one of its stages.
        kitchen: all equipment.

    Returns:
        The bounds; without any where nothing in the kitchen does the step, which the seats of its batches show.

    Raises:
        UnclearScenarioError: when nothing can be said of the room, or not even one unit fits.
    """
    ways = _ways(recipe, stage, kitchen)
    wanted = [] if stage.step.batch is None else [math.floor(in_base(recipe.item, recipe.name, stage.step.batch))]
    held = [way.largest for way in ways]
    if held and None not in held:
        wanted.append(max(most for most in held if most is not None))
    largest = min(wanted, default=None)
    if largest is not None and largest < 1:
        raise UnclearScenarioError(f"Not even one {recipe.item.makes.unit} of {recipe.name} fits in {stage.step.name}.")
    return Bounds(stage, ways, largest)


def can_be_set(equipment: Equipment, wanted: Setting) -> bool:
    """Whether an oven or prover reaches a temperature and has the mode."""
    lowest, highest = equipment.range or (wanted.celsius, wanted.celsius)
    return lowest <= wanted.celsius <= highest and (not wanted.mode or wanted.mode in equipment.settings)


def _ways(recipe: Recipe, stage: Stage, kitchen: Sequence[Equipment]) -> tuple[Way, ...]:
    found, unclear = [], None
    for need in stage.step.equipment:
        for equipment in _called(need.use, kitchen):
            if equipment.kind in CHAMBER_KINDS and need.at is not None and not can_be_set(equipment, need.at):
                continue
            try:
                found.append(_way(recipe.item, recipe.name, stage, need, equipment))
            except UnclearScenarioError as error:
                # Of equipment whose room cannot be told, a batch goes into the other.
                unclear = error
    if unclear is not None and not found:
        raise unclear
    return tuple(found)


def _called(use: str, kitchen: Sequence[Equipment]) -> Iterator[Equipment]:
    """The equipment of that name, or else of that kind."""
    wanted = use.casefold()
    by_name = [equipment for equipment in kitchen if equipment.name.casefold() == wanted]
    yield from by_name or (equipment for equipment in kitchen if equipment.kind == wanted)


def _way(item: Item, name: str, stage: Stage, need: EquipmentNeed, equipment: Equipment) -> Way:
    fills = need.fills or stage.step.fills
    fixed = batch_room(item, name, fills, Fraction(0), equipment)
    with_one = batch_room(item, name, fills, Fraction(1), equipment)
    if fixed is None or with_one is None:
        return Way(need, Fraction(0), Fraction(0), None, Fraction(0))
    room = station_room(equipment)
    if equipment.kind != "mixer":
        # Trays and places are whole; only a bowl may be filled to any height.
        return Way(need, fixed, with_one - fixed, Fraction(math.floor(room)), Fraction(0))
    least = Fraction(0) if equipment.holds is None else equipment.least_fill * equipment.holds.amount
    return Way(need, fixed, with_one - fixed, room, least)
