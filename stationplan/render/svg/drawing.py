"""The parts of a chart: the clock along the top, the names on the left, and the bars."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.render.chart import busy_times
from stationplan.render.lettering import clean, shorten, wrap
from stationplan.render.lines import lines_of
from stationplan.render.rows import RowKind, rows_of
from stationplan.render.svg.axis import Axis, several_days
from stationplan.render.svg.bars import Style, baseline, draw_away, draw_bar, lane_of
from stationplan.render.svg.elements import Value, element
from stationplan.render.svg.hatching import Box, away
from stationplan.render.svg.ovens import HEIGHT as STRIP
from stationplan.render.svg.ovens import draw_temperatures
from stationplan.render.svg.places import Label, place, width
from stationplan.scenario.units import format_clock, format_quantity

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from stationplan.plan.document import Batch, Plan
    from stationplan.render.rows import Row

_MARGIN = 4
_LAST_TICK = 32
"""Pixels for the words at the last tick."""
_NAME, _NAME_LINES, _NAME_LINE = 13, 2, 14
"""Letters on a line of a name, the most lines, and pixels from one to the next."""
_LEAST_ROW = 36
_DAY = 24 * 60


@dataclass(frozen=True)
class Drawing:
    """A chart in three parts, each a group that begins at its own 0,0; sizes in pixels.

    ``tops`` are where its rows begin, and where the last one ends; ``labels`` those of all bars; ``filled`` from where
    to where there is anything in each row.
    """

    axis: Axis
    clock: Element
    names: Element
    bars: Element
    clock_height: float
    names_width: float
    width: float
    tops: tuple[float, ...]
    labels: tuple[Label, ...]
    filled: tuple[tuple[tuple[float, float], ...], ...]

    @property
    def height(self) -> float:
        """Of the names and the bars."""
        return self.tops[-1]


def drawing(plan: Plan, kind: RowKind, *, linked: bool = False) -> Drawing:
    """Draw a plan.

    Args:
        plan: the plan.
        kind: what has a row: ``equipment`` (stations, then people), ``people`` or ``products``.
        linked: let each bar lead to the element of the page whose id is the label of its batch.

    Returns:
        The parts.
    """
    rows = rows_of(plan, kind, unicode=True)
    axis = Axis.of(busy_times(rows, None) or [(plan.opens, plan.closes)])
    style = Style(
        positions={entry.item: number for number, entry in enumerate(plan.legend)},
        told={line.label: clean(line.text, True) for line in lines_of(plan) if line.work},
        facts={batch.label: _facts(batch) for batch in plan.batches},
        linked=linked,
    )
    worked = _worked(plan)
    names_width = round(max(width(line) for row in rows for line in _lines(row.name)) * 1.15 + 12)
    parts = {name: element("g", class_=f"chart {name}") for name in ("clock", "names", "bars")}
    ground, grid = element("g", parts["bars"], class_="ground"), element("g", parts["bars"], class_="grid-lines")
    y, right, tops = 0.0, axis.width + _LAST_TICK, [0.0]
    labels: list[Label] = []
    filled: list[tuple[tuple[float, float], ...]] = []
    for number, row in enumerate(rows):
        placed = place(row, axis, worked)
        lanes = max([1, *(one.lane + 1 for one in placed)])
        height = lanes * lane_of(row) + (STRIP if row.below else 0) + _MARGIN
        height = max(height, _LEAST_ROW if len(_lines(row.name)) > 1 else 0)
        for part, room in ((ground, axis.width), (parts["names"], names_width)):
            if number % 2:
                element("rect", part, class_="stripe", x=0, y=y, width=room, height=height)
        _name(row, y, parts["names"])
        line = element("g", parts["bars"], class_="row", data_row=row.name, data_kind=row.kind)
        draw_away(row, axis, y, height, ground)
        for one in placed:
            draw_bar(one, row, y + _MARGIN / 2, line, style)
            lane = y + _MARGIN / 2 + one.lane * lane_of(row)
            text = (one.text_x, one.text_x + width(one.text))
            labels.append(Label((one.left, one.right), text, lane + baseline(one), one.short, number % 2 == 1))
        if row.below:
            draw_temperatures(row, axis, y + lanes * lane_of(row), line)
        below = [(axis.x(bar.start), axis.x(bar.end)) for bar in row.below]
        filled.append((*(one.extent for one in placed), *below))
        right = max([right, *(one.extent[1] for one in placed)])
        y += height
        tops.append(y)
    clock_height = _clock(axis, parts["clock"], grid, y)
    return Drawing(
        axis=axis,
        clock=parts["clock"],
        names=parts["names"],
        bars=parts["bars"],
        clock_height=clock_height,
        names_width=names_width,
        width=round(right + 4),
        tops=tuple(tops),
        labels=tuple(labels),
        filled=tuple(filled),
    )


def _facts(batch: Batch) -> dict[str, Value]:
    size = format_quantity(batch.size, batch.unit)
    facts: dict[str, Value] = {"label": batch.label, "item": batch.item, "step": batch.step, "size": size}
    return {name: clean(str(value), True) for name, value in facts.items()}


def _worked(plan: Plan) -> dict[str, tuple[tuple[int, int], ...]]:
    """When somebody's hands are at a batch."""
    found: dict[str, set[tuple[int, int]]] = defaultdict(set)
    for batch in plan.batches:
        found[batch.label] |= {(hand.start, hand.end) for hand in batch.hands}
    return {label: tuple(sorted(spans)) for label, spans in found.items()}


def _lines(name: str) -> list[str]:
    """A name on at most two lines."""
    lines = wrap(name, _NAME)
    kept, rest = lines[: _NAME_LINES - 1], " ".join(lines[_NAME_LINES - 1 :])
    return [*kept, shorten(rest, _NAME, True)] if rest else kept


def _name(row: Row, y: float, parent: Element) -> None:
    group = element("g", parent, data_row=row.name)
    element("title", group, row.name)
    for number, line in enumerate(_lines(row.name)):
        element("text", group, line, class_="name", x=6, y=y + 18 + number * _NAME_LINE)


def _clock(axis: Axis, clock: Element, grid: Element, height: float) -> float:
    """The times above, and lines from them through all rows."""
    days = several_days(axis)
    top = 18 if days else 0
    bottom = top + 24
    for tick in axis.ticks():
        kind = "major" if tick.major else "minor"
        element("path", grid, class_=f"grid {kind}", d=f"M{tick.x:g},0V{height:g}")
        element("path", clock, class_="day", d=f"M{tick.x:g},{bottom - 5}V{bottom}")
        text = format_clock(tick.minute % _DAY)
        words = text if tick.major else text[2:]
        element("text", clock, words, class_="hour" if tick.major else "quiet", x=tick.x + 2, y=bottom - 8)
    if days:
        for start, end in axis.stretches:
            for minute in [start, *range(start // _DAY * _DAY + _DAY, end, _DAY)]:
                element("text", clock, f"day {minute // _DAY + 1}", class_="hour", x=axis.x(minute) + 2, y=14)
    for start, end in axis.gaps():
        left, right = axis.x(start), axis.x(end)
        gap = element("g", grid, class_="gap")
        element("title", gap, f"{format_clock(start)} to {format_clock(end)}: nothing to do")
        element("rect", gap, class_="page", x=left + 2, y=0, width=right - left - 4, height=height)
        element("path", gap, class_="absent", d=away(Box(left + 4, 0, right - 4, height)))
    return float(bottom)
