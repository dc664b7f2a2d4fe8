"""Amounts in an item's own unit, and the room they take."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from stationplan.network.errors import Path, QuantityError

if TYPE_CHECKING:
    from stationplan.scenario.models import Item
    from stationplan.scenario.units import Quantity, Rate

MEASURED = frozenset({"g", "ml"})


@dataclass(frozen=True, slots=True)
class Room:
    """Room that a batch takes: ``fixed`` for any batch and ``each`` for every base unit in it."""

    fixed: Fraction = Fraction(0)
    each: Fraction = Fraction(0)

    def amount(self, size: Fraction | int) -> Fraction:
        """Room for a batch of ``size`` base units."""
        return self.fixed + self.each * size

    def limit(self, capacity: Fraction | int) -> int | None:
        """Most whole base units that fit into ``capacity``; None when any number fits."""
        if self.fixed > capacity:
            return 0
        return floor((capacity - self.fixed) / self.each) if self.each else None


def pieces_each(item: Item) -> Fraction | None:
    """Pieces in one base unit of the item, None when it is not counted in pieces."""
    rate = item.pieces
    if rate is None:
        return None
    if rate.per is None:
        return rate.amount.amount / item.makes.amount
    return rate.amount.amount / rate.per.amount


def in_base_unit(quantity: Quantity, item: Item, name: str, path: Path) -> Fraction:
    """Convert a quantity to the base unit of an item.

    Args:
        quantity: in the item's base unit, or in its pieces.
        item: the item it is an amount of.
        name: the item's name, for the message.
        path: where the quantity stands.

    Raises:
        QuantityError: when the item is not counted in that unit.
    """
    if quantity.unit == item.makes.unit:
        return quantity.amount
    each = pieces_each(item)
    if each is not None and item.pieces is not None and quantity.unit == item.pieces.amount.unit:
        return quantity.amount / each
    units = item.makes.unit if item.pieces is None else f"{item.makes.unit} or {item.pieces.amount.unit}"
    raise QuantityError(
        f"{name} is counted in {units}, not in {quantity.unit}; say how many {quantity.unit} it gives with `pieces`",
        path,
    )


def rate_room(rate: Rate, item: Item, name: str, path: Path) -> Room:
    """Room by a `fills` rate.

    Raises:
        QuantityError: when the rate counts the item in a unit it does not have.
    """
    if rate.basis == "batch":
        return Room(fixed=rate.amount.amount)
    if rate.per is None:
        return Room(each=rate.amount.amount / item.makes.amount)
    return Room(each=rate.amount.amount / in_base_unit(rate.per, item, name, path))


def own_room(unit: str, item: Item) -> Room | None:
    """Room in a place counted like the item itself or its pieces; None when it is counted otherwise."""
    if unit == item.makes.unit:
        return Room(each=Fraction(1))
    each = pieces_each(item)
    if each is not None and item.pieces is not None and unit == item.pieces.amount.unit:
        return Room(each=each)
    return None
