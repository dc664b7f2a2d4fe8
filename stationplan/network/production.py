"""One item and how much of it is made."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.network.batches import Range, Recipe
from stationplan.network.measures import in_base_unit

if TYPE_CHECKING:
    from collections.abc import Mapping

    from stationplan.network.flow import Taking
    from stationplan.network.stock import Stocked


@dataclass(frozen=True)
class Production:
    """One item and how much of it is made.

    Attributes:
        recipe: how it is made.
        need: base units that orders and other items take up.
        least: base units that must be made for that, for some of it cannot be used and some may be in stock; whole ones
            if it is counted.
        made: base units made, more than `least` where a mixer needs more to work.
        batches: what each batch takes, by the step's position in the flow; none where all is in stock.
        stock: what is taken from stock.
    """

    recipe: Recipe
    need: Fraction
    least: Fraction
    made: Fraction
    batches: Mapping[int, tuple[Range, ...]]
    stock: tuple[Stocked, ...] = ()

    @property
    def stocked(self) -> Fraction:
        """Base units taken from stock."""
        return sum((stock.size for stock in self.stock), Fraction(0))

    @property
    def supply(self) -> tuple[Stocked | Range, ...]:
        """What those who take the item up draw on, as consecutive ranges: stock and the batches of the last step.

        A batch is cut in two where stock comes in between: what was taken up before that was there.
        """
        found: list[Stocked | Range] = []
        waiting, moved = list(self.stock), Fraction(0)
        for batch in self.given(self.recipe.flow.outlet):
            reached = batch.first
            while waiting and waiting[0].first - moved < batch.last:
                stock = waiting.pop(0)
                if stock.first - moved > reached:
                    found.append(replace(batch, first=reached + moved, last=stock.first))
                    reached = stock.first - moved
                found.append(stock)
                moved += stock.size
            found.append(replace(batch, first=reached + moved, last=batch.last + moved))
        return (*found, *waiting)

    def given(self, index: int) -> tuple[Range, ...]:
        """What each batch of a step gives on: all that it takes, or nothing where it was lost."""
        found: list[Range] = []
        for batch in self.batches[index]:
            first = found[-1].last if found else Fraction(0)
            lost = batch.begun is not None and batch.begun.lost
            found.append(replace(batch, first=first, last=first if lost else first + batch.size))
        return tuple(found)

    def total(self, index: int) -> Fraction:
        """What all batches of a step take together, in base units."""
        return self.batches[index][-1].last if self.batches.get(index) else Fraction(0)

    def taken(self, taking: Taking, component: Recipe, size: Fraction | int) -> Fraction:
        """Base units of a component that ``size`` base units of this item take up, before the component's own loss."""
        amount = in_base_unit(taking.use.amount, component.item, component.name, taking.path)
        return size / self.recipe.item.makes.amount * amount / (1 - taking.use.loss)
