"""Folding a long day: stretches in which something happens, cut into bands of equal length."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

SCALES = (1, 2, 3, 5, 10, 15, 20, 30, 60, 120, 240)
"""Minutes per column to choose from."""

_QUIET = 120
"""Minutes in which nothing begins, ends or is worked on before they are left out of the chart."""


@dataclass(frozen=True)
class Band:
    """A stretch of time drawn side by side: from ``start``, ``columns`` columns of ``minutes`` minutes each.

    Labels may run beyond the last column, up to ``room`` columns. ``last`` marks the end of a stretch.
    """

    start: int
    minutes: int
    columns: int
    room: int
    last: bool = False

    @property
    def end(self) -> int:
        """The first minute after the band."""
        return self.start + self.minutes * self.columns

    def column(self, minute: int) -> int:
        """The column in which something at this minute begins, to the nearest; it may lie outside the band."""
        return (minute - self.start + self.minutes // 2) // self.minutes

    def place(self, start: int, end: int) -> tuple[int, int] | None:
        """The columns of something that lasts from ``start`` to ``end``: first, and first after it.

        Returns:
            None when it lies outside the band. Whatever lies inside gets a column at least; it starts or ends outside
            0..columns when it goes on in the band before or after.
        """
        first, after = self.column(start), self.column(end)
        if first >= self.columns and self.last and (start < self.end or start == end == self.end):
            first = self.columns - 1
        after = max(first + 1, after)
        return (first, after) if after > 0 and first < self.columns else None


def stretches(active: Iterable[tuple[int, int]]) -> list[tuple[int, int]]:
    """Join times of activity that lie close together; the quiet between the others is left out."""
    joined: list[tuple[int, int]] = []
    for start, end in sorted(active):
        if joined and start - joined[-1][1] < _QUIET:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return joined


def round_out(span: tuple[int, int], step: int) -> tuple[int, int]:
    """The span, widened to multiples of ``step``; never empty."""
    start = span[0] // step * step
    return start, max(math.ceil(span[1] / step) * step, start + step)


def cut(spans: list[tuple[int, int]], minutes: int, columns: int) -> list[Band] | None:
    """Cut spans into bands at one scale.

    Args:
        spans: stretches of time, in order.
        minutes: minutes per column.
        columns: most columns of a band.

    Returns:
        Bands of equal length within a span, each starting at a full hour where that is possible; None when the scale
        does not suit the width.
    """
    steps = [step for step in (60, 30, 15) if step % minutes == 0 or minutes % step == 0]
    step = next((max(step, minutes) for step in steps if max(step, minutes) <= columns * minutes), None)
    if step is None:
        return None
    bands: list[Band] = []
    most = columns * minutes // step
    for span in spans:
        start, end = round_out(span, step)
        if bands and start < bands[-1].end:
            start = bands[-1].end
            if start >= end:
                continue
        total = (end - start) // step
        number = math.ceil(total / most)
        length = math.ceil(total / number)
        for begin in range(0, total, length):
            size = min(length, total - begin) * step // minutes
            last = begin + length >= total
            bands.append(Band(start + begin * step, minutes, size, columns, last))
    return bands
