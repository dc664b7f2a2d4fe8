"""The chart as a file of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.render.lettering import clean
from stationplan.render.svg.drawing import drawing
from stationplan.render.svg.elements import element, written
from stationplan.render.svg.key import HEIGHT, WIDTH, items, signs
from stationplan.render.svg.palette import LIGHT
from stationplan.render.svg.places import width as text_width
from stationplan.render.svg.style import style
from stationplan.render.words import headline

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from stationplan.plan.document import Plan
    from stationplan.render.rows import RowKind
    from stationplan.render.svg.key import Entry

_HEADER, _SPACE = 30, 20


def standalone(plan: Plan, *, rows: RowKind = "equipment") -> str:
    """A plan's chart as one SVG document that needs nothing else.

    Args:
        plan: the plan to draw.
        rows: ``equipment`` for stations and people, ``people`` for them alone, ``products`` for a row each item.

    Returns:
        The document, with a title, a description and the style in it, and a line end at the end.
    """
    drawn = drawing(plan, rows)
    top, keys = _HEADER + drawn.clock_height, element("g", class_="key")
    entries = (items(plan), signs(plan))
    needed = max(WIDTH + text_width(entry.meaning) + _SPACE for entry in entries[0]) if entries[0] else 0
    width = max(drawn.names_width + drawn.width, needed)
    y = top + drawn.height + _SPACE
    for group in entries:
        y = _set(group, y, width, keys) + _SPACE / 2
    root = element("svg", xmlns="http://www.w3.org/2000/svg", class_="chart", width=width, height=y, role="img")
    root.set("viewBox", f"0 0 {width:g} {y:g}")
    root.set("aria-labelledby", "title desc")
    element("title", root, clean(plan.name, True), id="title")
    element("desc", root, headline(plan, 1000), id="desc")
    element("style", root, style(LIGHT))
    element("rect", root, class_="page", width=width, height=y)
    element("text", root, clean(plan.name, True), class_="name", x=6, y=20)
    for part, x, down in (
        (drawn.clock, drawn.names_width, _HEADER),
        (drawn.bars, drawn.names_width, top),
        (drawn.names, 0, top),
    ):
        part.set("transform", f"translate({x:g} {down:g})")
        root.append(part)
    root.append(keys)
    return written(root) + "\n"


def _set(entries: tuple[Entry, ...], y: float, width: float, parent: Element) -> float:
    """Set samples and meanings side by side, as many as there is room for; the y below them."""
    if not entries:
        return y
    needed = max(WIDTH + text_width(entry.meaning) + _SPACE for entry in entries)
    across = max(1, int(width // needed))
    for number, entry in enumerate(entries):
        x, top = number % across * needed, y + number // across * HEIGHT
        entry.sample.set("transform", f"translate({x:g} {top:g})")
        parent.append(entry.sample)
        element("text", parent, entry.meaning, x=x + WIDTH + 6, y=top + 18)
    return y + -(-len(entries) // across) * HEIGHT
