"""The batches of an item of which some have begun: those stay as they are, and what is left is split for the others."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import count
from math import ceil
from typing import TYPE_CHECKING

from stationplan.network.batches import MOST_RAISES, Range, least_workable, split
from stationplan.network.errors import BatchError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stationplan.network.flow import Entry, FlowLink
    from stationplan.network.production import Production
    from stationplan.network.so_far import Meant, Run, SoFar


def continued(production: Production, so_far: SoFar) -> Production:
    """The batches of an item, given what has happened so far.

    A step makes what the steps after it take, and once more what was lost in it, for a lost batch has used up
    what it took. Where that comes to what the plan so far has, its batches stay as they are. Else what has not begun
    is split anew, into batches no larger than those that the whole quantity would be made in.

    Args:
        production: the item as it would be made from the start.
        so_far: what has happened so far.

    Raises:
        BatchError: when what is left fits no equipment.
    """
    flow = production.recipe.flow
    batches: dict[int, tuple[Range, ...]] = {}

    def take(entry: Entry) -> Fraction:
        """What all batches of a step take."""
        if entry.index not in batches:
            after = [flow.entries[link.after] for link in flow.links if link.before == entry.index]
            wanted = max((take(other) for other in after), default=_to_give(production, so_far))
            batches[entry.index] = _batches(production, entry, wanted, so_far)
        return batches[entry.index][-1].last if batches[entry.index] else Fraction(0)

    for entry in flow.steps:
        take(entry)
    for link in flow.links:
        batches[link.after] = _in_step(production, link, batches[link.before], batches[link.after])
    ordered = {entry.index: batches[entry.index] for entry in flow.steps}
    found = replace(production, batches=ordered)
    given = found.given(flow.outlet)
    return replace(found, made=given[-1].last if given else Fraction(0))


def _to_give(production: Production, so_far: SoFar) -> Fraction:
    """What the last step is to give: no more than is needed where batches that have begun give that already."""
    recipe = production.recipe
    last = recipe.flow.entries[recipe.flow.outlet]
    begun = so_far.begun((recipe.name, last.name, last.round))
    given = sum((run.size for run in begun if not run.lost), Fraction(0))
    return production.least if given >= production.least else production.made


def _in_step(
    production: Production, link: FlowLink, before: tuple[Range, ...], after: tuple[Range, ...]
) -> tuple[Range, ...]:
    """The batches of a step so that each goes on with a whole one of the step before, if that can be.

    Whoever begins with a smaller batch than the first, or loses one, would else mix what belongs apart, and a short
    wait could not be kept any more. They come in another order or, where the wait has a most, in other sizes. Where
    there is a choice, a batch goes on with the one of its number.
    """
    begun = [batch for batch in after if batch.begun is not None]
    rest = [batch for batch in after if batch.begun is None]
    taken = begun[-1].last if begun else Fraction(0)
    whole: list[tuple[int, Fraction]] = []
    reached, total = Fraction(0), after[-1].last if after else Fraction(0)
    for source in before:
        reached += 0 if source.begun is not None and source.begun.lost else source.size
        if taken < min(reached, total):
            whole.append((source.number, min(reached, total) - taken))
            taken = min(reached, total)
    left = [(batch.number, batch.size) for batch in rest]
    if Counter(size for _, size in whole) != Counter(size for _, size in left):
        if all(stand.most is None for stand in link.stands) or not _workable(production, link, whole, rest):
            return after
        known = {batch.number for batch in begun}
        free = (number for number in count(1) if number not in known)
        left = [(next(free), size) for _, size in whole]
    ordered = []
    for number, size in whole:
        alike = [entry for entry in left if entry[1] == size]
        ordered.append(min(alike, key=lambda entry: entry[0] != number))
        left.remove(ordered[-1])
    return tuple(_ranges([*((b.number, b.size, b.begun) for b in begun), *((*entry, None) for entry in ordered)]))


def _workable(production: Production, link: FlowLink, wanted: list[tuple[int, Fraction]], rest: list[Range]) -> bool:
    """Whether a step can be done in batches of some sizes: as even as any, and none larger than those it has.

    There may be more of them only where what comes first cannot wait for what comes next.
    """
    recipe, sizes = production.recipe, [size for _, size in wanted]
    if not rest or not sizes or max(sizes) > max(batch.size for batch in rest):
        return False
    before, entry = recipe.flow.entries[link.before], recipe.flow.entries[link.after]
    mosts = [stand.most for stand in link.stands if stand.most is not None]
    if len(sizes) > len(rest) and min(mosts) >= recipe.shortest_minutes(before, min(sizes)):
        return False
    even = max(sizes) - min(sizes) <= (1 if recipe.counted else 0)
    return even and all(least_workable(recipe, entry, size) <= size for size in sizes)


def _batches(production: Production, entry: Entry, wanted: Fraction, so_far: SoFar) -> tuple[Range, ...]:
    recipe = production.recipe
    stage = (recipe.name, entry.name, entry.round)
    begun = so_far.begun(stage)
    used = sum((run.size for run in begun), Fraction(0))
    total = max(used, wanted + sum((run.size for run in begun if run.lost), Fraction(0)))
    meant = so_far.meant.get(stage, ())
    if total == used:
        rest: Iterable[tuple[int, Fraction]] = ()
    elif _as_meant(meant, begun, total):
        rest = [(batch.number, batch.size) for batch in meant if batch.number not in {run.number for run in begun}]
    elif not begun and total == production.made:
        rest = [(batch.number, batch.size) for batch in production.batches[entry.index]]
    else:
        taken = {run.number for run in begun}
        free = (number for number in count(1) if number not in taken)
        sizes = _as_far_as_meant(_split_anew(production, entry, total - used), meant, taken)
        rest = zip(free, sizes, strict=False)
    return tuple(_ranges([*((run.number, run.size, run) for run in begun), *((*batch, None) for batch in rest)]))


def _as_meant(meant: tuple[Meant, ...], begun: tuple[Run, ...], total: Fraction) -> bool:
    """Whether the plan so far makes that much in its batches, those that have begun among them."""
    sizes = {batch.number: batch.size for batch in meant}
    return sum(sizes.values()) == total and all(sizes.get(run.number) == run.size for run in begun)


def _as_far_as_meant(sizes: list[Fraction], meant: tuple[Meant, ...], begun: set[int]) -> list[Fraction]:
    """Sizes in such an order that batches have those they were to have: what waits for one need not wait for more."""
    left, first = list(sizes), []
    for batch in meant:
        if batch.number in begun:
            continue
        if batch.size not in left:
            break
        left.remove(batch.size)
        first.append(batch.size)
    return [*first, *left]


def _split_anew(production: Production, entry: Entry, rest: Fraction) -> list[Fraction]:
    """Sizes of the batches that what is left of a step is done in, more of it where it would not fill a mixer."""
    recipe = production.recipe
    largest = max((batch.size for batch in production.batches.get(entry.index, ())), default=None)
    for _ in range(MOST_RAISES):
        number = min(_at_most(rest, largest), recipe.most_batches(entry.index, rest))
        number = max(number, _at_most(rest, recipe.limits[entry.index]))
        sizes = [batch.size for batch in split(rest, number, counted=recipe.counted)]
        least = max(least_workable(recipe, entry, size) for size in sizes)
        if least <= max(sizes):
            return sizes
        rest = number * least
    raise BatchError(f"what is left of {recipe.name} fills no mixer far enough", entry.path)


def _at_most(rest: Fraction, size: Fraction | int | None) -> int:
    """The fewest batches of no more than a size."""
    return 1 if size is None else ceil(rest / size)


def _ranges(batches: Iterable[tuple[int, Fraction, Run | None]]) -> Iterable[Range]:
    reached = Fraction(0)
    for number, size, run in batches:
        yield Range(reached, reached + size, number, run)
        reached += size
