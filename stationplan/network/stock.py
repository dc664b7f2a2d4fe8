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
    from stationplan.network.so_far import SoFar
    from stationplan.scenario.models import Scenario

STOCK = "stock"
"""Key of the scenario, and name of the wait until stock is taken up."""


@dataclass(frozen=True, slots=True)
class Stocked:
    """Stock that is taken up: the cumulated quantity after ``first`` up to ``last`` of all that is made or in stock.

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


@dataclass(slots=True)
class _Entry:
    """An entry of stock: its place in the scenario, and how much of it batches that have begun have taken up."""

    position: int
    start: int
    use_by: int | None
    amount: Fraction
    used: Fraction = Fraction(0)


def stock_taken(
    recipe: Recipe,
    wanted: Fraction,
    scenario: Scenario,
    so_far: SoFar | None = None,
    draughts: Sequence[tuple[int, Fraction]] = (),
) -> tuple[Stocked, ...]:
    """Stock in the order in which it is taken up: what is there first, and of that what must be used by first.

    What batches took up that began before it was there was something else, and it comes behind that. Of what is past
    its use-by, or cannot all be used by then, no more is counted on than batches that have begun took up in time.

    Args:
        recipe: the item.
        wanted: base units that must be there, with its loss.
        scenario: the scenario with its stock.
        so_far: what has happened so far.
        draughts: when batches that have begun took up the item, minutes after opening, and how much, in that order.

    Returns:
        As much of it as is wanted. The waits of its recipe are behind it.
    """
    taken: list[Stocked] = []
    reached = Fraction(0)
    for entry in _in_order(recipe, scenario, so_far, draughts):
        before = sum((size for moment, size in draughts if moment < entry.start), Fraction(0))
        first = max(reached, before)
        over = so_far is not None and entry.use_by is not None and entry.use_by < so_far.now - scenario.shift.opens
        last = min(wanted, first + (entry.used if over else entry.amount))
        if last > first:
            stock = scenario.stock[entry.position]
            most = None if entry.use_by is None else entry.use_by - entry.start
            stand = Stand(STOCK, 0, most, (STOCK, entry.position), stock.place, stock.fills)
            taken.append(Stocked(first, last, entry.start, stand))
            reached = last
    return tuple(taken)


def _in_order(
    recipe: Recipe, scenario: Scenario, so_far: SoFar | None, draughts: Sequence[tuple[int, Fraction]]
) -> list[_Entry]:
    """What is there, as far as it can be counted on, in the order in which it is taken up."""
    opens = scenario.shift.opens
    counted = {} if so_far is None else so_far.counted
    entries = []
    for position, stock in enumerate(scenario.stock):
        if stock.item == recipe.name:
            start = 0 if stock.since is None else max(0, stock.since - opens)
            use_by = None if stock.use_by is None else stock.use_by - opens
            amount = in_base_unit(stock.quantity, recipe.item, recipe.name, (STOCK, position, "quantity"))
            entries.append(_Entry(position, start, use_by, min(amount, counted.get(position, amount))))
    entries.sort(key=lambda entry: (entry.start, entry.use_by is None, entry.use_by or 0))
    for moment, size in draughts:
        for entry in entries:
            if entry.start <= moment and (entry.use_by is None or moment <= entry.use_by):
                part = min(size, entry.amount - entry.used)
                entry.used += part
                size -= part
    return entries
