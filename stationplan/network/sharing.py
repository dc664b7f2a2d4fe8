"""How the parts of one batch that are taken up one after the other share the room that the batch stands in."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stationplan.network.flow import Stand
    from stationplan.network.measures import Room


@dataclass(frozen=True, slots=True)
class Taker:
    """What takes up the cumulated quantity after ``first`` up to ``last``: a task, or delivery when it is None.

    ``own`` are those of the waits that are not behind what is in stock.
    """

    first: Fraction
    last: Fraction
    after: int | None
    stands: tuple[Stand, ...]
    own: tuple[Stand, ...] = ()


@dataclass(frozen=True, slots=True)
class Leaving:
    """A part of a waiting batch, from ``first`` to ``last`` measured in the batch, that ``after`` takes up.

    ``after`` is a task, or None for what is ready for delivery. ``stands`` are the waits in between.
    """

    after: int | None
    first: Fraction
    last: Fraction
    stands: tuple[Stand, ...]


def together(parts: Sequence[Leaving | None], room: Room) -> Iterator[tuple[int, ...]]:
    """Neighbouring parts that share trays at a wait.

    Args:
        parts: the parts of one batch in order, None for those that do not pass through the wait.
        room: room that the batch takes there.

    Yields:
        Positions of parts that leave the wait in this order, because a tray is shared at each border between them.
    """
    group: list[int] = []
    for number, part in enumerate(parts):
        shared = part is not None and (bool(room.fixed) or (room.each * part.first).denominator > 1)
        if group and not (shared and group[-1] == number - 1):
            yield tuple(group)
            group = []
        if part is not None:
            group.append(number)
    if group:
        yield tuple(group)


def shared_room(parts: Sequence[Leaving], room: Room, end: Fraction) -> list[int]:
    """Whole units of room for each of the parts that share trays; a shared one counts with the part that leaves last.

    Args:
        parts: parts of one batch that leave in this order.
        room: room that the batch takes.
        end: how much of the batch waits there, up to the end of the last part or with what nobody takes up.

    Returns:
        Room of each part; their sum is what all of them together fill, rounded up.
    """
    begin = parts[0].first
    filled = [floor(room.each * part.last) - floor(room.each * begin) for part in parts]
    filled[-1] = ceil(room.fixed + room.each * end) - floor(room.each * begin)
    return [after - before for before, after in zip([0, *filled], filled, strict=False)]
