"""What an item or a piece of equipment can be counted in, and the room that one unit of an item takes."""

from __future__ import annotations

from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from stationplan.scenario.checks.kitchen import CHAMBERED
from stationplan.scenario.units import plural
from stationplan.scenario.units.numbers import suggestion
from stationplan.scenario.units.quantities import format_per

if TYPE_CHECKING:
    from stationplan.scenario.models import Equipment, Item
    from stationplan.scenario.units import Quantity, Rate

MEASURED = ("g", "ml")


def is_pool(entry: Equipment) -> bool:
    """Whether it is a place or tool, not an oven, prover or mixer."""
    return entry.kind not in CHAMBERED and entry.kind != "mixer"


def unit_of(entry: Equipment) -> str | None:
    """The unit its room is counted in, None for a machine that takes one batch of any size."""
    if entry.holds is not None:
        return entry.holds.unit
    return "place" if is_pool(entry) else None


def room_of(entry: Equipment) -> Fraction:
    """Room of one chamber or bowl, or of all places of a pool together."""
    holds = Fraction(1) if entry.holds is None else entry.holds.amount
    if is_pool(entry):
        return Fraction(floor(holds * entry.count))
    return holds * entry.usable if entry.kind == "mixer" else Fraction(floor(holds))


def units_of(item: Item) -> dict[str, Fraction]:
    """The units an item can be counted in, each with how many of them one base unit is."""
    units = {item.makes.unit: Fraction(1)}
    if item.pieces is not None and item.makes.amount > 0:
        per = item.pieces.per or item.makes
        if per.unit == item.makes.unit:
            units.setdefault(item.pieces.amount.unit, item.pieces.amount.amount / per.amount)
    return units


def base_units(quantity: Quantity, item: Item) -> Fraction | None:
    """A quantity of an item in its base unit, None when it cannot be counted so."""
    each = units_of(item).get(quantity.unit)
    return quantity.amount / each if each else None


def room_of_one(fills: Rate | None, unit: str, item: Item) -> Fraction | None:
    """Room that a batch of one base unit takes, None when that cannot be told."""
    if fills is None:
        return units_of(item).get(unit)
    if fills.amount.unit != unit:
        return None
    if fills.basis == "batch":
        return fills.amount.amount
    per = base_units(fills.per or item.makes, item)
    return fills.amount.amount / per if per else None


def not_counted_in(name: str, item: Item, unit: str) -> str:
    """A sentence that says what an item is counted in, for a unit it is not."""
    units = units_of(item)
    many = in_words(unit)
    hint = suggestion(unit, units)
    if not hint and item.pieces is None:
        hint = f"; write it so, or say how many one gives, such as pieces: 24 {many} per {handy(item.makes.unit)}"
    return f"'{name}' is counted in {in_words(*units)}, not in {many}{hint}"


def wrong_way_round(fills: Rate) -> str:
    """A sentence for ``50 pieces per tray`` where ``1 tray per 50 pieces`` belongs."""
    right = f"{fills.per} per {format_per(fills.amount)}"
    return f"'{fills}' is the wrong way round: how much room how many take; write fills: {right}"


def handy(unit: str) -> str:
    """A unit to give rates in or per: ``kg`` rather than ``g``."""
    return {"g": "kg", "ml": "l"}.get(unit, unit)


def in_words(*units: str) -> str:
    """Units as one says them: ``g``, ``trays or discs``."""
    return " or ".join(unit if unit in MEASURED else plural(unit, 2) for unit in units)
