"""Which equipment can do a step, how much of the item it holds, and which places can hold a wait."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import TYPE_CHECKING

from stationplan.network.errors import BatchError, Path, QuantityError
from stationplan.network.measures import MEASURED, Room, own_room, rate_room

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stationplan.network.flow import Entry
    from stationplan.scenario.models import Equipment, EquipmentNeed, Item, Step
    from stationplan.scenario.units import Rate, Setting

CHAMBERED = frozenset({"oven", "prover"})
ROOM_TEMPERATURE = Fraction(20)


@dataclass(frozen=True, slots=True)
class Alternative:
    """One equipment entry that a step may be done on.

    Attributes:
        equipment: its position in the kitchen.
        need: the way of doing the step that it answers.
        room: room a batch takes; None when the equipment takes a batch of any size, one at a time.
        capacity: room there is, in the equipment's unit.
        least: room that must be filled for it to work.
        setting: temperature and mode for ovens and provers.
        bowl: whether it is a mixer's bowl, which takes one batch at a time.
        slower: the shares by which it takes longer on each of its chambers or bowls than the recipe says.
    """

    equipment: int
    need: EquipmentNeed
    room: Room | None
    capacity: Fraction
    least: Fraction = Fraction(0)
    setting: Setting | None = None
    bowl: bool = False
    slower: tuple[Fraction, ...] = ()

    def limit(self) -> int | None:
        """Most whole base units in one batch, None for any number."""
        return None if self.room is None else self.room.limit(self.capacity)

    def least_size(self) -> int:
        """Fewest whole base units in one batch."""
        if self.room is None or not self.room.each or not self.least:
            return 1
        return max(1, ceil((self.least - self.room.fixed) / self.room.each))

    def takes(self, size: Fraction | int) -> bool:
        """Whether a batch of ``size`` base units fits and fills it enough."""
        return self.room is None or self.least <= self.room.amount(size) <= self.capacity


@dataclass(frozen=True, slots=True)
class Spot:
    """A place that a wait or a further need of a step may be in: its position in the kitchen and the room taken."""

    equipment: int
    room: Room
    capacity: Fraction

    def holds(self, size: Fraction | int) -> bool:
        """Whether ``size`` base units fit, rounded up to whole units of room."""
        return ceil(self.room.amount(size)) <= self.capacity


def unit_of(equipment: Equipment) -> str:
    """The unit that room in this equipment is counted in."""
    if equipment.holds is not None:
        return equipment.holds.unit
    return "batch" if equipment.kind in CHAMBERED or equipment.kind == "mixer" else "place"


def capacity_of(equipment: Equipment) -> Fraction:
    """Room of one chamber or bowl, or of all of a pool together, in :func:`unit_of`."""
    holds = Fraction(1) if equipment.holds is None else equipment.holds.amount
    if equipment.kind == "mixer":
        return holds if equipment.holds is None else holds * equipment.usable
    return Fraction(floor(holds if equipment.kind in CHAMBERED else holds * equipment.count))


def named(word: str, equipment: Sequence[Equipment]) -> list[int]:
    """Positions of the entry of that name, or of all entries of that kind."""
    word = word.casefold()
    exact = [position for position, entry in enumerate(equipment) if entry.name.casefold() == word]
    return exact or [position for position, entry in enumerate(equipment) if entry.kind == word]


def alternatives_of(entry: Entry, item: Item, name: str, equipment: Sequence[Equipment]) -> tuple[Alternative, ...]:
    """The equipment entries a step may be done on, in the order the recipe names them.

    Args:
        entry: the step.
        item: the item it belongs to.
        name: the item's name.
        equipment: the kitchen's equipment.

    Returns:
        Empty when the step needs no equipment.

    Raises:
        BatchError: when no equipment of the kitchen has the setting.
        QuantityError: when the recipe must say how much room it takes.
    """
    step = entry.step
    if not step.equipment:
        return ()
    found: list[Alternative] = []
    refused: str | None = None
    seen = False
    for need in step.equipment:
        for position in named(need.use, equipment):
            seen = True
            machine = equipment[position]
            if not _has_setting(machine, need, entry.path):
                continue
            fit = _fit(step, need, machine, item, name, entry.path)
            if isinstance(fit, str):
                refused = refused or fit
            else:
                least, setting = _least_fill(machine, fit[0]), need.at if machine.kind in CHAMBERED else None
                slower = tuple(
                    machine.slower_by(unit, chamber)
                    for unit in range(1, machine.count + 1)
                    for chamber in range(1, machine.chambers + 1)
                )
                found.append(Alternative(position, need, *fit, least, setting, machine.kind == "mixer", slower))
    if found:
        return tuple(found)
    wanted = " or ".join(need.use for need in step.equipment)
    if refused:
        raise QuantityError(refused, entry.path)
    if seen:
        raise BatchError(
            f"no {wanted} in this kitchen has the temperature and setting that {step.name!r} needs", entry.path
        )
    raise BatchError(f"there is no {wanted} in this kitchen", entry.path)


def _fit(
    step: Step, need: EquipmentNeed, machine: Equipment, item: Item, name: str, path: Path
) -> tuple[Room | None, Fraction] | str:
    """Room taken and room there, or why it cannot be said."""
    capacity, unit = capacity_of(machine), unit_of(machine)
    rate = need.fills or step.fills
    mixer = machine.kind == "mixer"
    if machine.holds is None and (mixer or machine.kind in CHAMBERED):
        return None, capacity
    if rate is not None and rate.amount.unit == unit:
        return rate_room(rate, item, name, path), capacity
    if rate is None:
        room = own_room(unit, item)
        if room is not None:
            return room, capacity
        if mixer:
            return None, capacity
        if machine.kind not in CHAMBERED and unit not in MEASURED:
            return Room(fixed=Fraction(1)), capacity
    return f"say how much of the {machine.name} {step.name!r} fills, in {unit}: `fills: 1 {unit} per {item.makes.unit}`"


def _least_fill(machine: Equipment, room: Room | None) -> Fraction:
    if machine.kind != "mixer" or machine.holds is None or room is None:
        return Fraction(0)
    return machine.holds.amount * machine.least_fill


def start_of(machine: Equipment) -> Fraction:
    """Degrees Celsius inside an oven or prover when the shift opens."""
    return ROOM_TEMPERATURE if machine.starts_at is None else machine.starts_at


def _has_setting(machine: Equipment, need: EquipmentNeed, path: Path) -> bool:
    if machine.kind not in CHAMBERED:
        return True
    if need.at is None:
        raise BatchError(f"say at what temperature the {need.use} is, such as `{need.use} at 180 C`", path)
    if machine.range is not None and not machine.range[0] <= need.at.celsius <= machine.range[1]:
        return False
    return not need.at.mode or need.at.mode in machine.settings


def spots_for_wait(
    place: str, fills: Rate | None, item: Item, name: str, equipment: Sequence[Equipment], path: Path
) -> tuple[Spot, ...]:
    """Places of that name or kind that a wait may be in.

    Raises:
        BatchError: when the kitchen has no such place.
        QuantityError: when the recipe must say how much room it takes.
    """
    found = [position for position in named(place, equipment) if not _is_machine(equipment[position])]
    if not found:
        raise BatchError(f"there is no {place} in this kitchen where {name} could stand", path)
    spots = []
    for position in found:
        unit = unit_of(equipment[position])
        if fills is None:
            room = own_room(unit, item)
        else:
            room = rate_room(fills, item, name, path) if fills.amount.unit == unit else None
        if room is not None:
            spots.append(Spot(position, room, capacity_of(equipment[position])))
    if not spots:
        unit = unit_of(equipment[found[0]])
        raise QuantityError(
            f"say how much of the {place} {name} fills, in {unit}: `fills: 1 {unit} per {item.makes.unit}`", path
        )
    return tuple(spots)


def spots_besides(step: Step, equipment: Sequence[Equipment], path: Path) -> tuple[tuple[str, tuple[Spot, ...]], ...]:
    """The further places a step needs for its whole time (`also`): for each, the ones that have that much room.

    Raises:
        BatchError: when no place of that name has enough.
    """
    needs = []
    for place, quantity in step.also.items():
        spots = tuple(
            spot
            for position in named(place, equipment)
            if not _is_machine(equipment[position]) and unit_of(equipment[position]) == quantity.unit
            for spot in [Spot(position, Room(fixed=quantity.amount), capacity_of(equipment[position]))]
            if spot.holds(1)
        )
        if not spots:
            raise BatchError(
                f"no {place} in this kitchen has {quantity.amount} {quantity.unit} for {step.name!r}", path
            )
        needs.append((place, spots))
    return tuple(needs)


def _is_machine(equipment: Equipment) -> bool:
    return equipment.kind in CHAMBERED or equipment.kind == "mixer"
