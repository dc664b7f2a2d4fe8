"""How many batches the steps of one item are done in, and what least fills add to what is made."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from graphlib import CycleError, TopologicalSorter

from stationplan.plan.check.duration import batch_minutes
from stationplan.plan.check.fault import UnclearScenarioError
from stationplan.plan.check.measure import MEASURED_UNITS
from stationplan.plan.check.recipe import Recipe
from stationplan.plan.check.ways import Bounds, bounds_of
from stationplan.scenario.models import Equipment

MOST_TURNS = 100


@dataclass(frozen=True)
class Batching:
    """An item with what the kitchen says of the batches of each of its stages, by their index."""

    recipe: Recipe
    bounds: tuple[Bounds, ...]

    def numbers(self, made: Fraction, joined: Mapping[int, int]) -> tuple[int, ...]:
        """Batches of each stage.

        Args:
            made: of the item, in its base unit.
            joined: least numbers for the sake of short waits, by the stage's index.
        """
        known: dict[int, int] = {}
        for index in self._earlier_first:
            bounds, first = self.bounds[index], self._first_before(index)
            number = _needed(made, bounds.largest)
            if first is None:
                if bounds.largest is None:
                    below = (later.largest for later in self.bounds[index + 1 :] if later.largest is not None)
                    number = _needed(made, next(below, None))
            elif bounds.stage.step.batch is None:
                # A bowl that would not be full enough puts batches together again.
                full_enough = max(1, math.floor(made / bounds.smallest))
                number = max(number, min(known[first], full_enough))
            known[index] = min(max(number, joined.get(index, 1)), math.ceil(made))
        return tuple(known[index] for index in range(len(self.bounds)))

    def filled(self, least: Fraction, joined: Mapping[int, int]) -> Fraction:
        """What is to be made so that every batch fills its bowl enough.

        Args:
            least: what is needed, in the base unit.
            joined: as for :meth:`numbers`.

        Raises:
            UnclearScenarioError: when no quantity does.
        """
        made = least
        for _ in range(MOST_TURNS):
            wanted = made
            for bounds, number in zip(self.bounds, self.numbers(made, joined), strict=True):
                for size in {self.largest_batch(made, number), self._smallest_batch(made, number)}:
                    wanted = max(wanted, number * self._enough(bounds, size))
            if wanted == made:
                return made
            made = wanted
        raise UnclearScenarioError(f"No quantity of {self.recipe.name} fills every bowl enough.")

    def largest_batch(self, made: Fraction, number: int) -> Fraction:
        """The largest of so many even batches; counted units stay whole."""
        return Fraction(math.ceil(made / number)) if self._counted else made / number

    def minutes(self, index: int, size: Fraction) -> int:
        """The longest that a batch of a stage takes on the equipment that is quickest with it."""
        bounds, item, name = self.bounds[index], self.recipe.item, self.recipe.name
        times = [way.need.takes for way in bounds.ways if way.does(size)] or [None]
        return min(batch_minutes(item, name, bounds.stage.step, takes, size, "longest") for takes in times)

    @property
    def _counted(self) -> bool:
        return self.recipe.item.makes.unit not in MEASURED_UNITS

    def _smallest_batch(self, made: Fraction, number: int) -> Fraction:
        return Fraction(math.floor(made / number)) if self._counted else made / number

    def _enough(self, bounds: Bounds, size: Fraction) -> Fraction:
        """The size that a batch has to be raised to, none where some equipment takes it as it is."""
        if not bounds.ways or any(way.does(size) for way in bounds.ways):
            return Fraction(0)
        larger = [
            way.smallest
            for way in bounds.ways
            if way.smallest > size
            and way.does(Fraction(way.smallest))
            and (bounds.largest is None or way.smallest <= bounds.largest)
        ]
        if not larger:
            raise UnclearScenarioError(
                f"No equipment is filled enough by {bounds.stage.step.name} of {self.recipe.name}."
            )
        return Fraction(min(larger))

    @cached_property
    def _earlier_first(self) -> list[int]:
        graph: TopologicalSorter[int] = TopologicalSorter(dict.fromkeys(range(len(self.bounds)), ()))
        for link in self.recipe.links:
            if link.after:
                graph.add(link.after.index, link.before.index)
        try:
            return list(graph.static_order())
        except CycleError:
            raise UnclearScenarioError(f"{self.recipe.name}: steps follow each other in a circle.") from None

    def _first_before(self, index: int) -> int | None:
        """The stage that a stage follows, the first in the list of several."""
        before = [link.before.index for link in self.recipe.links if link.after and link.after.index == index]
        return min(before, default=None)


def batching_of(recipe: Recipe, kitchen: Sequence[Equipment]) -> Batching:
    """Lay an item beside the kitchen.

    Raises:
        UnclearScenarioError: when the room that one of its steps takes cannot be told.
    """
    return Batching(recipe, tuple(bounds_of(recipe, stage, kitchen) for stage in recipe.stages))


def _needed(made: Fraction, largest: int | None) -> int:
    return 1 if largest is None else math.ceil(made / largest)
