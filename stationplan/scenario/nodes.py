"""What was read from files before anything is known of its meaning: values that know their file and line."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, cast

if TYPE_CHECKING:
    from collections.abc import Sequence as AbstractSequence

Path = tuple[str | int, ...]
"""The way to a value in the merged plain data: keys of mappings and positions in lists."""


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """A line of a file, 0 for the file as a whole; ``order`` is the file's position in the order of reading.

    ``spot`` is how a message names the place behind the file, where that is not the line: a cell of a table.
    """

    order: int
    line: int
    file: str = field(compare=False)
    spot: str = ""

    def __str__(self) -> str:
        return f"{self.file}{self.spot or f':{self.line}'}" if self.line else self.file


@dataclass(frozen=True, slots=True)
class Scalar:
    """A text, a number, yes or no (bool), or nothing (None)."""

    place: Place
    value: str | int | float | bool | None
    size: int = 1


@dataclass(slots=True)
class Sequence:
    """A list. ``size`` counts the nodes in it, with everything that aliases repeat."""

    place: Place
    items: list[Node] = field(default_factory=list)
    size: int = 1


@dataclass(slots=True)
class Mapping:
    """Keys with values. ``places`` says where each key stands."""

    place: Place
    items: dict[str, Node] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    size: int = 1


Node = Scalar | Sequence | Mapping


def plain(node: Node) -> Any:
    """The node as plain dict, list, text, number, bool or None."""
    if isinstance(node, Mapping):
        return {key: plain(value) for key, value in node.items.items()}
    if isinstance(node, Sequence):
        return [plain(value) for value in node.items]
    return node.value


def place_of(root: Mapping, path: AbstractSequence[str | int]) -> Place:
    """Where the value at a path stands: the line of its key, or of the list entry.

    Where the path leaves what was written (a key that is missing, a part of a text), it is the place of the last
    known node on the way.
    """
    place, current = root.place, cast("Node", root)
    for part in path:
        if isinstance(current, Mapping) and isinstance(part, str) and part in current.items:
            place, current = current.places[part], current.items[part]
        elif isinstance(current, Sequence) and isinstance(part, int) and 0 <= part < len(current.items):
            current = current.items[part]
            place = current.place
        elif not (isinstance(current, Mapping) and part == 0):
            # A single mapping may stand for a list of one; any other step leaves what was written.
            break
    return place
