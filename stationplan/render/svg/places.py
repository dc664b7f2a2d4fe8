"""Where the bars of a row go: a lane that is free, and a label inside the bar or to its right."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from stationplan.render.lettering import columns
from stationplan.render.marks import Kind

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stationplan.render.rows import Bar, Row
    from stationplan.render.svg.axis import Axis

_LETTER, _SIGN = 7, 11
"""Pixels of an average letter, and of a sign before a label, on the wide side."""
_SPACE = 4
"""Pixels between a bar and its label, and between what stands side by side."""
_LONGEST = 200
"""The longest label of an order's mark, in pixels, where there is a shorter one."""
_LEAST = 2
"""The narrowest bar, in pixels: what takes no time is still to be seen."""
_SIGNS = {Kind.LOAD: "▼", Kind.UNLOAD: "▲"}
_CRITICAL = "◆"
_WAIT, _MARK = 3, 8
"""Pixels from the begin of a wait, and from the middle of an order's mark, to the label."""


@dataclass(frozen=True)
class Label:
    """The label of a bar in the whole drawing, in pixels: from where to where the bar and its text go, and its line."""

    bar: tuple[float, float]
    text: tuple[float, float]
    baseline: float
    short: str
    striped: bool


@dataclass(frozen=True)
class Placed:
    """A bar with its place, in pixels from the left of the axis; ``lane`` counts from the top of its row.

    ``text`` begins at ``text_x``; ``inside`` the bar it stands on a plaque. At the parts that are ``worked`` are
    somebody's hands.
    """

    bar: Bar
    left: float
    right: float
    lane: int
    text: str
    text_x: float
    inside: bool
    worked: tuple[tuple[float, float], ...] = ()

    @property
    def short(self) -> str:
        """The shortest wording of the label, with its signs."""
        return _signs(self.bar) + self.bar.texts[-1] if self.bar.texts else ""

    @property
    def extent(self) -> tuple[float, float]:
        """From the left to the right of the bar and what belongs to it."""
        if not self.text or self.inside:
            return self.left, self.right
        return min(self.left, self.text_x - _SPACE), max(self.right, self.text_x + width(self.text) + _SPACE)


def width(text: str) -> float:
    """Pixels that a text needs, on the safe side."""
    return float(columns(text) * _LETTER + sum(sign in "▼▲◆" for sign in text) * (_SIGN - _LETTER))


def place(row: Row, axis: Axis, worked: dict[str, tuple[tuple[int, int], ...]]) -> tuple[Placed, ...]:
    """Give every bar of a row a lane; those below the row, and times away, are drawn by others.

    Args:
        row: the row.
        axis: where a minute stands.
        worked: when hands are at a batch, by its label.

    Returns:
        The bars, each free of the others in its lane except for the thin lines of loose ones.
    """
    taken: list[list[Placed]] = []
    loose: list[Placed] = []
    for group in row.groups:
        block: list[list[Placed]] = []
        for bar in group:
            if not bar.loose:
                _fit(block, [[_placed(bar, axis, worked)]])
        _fit(taken, block)
    lanes = {one.bar.label: one.lane for lane in taken for one in lane if one.bar.label}
    for bar in (bar for group in row.groups for bar in group if bar.loose):
        one = replace(_placed(bar, axis, worked), lane=lanes.get(bar.label, 0))
        others = taken[one.lane] if taken else []
        if not one.inside or any(_clash(one, other) for other in [*others, *loose] if other.lane == one.lane):
            one = replace(one, text="", inside=False)
        loose.append(one)
    return (*loose, *(one for lane in taken for one in lane))


def _fit(lanes: list[list[Placed]], block: list[list[Placed]]) -> None:
    """Put a block of lanes on the first lanes below each other that are free for it."""
    if not block:
        return
    offset = 0
    while any(
        _clash(one, other)
        for at, lane in enumerate(block)
        for one in lane
        for other in (lanes[offset + at] if offset + at < len(lanes) else ())
    ):
        offset += 1
    for at, lane in enumerate(block):
        if offset + at == len(lanes):
            lanes.append([])
        lanes[offset + at] += [replace(one, lane=offset + at) for one in lane]


def _clash(one: Placed, other: Placed) -> bool:
    return one.extent[0] < other.extent[1] and other.extent[0] < one.extent[1]


def _placed(bar: Bar, axis: Axis, worked: dict[str, tuple[tuple[int, int], ...]]) -> Placed:
    left = axis.x(bar.start)
    right = max(axis.x(bar.end), left + _LEAST)
    hands = tuple(
        (axis.x(max(start, bar.start)), axis.x(min(end, bar.end)))
        for start, end in worked.get(bar.label, ())
        if start < bar.end and end > bar.start
    )
    texts = [_signs(bar) + text for text in bar.texts]
    if bar.kind in (Kind.READY, Kind.DUE):
        text = next((text for text in texts[1:] if width(text) <= _LONGEST), texts[-1])
        room = right + _MARK + width(text) <= axis.width
        return Placed(bar, left, right, 0, text, right + _MARK if room else left - _MARK - width(text), False)
    if bar.kind is Kind.STAY:
        fitting = (text for text in texts if width(text) + _WAIT <= right - left)
        text = next(fitting, texts[-1] if bar.must_show and texts else "")
        return Placed(bar, left, right, 0, text, left + _WAIT, width(text) + _WAIT <= right - left, hands)
    for text in texts:
        x = _room(text, left, right, hands)
        if x is not None:
            return Placed(bar, left, right, 0, text, x, True, hands)
    text = texts[-1] if bar.must_show and texts else ""
    return Placed(bar, left, right, 0, text, right + _SPACE, False, hands)


def _signs(bar: Bar) -> str:
    return (_CRITICAL if bar.critical else "") + _SIGNS.get(bar.kind, "")


def _room(text: str, left: float, right: float, hands: Iterable[tuple[float, float]]) -> float | None:
    """Where in a bar a label stands: where it covers no change between hands and none, else in its middle part."""
    edges = sorted({left, right, *(x for part in hands for x in part)})
    needed = width(text) + 2 * _SPACE
    parts = sorted(pairwise(edges), key=lambda part: (part[0] - part[1], part[0]))
    if parts and parts[0][1] - parts[0][0] >= needed:
        return parts[0][0] + _SPACE
    # Something of the bar must be seen on both sides of a label that covers such a change.
    return left + 2 * _SPACE if right - left >= needed + 2 * _SPACE else None
