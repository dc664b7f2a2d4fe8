"""What is there already: how much of it is taken up, and how it waits for that."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.network.flow import Stand
from stationplan.network.measures import in_base_unit

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stationplan.network.batches import Recipe
    from stationplan.scenario.models import Shift
    from stationplan.scenario.today import Stock

STOCK = "stock"
"""Key of the scenario, and name of the wait until stock is taken up."""


@dataclass(frozen=True, slots=True)
class Stocked:
    """Stock that is taken up: the cumulated quantity after ``first`` up to ``last``, before anything that is made.

    Attributes:
        first: base units.
        last: base units.
        start: when it is there, minutes after opening.
        stand: how it stands until it is taken up.
    """

    first: Fraction
    last: Fraction
    start: int
    stand: Stand

    @property
    def size(self) -> Fraction:
        """Base units taken up."""
        return self.last - self.first


def stock_taken(recipe: Recipe, wanted: Fraction, entries: Sequence[Stock], shift: Shift) -> tuple[Stocked, ...]:
    """Stock in the order in which it is taken up: what is there first, and of that what must be used by first.

    Args:
        recipe: the item.
        wanted: base units that must be there, with its loss.
        entries: all stock of the scenario.
        shift: when the kitchen opens and closes.

    Returns:
        As much of it as is wanted. The waits of its recipe are behind it.
    """
    mine = []
    for position, entry in enumerate(entries):
        if entry.item == recipe.name:
            path = (STOCK, position)
            start = 0 if entry.since is None else max(0, entry.since - shift.opens)
            most = None if entry.use_by is None else entry.use_by - shift.opens - start
            amount = in_base_unit(entry.quantity, recipe.item, recipe.name, (*path, "quantity"))
            stand = Stand(STOCK, 0, most, path, entry.place, entry.fills)
            mine.append((start, most is None, start + (most or 0), position, amount, stand))
    taken: list[Stocked] = []
    reached = Fraction(0)
    for start, *_, amount, stand in sorted(mine, key=lambda one: one[:4]):
        last = min(wanted, reached + amount)
        if last > reached:
            taken.append(Stocked(reached, last, start, stand))
        reached = last
    return tuple(taken)
