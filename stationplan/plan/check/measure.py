"""How much room a quantity takes up: units, pieces and filling rates."""

from __future__ import annotations

from fractions import Fraction

from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.scenario.models import Equipment, Item
from stationplan.scenario.units import Quantity, Rate

CHAMBER_KINDS = frozenset({"oven", "prover"})
MEASURED_UNITS = frozenset({"g", "ml"})


def is_pool(equipment: Equipment) -> bool:
    """Whether its units form one place that is filled up, rather than machines of their own."""
    return equipment.kind not in CHAMBER_KINDS and equipment.kind != "mixer"


def room_unit(equipment: Equipment) -> str:
    """The unit in which its room is counted."""
    if equipment.holds is not None:
        return equipment.holds.unit
    return "place" if is_pool(equipment) else "batch"


def station_room(equipment: Equipment) -> Fraction:
    """The room of one row of the plan: one chamber, one bowl as far as it may be filled, or a whole place.

    Args:
        equipment: the kitchen's entry.

    Returns:
        Room in :func:`room_unit`, exact.
    """
    one = Fraction(1) if equipment.holds is None else equipment.holds.amount
    if is_pool(equipment):
        return one * equipment.count
    if equipment.kind == "mixer" and equipment.holds is not None:
        return one * equipment.usable
    return one


def units_per_base(item: Item, unit: str) -> Fraction | None:
    """How many of ``unit`` one base unit of the item is.

    Args:
        item: a component or product.
        unit: the unit asked for.

    Returns:
        The factor, or None when the item cannot be counted in that unit.
    """
    base = item.makes.unit
    if unit == base:
        return Fraction(1)
    pieces = item.pieces
    if pieces is None or unit != pieces.amount.unit:
        return None
    if pieces.per is not None:
        return pieces.amount.amount / pieces.per.amount if pieces.per.unit == base else None
    return pieces.amount.amount / item.makes.amount


def in_base(item: Item, name: str, quantity: Quantity) -> Fraction:
    """A quantity of an item in the item's base unit.

    Args:
        item: a component or product.
        name: its name, for the message.
        quantity: in any unit the item is counted in.

    Returns:
        The exact amount.

    Raises:
        UnclearScenarioError: when the item is not counted in that unit.
    """
    factor = units_per_base(item, quantity.unit)
    if factor is None:
        raise UnclearScenarioError(f"{name} is counted in {item.makes.unit}, not in {quantity.unit}.")
    return quantity.amount / factor


def rate_for(item: Item, name: str, rate: Rate, size: Fraction) -> Fraction:
    """What a rate comes to for a batch or lot.

    Args:
        item: the component or product that fills the place.
        name: its name, for the message.
        rate: for example ``1 tray per 12 pieces``.
        size: in the item's base unit.

    Returns:
        The exact amount in the unit of the rate.

    Raises:
        UnclearScenarioError: when the rate is per something the item is not counted in.
    """
    if rate.basis == "batch":
        return rate.amount.amount
    if rate.per is None:
        return rate.amount.amount * size / item.makes.amount
    return rate.amount.amount * size / in_base(item, name, rate.per)


def own_amount(item: Item, size: Fraction, unit: str) -> Fraction | None:
    """The batch's or lot's own amount counted in ``unit``, or None when it is not counted so."""
    factor = units_per_base(item, unit)
    return None if factor is None else size * factor


def batch_room(item: Item, name: str, fills: Rate | None, size: Fraction, equipment: Equipment) -> Fraction | None:
    """The room a batch takes up on a piece of equipment.

    Args:
        item: the component or product.
        name: its name, for the message.
        fills: the rate given for the step on this equipment, if any.
        size: of the batch, in the item's base unit.
        equipment: where it is.

    Returns:
        Exact room in the equipment's unit; None when nothing limits it (a bowl counted in another measure).

    Raises:
        UnclearScenarioError: when the room cannot be told.
    """
    if equipment.holds is None and not is_pool(equipment):
        return Fraction(1)
    unit = room_unit(equipment)
    if fills is not None and fills.amount.unit == unit:
        return rate_for(item, name, fills, size)
    if fills is None:
        own = own_amount(item, size, unit)
        if own is not None:
            return own
        if equipment.kind == "mixer":
            return None
        if is_pool(equipment) and unit not in MEASURED_UNITS:
            return Fraction(1)
    raise UnclearScenarioError(f"How much of {equipment.name} a batch of {name} fills cannot be told.")


def waiting_room(item: Item, name: str, fills: Rate | None, equipment: Equipment) -> tuple[Fraction, Fraction]:
    """The room a waiting batch takes up in a place.

    Args:
        item: the component or product that waits.
        name: its name, for the message.
        fills: the rate given for the wait, if any.
        equipment: where it waits.

    Returns:
        Exact room in the equipment's unit, for each base unit and for the batch as such.

    Raises:
        UnclearScenarioError: when the room cannot be told.
    """
    unit, one, nothing = room_unit(equipment), Fraction(1), Fraction(0)
    if fills is not None and fills.amount.unit == unit:
        room = rate_for(item, name, fills, one)
        return (nothing, room) if fills.basis == "batch" else (room, nothing)
    own = own_amount(item, one, unit) if fills is None else None
    if own is None:
        raise UnclearScenarioError(f"How much of {equipment.name} {name} fills while it waits cannot be told.")
    return own, nothing
