"""The temperature of an oven or prover: a stepped line under its bars, hatched while it heats or cools."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.render.phrases import clock_span
from stationplan.render.svg.elements import element
from stationplan.render.svg.hatching import under
from stationplan.render.svg.places import width
from stationplan.scenario.units import format_clock

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from stationplan.render.rows import Bar, Row
    from stationplan.render.svg.axis import Axis

HEIGHT = 34
"""Pixels."""
_TEXT = 15
_FLOOR, _MARGIN = HEIGHT - 2, 4


def draw_temperatures(row: Row, axis: Axis, y: float, parent: Element) -> None:
    """Draw the temperatures of a row.

    Args:
        row: the row; without temperatures nothing is drawn.
        axis: where a minute stands.
        y: the top of the strip, in pixels.
        parent: what it becomes a part of.
    """
    steps = [(bar, bar.celsius) for bar in row.below if bar.celsius is not None]
    if not steps:
        return
    levels = [level for _, pair in steps for level in pair]
    low, high = min(levels), max(levels)

    def height(level: float) -> float:
        share = 0.5 if low == high else (level - low) / (high - low)
        return y + _MARGIN + (1 - share) * (_FLOOR - _TEXT - _MARGIN)

    group = element("g", parent, class_="temperatures", data_station=row.name)
    for number, (bar, (came, goes)) in enumerate(steps):
        begin, held, end = (axis.x(minute) for minute in (bar.start, bar.held or bar.start, bar.end))
        above, level = height(came), height(goes)
        step = element("g", group, class_="temperature", data_start=bar.start, data_held=bar.held or bar.start)
        step.set("data-end", str(bar.end))
        step.set("data-celsius", f"{goes:g}")
        element("title", step, _told(row, bar))
        if held > begin:
            element("path", step, class_="ramp", d=under((begin, above), (held, level), y + _FLOOR))
        element("path", step, class_="level", d=f"M{begin:.1f},{above:.1f}L{held:.1f},{level:.1f}H{end:.1f}")
        following = axis.x(steps[number + 1][0].start) if number + 1 < len(steps) else axis.width
        text = f"{bar.texts[0]} °C" if bar.texts[0].lstrip("-").replace(".", "").isdigit() else bar.texts[0]
        text = text if width(text) <= following - held else text.removesuffix(" °C")
        if width(text) <= max(following - held, end - held) or number + 1 == len(steps):
            element("text", step, text, class_="quiet", x=held + 3, y=level + _TEXT - 2)


def _told(row: Row, bar: Bar) -> str:
    held = bar.held or bar.start
    ready = f"{bar.kind.value} from {format_clock(bar.start)}, " if held > bar.start else ""
    return f"{row.name}: {ready}{bar.texts[0]} °C {clock_span(held, bar.end)}"
