"""Where parts of a batch, or of stock, may stand while they wait, and the room they take there."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from stationplan.network.alternatives import spots_for_wait, unit_of
from stationplan.network.errors import BatchError
from stationplan.network.sharing import shared_room
from stationplan.network.stock import STOCK
from stationplan.scenario.units import format_quantity

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from stationplan.network.alternatives import Spot
    from stationplan.network.batches import Recipe
    from stationplan.network.flow import Stand
    from stationplan.network.sharing import Leaving
    from stationplan.scenario.models import Equipment


def spots_of(recipe: Recipe, stand: Stand, equipment: Sequence[Equipment]) -> tuple[Spot, ...]:
    """The places that a wait may be in.

    Args:
        recipe: the item that waits.
        stand: the wait; it is in a place.
        equipment: the kitchen's equipment.

    Raises:
        NetworkError: when there is none, or when it cannot be told how much room it takes.
    """
    assert stand.place is not None
    return spots_for_wait(stand.place, stand.fills, recipe.item, recipe.name, equipment, stand.path)


def room_for(
    recipe: Recipe,
    stand: Stand,
    spots: tuple[Spot, ...],
    sharing: list[Leaving],
    end: Fraction,
    equipment: Sequence[Equipment],
) -> tuple[tuple[Spot, ...], list[int]]:
    """The places that parts which share trays may stand in, and the room of each part.

    Args:
        recipe: the item that waits.
        stand: the wait.
        spots: the places that it may be in.
        sharing: the parts, in the order in which they leave.
        end: how much of the batch waits there, up to the end of the last part or with what nobody takes up.
        equipment: the kitchen's equipment.

    Raises:
        BatchError: when it fits nowhere, or when it fills the places in different units.
    """
    size = end - sharing[0].first
    fitting = tuple(spot for spot in spots if spot.holds(size))
    if not fitting:
        raise BatchError(_too_large(recipe, stand, spots, size, equipment), stand.path)
    amounts = shared_room(sharing, fitting[0].room, end)
    if any(shared_room(sharing, spot.room, end) != amounts for spot in fitting):
        # A hold has one amount, whichever place is chosen.
        raise BatchError(
            f"the places called {stand.place} are counted in different units; name the one that is meant",
            stand.path,
        )
    return fitting, amounts


def _too_large(
    recipe: Recipe, stand: Stand, spots: tuple[Spot, ...], size: Fraction, equipment: Sequence[Equipment]
) -> str:
    item, largest = recipe.item, max(spots, key=lambda spot: spot.capacity)
    unit = unit_of(equipment[largest.equipment])
    takes, holds = format_quantity(ceil(largest.room.amount(size)), unit), format_quantity(largest.capacity, unit)
    amount = f"{format_quantity(size, item.makes.unit)} of {recipe.name}"
    sentence = f"{amount} at once takes {takes}, and the {stand.place} holds {holds}"
    # One recipe, such as a whole cake, may be nothing that can be made in parts, and what is in stock is made already.
    if size > item.makes.amount and stand.path[0] != STOCK:
        sentence += "; give the step before it a smaller `batch`"
    return sentence
