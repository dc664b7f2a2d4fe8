"""Time along the top: where a minute stands, in pixels, with quiet hours left out."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise

from stationplan.render.bands import round_out

GAP = 36
"""Pixels for a stretch of time in which nothing happens."""
_WANTED, _LEAST, _MOST = 1080, 3, 8
"""Pixels that a chart should be wide, and the fewest and most for a minute."""
_HOUR, _DAY = 60, 24 * 60


@dataclass(frozen=True)
class Tick:
    """A minute marked on the axis; only full hours are ``major``."""

    minute: int
    x: float
    major: bool


@dataclass(frozen=True)
class Axis:
    """Stretches of time side by side: from and to, minutes since midnight of the first day, in order.

    ``scale`` is in pixels a minute.
    """

    stretches: tuple[tuple[int, int], ...]
    scale: int

    @classmethod
    def of(cls, times: list[tuple[int, int]]) -> Axis:
        """An axis that shows these times, rounded out to half hours, at a scale that suits their length."""
        rounded: list[tuple[int, int]] = []
        for start, end in (round_out(time, 30) for time in times):
            if rounded and start <= rounded[-1][1]:
                rounded[-1] = (rounded[-1][0], max(end, rounded[-1][1]))
            else:
                rounded.append((start, end))
        total = sum(end - start for start, end in rounded)
        return cls(tuple(rounded), min(max(_WANTED // total, _LEAST), _MOST))

    @property
    def width(self) -> float:
        """Pixels from the first minute to the last."""
        return self.x(self.stretches[-1][1])

    def x(self, minute: int) -> float:
        """Where a minute stands; inside a gap in proportion, and outside the axis at its ends."""
        starts = [start for start, _ in self.stretches]
        number = max(bisect_right(starts, minute) - 1, 0)
        before = sum((end - start) * self.scale + GAP for start, end in self.stretches[:number])
        start, end = self.stretches[number]
        inside = before + (min(max(minute, start), end) - start) * self.scale
        if minute <= end or number + 1 == len(self.stretches):
            return float(inside)
        return inside + GAP * (minute - end) / (starts[number + 1] - end)

    def gaps(self) -> list[tuple[int, int]]:
        """The quiet times between the stretches."""
        return [(before[1], after[0]) for before, after in pairwise(self.stretches)]

    def ticks(self) -> list[Tick]:
        """Every quarter of an hour where there is room for it, else every half or full one."""
        step = 15 if self.scale * 15 >= 40 else 30 if self.scale * 30 >= 40 else 60
        return [
            Tick(minute, self.x(minute), minute % _HOUR == 0)
            for start, end in self.stretches
            for minute in range(start, end + 1, step)
        ]

    def windows(self, room: float) -> list[tuple[float, float]]:
        """The axis cut into pieces of about the same length for paper: from and to, in pixels.

        Args:
            room: most pixels of a piece.

        Returns:
            Pieces that begin at a tick, and together show all of it.
        """
        number = max(1, -(-int(self.width) // int(room)))
        begins = [tick.x for tick in self.ticks()]
        pieces: list[tuple[float, float]] = []
        begin = 0.0
        while begin < self.width:
            end = min(self.width, begin + max(self.width / number, self.scale * 30.0))
            if end < self.width:
                end = max((x for x in begins if begin < x <= begin + room and x <= end + self.scale * 30), default=end)
            pieces.append((begin, end))
            begin = end
        return pieces


def several_days(axis: Axis) -> bool:
    """Whether the axis reaches beyond the first midnight."""
    return axis.stretches[-1][1] > _DAY
