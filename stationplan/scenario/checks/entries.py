"""The steps and waits of an item with their paths, once as written and once with repeats written out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.scenario.models import Repeat, Step, Wait

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.models import Item
    from stationplan.scenario.nodes import Path

MOST_ENTRIES = 500


@dataclass(frozen=True, slots=True)
class Entry:
    """A step or wait, where it stands, the repeat group it stands in (None outside one) and its round."""

    part: Step | Wait
    path: Path
    group: int | None = None
    round: int = 1

    @property
    def name(self) -> str:
        """The name of the step or wait."""
        return self.part.name if isinstance(self.part, Step) else self.part.wait


def written(item: Item, path: Path) -> Iterator[Entry]:
    """Every step and wait once, in the order of the file."""
    for position, part in enumerate(item.steps):
        where = (*path, "steps", position)
        if isinstance(part, Repeat):
            for inner, member in enumerate(part.steps):
                yield Entry(member, (*where, "steps", inner), position)
        else:
            yield Entry(part, where)


def written_out(item: Item, path: Path) -> list[Entry]:
    """Every step and wait in every round, in the order in which they follow each other without ``after``."""
    once = list(written(item, path))
    entries: list[Entry] = []
    for position, part in enumerate(item.steps):
        of_part = [entry for entry in once if entry.path[len(path) + 1] == position]
        rounds = part.repeat if isinstance(part, Repeat) else 1
        for number in range(1, rounds + 1):
            entries.extend(Entry(entry.part, entry.path, entry.group, number) for entry in of_part)
    return entries


def entry_count(item: Item) -> int:
    """How many entries :func:`written_out` gives."""
    return sum(part.repeat * len(part.steps) if isinstance(part, Repeat) else 1 for part in item.steps)


def all_steps(draft: Draft) -> Iterator[tuple[str, Item, Step, Path]]:
    """Every step of every readable item: the item's name, the item, the step and its path."""
    for path, name, item in draft.items():
        for entry in written(item, path):
            if isinstance(entry.part, Step):
                yield name, item, entry.part, entry.path


def all_waits(draft: Draft) -> Iterator[tuple[str, Item, Wait, Path]]:
    """Every wait of every readable item: the item's name, the item, the wait and its path."""
    for path, name, item in draft.items():
        for entry in written(item, path):
            if isinstance(entry.part, Wait):
                yield name, item, entry.part, entry.path
