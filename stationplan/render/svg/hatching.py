"""Hatching drawn line by line.

Patterns of SVG would be shorter, but browsers take minutes and megabytes to print them, and not every drawing program
knows them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil

Point = tuple[float, float]
Line = tuple[Point, Point]


@dataclass(frozen=True)
class Box:
    """A rectangle, in pixels."""

    left: float
    top: float
    right: float
    bottom: float


def _marks(start: float, end: float, step: int, shift: float = 0) -> Iterator[float]:
    """Multiples of a step, shifted, between two numbers; the same for neighbours, so that lines go on in them."""
    number = ceil((start - shift) / step + 1e-9)
    while number * step + shift < end:
        yield number * step + shift
        number += 1


def _rising(box: Box, step: int) -> Iterator[Line]:
    for total in _marks(box.left + box.top, box.right + box.bottom, step):  # of x and y, the same along a line
        left, right = max(box.left, total - box.bottom), min(box.right, total - box.top)
        if left < right:
            yield (left, total - left), (right, total - right)


def _falling(box: Box, step: int) -> Iterator[Line]:
    for start, end in _rising(box, step):
        # A rising line, mirrored in the height of the box.
        yield (start[0], box.top + box.bottom - start[1]), (end[0], box.top + box.bottom - end[1])


def _level(box: Box, step: int) -> Iterator[Line]:
    return (((box.left, y), (box.right, y)) for y in _marks(box.top, box.bottom, step, 0.5))


def _upright(box: Box, step: int) -> Iterator[Line]:
    return (((x, box.top), (x, box.bottom)) for x in _marks(box.left, box.right, step))


def _crosses(box: Box, step: int) -> Iterator[Line]:
    inner = Box(box.left + 2, box.top + 2, box.right - 2, box.bottom - 2)
    for x in _marks(inner.left, inner.right, step):
        for y in _marks(inner.top, inner.bottom, step):
            yield (x - 2, y), (x + 2, y)
            yield (x, y - 2), (x, y + 2)


def _grid(box: Box, step: int) -> Iterator[Line]:
    yield from _upright(box, step)
    yield from _level(box, step)


def _dashes(box: Box, step: int) -> Iterator[Line]:
    for number, y in enumerate(_marks(box.top, box.bottom, step)):
        for x in _marks(box.left, box.right - step, 2 * step, step * (number % 2)):
            yield (x, y), (x + step, y)


_KINDS: tuple[tuple[Callable[[Box, int], Iterator[Line]], int], ...] = (
    (_rising, 6),
    (_crosses, 8),
    (_level, 4),
    (_upright, 4),
    (_falling, 4),
    (_grid, 8),
    (_dashes, 5),
)
NUMBER = len(_KINDS)
"""Of the kinds for items. It has no divisor in common with the number of the colours."""


def of_item(position: int, box: Box) -> str:
    """The lines over a box for the item at this position of the legend, as data of a path."""
    kind, step = _KINDS[position % NUMBER]
    return _path(kind(box, step))


def away(box: Box) -> str:
    """The lines over a time that somebody is away, as data of a path."""
    return _path(_rising(box, 6))


def shut(box: Box) -> str:
    """The lines over a time that equipment is out of use, as data of a path."""
    return _path(line for lines in (_rising(box, 8), _falling(box, 8)) for line in lines)


def washing(box: Box) -> str:
    """The lines over the time that something is washed, as data of a path."""
    return _path(_level(box, 3))


def under(start: Point, end: Point, floor: float) -> str:
    """Upright lines between a sloping line and a floor, as data of a path."""
    slope = (end[1] - start[1]) / (end[0] - start[0])
    xs = _marks(start[0], end[0], 3)
    return _path(((x, start[1] + slope * (x - start[0])), (x, floor)) for x in xs)


def _path(lines: Iterator[Line]) -> str:
    return "".join(
        f"M{_number(x)},{_number(y)}l{_number(to_x - x)},{_number(to_y - y)}" for (x, y), (to_x, to_y) in lines
    )


def _number(value: float) -> str:
    return f"{round(value, 1):g}"
