"""How many batches each step of an item is run in, and what each batch covers."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor
from typing import TYPE_CHECKING

from stationplan.network.alternatives import Alternative, Spot, alternatives_of, spots_besides
from stationplan.network.errors import BatchError, Path
from stationplan.network.flow import Flow, flow_of
from stationplan.network.measures import MEASURED, in_base_unit
from stationplan.network.times import batch_time
from stationplan.scenario.units import format_quantity

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from stationplan.network.flow import Entry
    from stationplan.network.so_far import Run
    from stationplan.scenario.models import Equipment, EquipmentNeed, Item
    from stationplan.scenario.units import Quantity

MOST_RAISES = 100


@dataclass(frozen=True, slots=True)
class Range:
    """A batch covers the cumulated quantity after ``first`` up to ``last``, in base units.

    ``number`` is its number among the batches of its step, and ``begun`` what is known of it once it has begun.
    """

    first: Fraction
    last: Fraction
    number: int = 0
    begun: Run | None = None

    @property
    def size(self) -> Fraction:
        """Base units in the batch."""
        return self.last - self.first


@dataclass(frozen=True)
class Recipe:
    """An item with everything about it that does not depend on how much is made.

    ``alternatives``, ``besides`` and ``limits`` are keyed by the step's position in the flow; a limit is the most base
    units in one batch of it, None for any number.
    """

    name: str
    item: Item
    path: Path
    flow: Flow
    alternatives: Mapping[int, tuple[Alternative, ...]]
    besides: Mapping[int, tuple[tuple[str, tuple[Spot, ...]], ...]]
    limits: Mapping[int, int | None]

    @property
    def counted(self) -> bool:
        """Whether it is made in whole units, such as trays, and not by weight or volume."""
        return self.item.makes.unit not in MEASURED

    def shortest_minutes(self, entry: Entry, size: Fraction) -> int:
        """Minutes of a batch of ``size`` on the equipment that is quickest with it, by the long end of ranges.

        As the recipe says: a slow day changes no batches.
        """
        choices = self.alternatives[entry.index]
        fitting: list[EquipmentNeed | None] = [choice.need for choice in choices if choice.takes(size)]
        return min(
            batch_time(entry.step, need, size, self.item, self.name, entry.path, "longest").minutes
            for need in fitting or [None]
        )

    def ingredients_into(self, entry: Entry) -> tuple[tuple[str, Quantity], ...]:
        """What goes into a step, for one recipe; into a repeated one in its first round only."""
        first = self.item.ingredients.items() if entry is self.flow.steps[0] else ()
        return (*first, *(entry.step.ingredients.items() if entry.round == 1 else ()))

    def most_batches(self, index: int, made: Fraction) -> int:
        """The most batches of a step that still fill some equipment as far as it needs."""
        least = min((choice.least_size() for choice in self.alternatives[index]), default=1)
        return max(1, floor(made / least))


def read_recipe(name: str, item: Item, path: Path, equipment: Sequence[Equipment]) -> Recipe:
    """Lay out an item and find out what can be used for each of its steps.

    Raises:
        NetworkError: when its steps lead nowhere, or the kitchen has nothing that holds one unit of it.
    """
    flow = flow_of(item, path)
    alternatives = {entry.index: alternatives_of(entry, item, name, equipment) for entry in flow.steps}
    besides = {entry.index: spots_besides(entry.step, equipment, entry.path) for entry in flow.steps}
    limits = {entry.index: _limit(entry, alternatives[entry.index], item, name) for entry in flow.steps}
    return Recipe(name, item, path, flow, alternatives, besides, limits)


def _limit(entry: Entry, alternatives: tuple[Alternative, ...], item: Item, name: str) -> int | None:
    limits = []
    of_equipment = [choice.limit() for choice in alternatives]
    if of_equipment and None not in of_equipment:
        limits.append(max(limit for limit in of_equipment if limit is not None))
    if entry.step.batch is not None:
        limits.append(int(in_base_unit(entry.step.batch, item, name, (*entry.path, "batch"))))
    if not limits:
        return None
    if min(limits) < 1:
        raise BatchError(
            f"not even 1 {item.makes.unit} of {name} fits into one batch of {entry.name!r}: "
            "the equipment is too small, or `batch` or `fills` is wrong",
            entry.path,
        )
    return min(limits)


def batch_numbers(recipe: Recipe, made: Fraction, forced: Mapping[int, int]) -> dict[int, int]:
    """Batches of each step for ``made`` base units.

    A step has as many as its equipment demands, and no fewer than the step it follows:
    what has been made in small batches goes on in them. Only the cook's own `batch`, or
    a mixer that would not be full enough, puts batches together again.

    Args:
        recipe: the item.
        made: base units made.
        forced: least numbers by position of the step, from :mod:`stationplan.network.harmonising`.
    """
    numbers: dict[int, int] = {}
    steps = recipe.flow.steps

    def number(index: int) -> int:
        if index not in numbers:
            limit = recipe.limits[index]
            own = 1 if limit is None else ceil(made / limit)
            before = [link.before for link in recipe.flow.links if link.after == index]
            if before and recipe.flow.entries[index].step.batch is None:
                own = max(own, min(number(min(before)), recipe.most_batches(index, made)))
            elif not before and limit is None:
                later = (recipe.limits[entry.index] for entry in steps if entry.index > index)
                own = next((ceil(made / first) for first in later if first is not None), 1)
            numbers[index] = min(ceil(made), max(own, forced.get(index, 1)))
        return numbers[index]

    for entry in steps:
        number(entry.index)
    return numbers


def split(made: Fraction, number: int, *, counted: bool) -> tuple[Range, ...]:
    """Even split: counted units stay whole, so that sizes differ by at most one, the larger ones first."""
    size, larger = divmod(made, number) if counted else (made / number, 0)
    ends = [position * size + min(position, larger) for position in range(number + 1)]
    spans = enumerate(pairwise(ends), start=1)
    return tuple(Range(Fraction(first), Fraction(last), position) for position, (first, last) in spans)


def raised_to_least_fill(recipe: Recipe, made: Fraction, forced: Mapping[int, int]) -> Fraction:
    """Raise what is made until every batch fills a mixer that it goes into as far as that mixer needs.

    Raises:
        BatchError: when no quantity does.
    """
    for _ in range(MOST_RAISES):
        least = _least_made(recipe, made, batch_numbers(recipe, made, forced))
        if least <= made:
            return made
        made = least
    raise BatchError(f"no quantity of {recipe.name} fills every mixer far enough in every batch", recipe.path)


def _least_made(recipe: Recipe, made: Fraction, numbers: Mapping[int, int]) -> Fraction:
    least = made
    for entry in recipe.flow.steps:
        for size in {batch.size for batch in split(made, numbers[entry.index], counted=recipe.counted)}:
            enough = least_workable(recipe, entry, size)
            if enough > size:
                least = max(least, numbers[entry.index] * enough)
    return least


def least_workable(recipe: Recipe, entry: Entry, size: Fraction) -> Fraction:
    """The size itself if some equipment takes a batch of it, else the least larger one that some does.

    Raises:
        BatchError: when there is none.
    """
    choices = recipe.alternatives[entry.index]
    if not choices or any(choice.takes(size) for choice in choices):
        return size
    workable = [c.least_size() for c in choices if c.least_size() > size and c.takes(c.least_size())]
    limit = recipe.limits[entry.index]
    workable = [candidate for candidate in workable if limit is None or candidate <= limit]
    if not workable:
        unit = recipe.item.makes.unit
        raise BatchError(
            f"a batch of {format_quantity(size, unit)} of {recipe.name} does not fill the equipment of "
            f"{entry.name!r} enough, and no larger batch is allowed or fits",
            entry.path,
        )
    return Fraction(min(workable))
