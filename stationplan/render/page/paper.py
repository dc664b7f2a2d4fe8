"""A drawing cut into pieces that fit on paper.

Each piece is a window on the one drawing of the page, so nothing is drawn twice. A window goes on a little beyond its
end, so that no label that begins in it is cut.
"""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from stationplan.render.svg.elements import element
from stationplan.render.svg.places import width as text_width

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from stationplan.render.svg.drawing import Drawing

ACROSS, DOWN = 720, 900
"""Pixels of a piece: on A4 and on US Letter its letters are then printed at about their size on a screen."""
_BEYOND, _INSET = 96, 3


def pieces(drawn: Drawing, name: str) -> tuple[Element, ...]:
    """Windows on a drawing whose parts have the ids ``name-clock``, ``name-names`` and ``name-bars``.

    Args:
        drawn: the drawing.
        name: what the ids begin with.

    Returns:
        For each stretch of time that fits, as many pieces as its rows need.
    """
    found = []
    names, clock = drawn.names_width, drawn.clock_height
    for begin, end in drawn.axis.windows(ACROSS - names - _BEYOND):
        across = min(end + _BEYOND, drawn.width) - begin
        for top, bottom in _rows(drawn, DOWN - clock):
            height = clock + bottom - top
            piece = element("svg", class_="piece", viewBox=f"0 0 {ACROSS} {height:g}", width=ACROSS, height=height)
            for part, x, y, left, above, wide, high in (
                ("clock", names, 0.0, begin, 0.0, across, clock),
                ("bars", names, clock, begin, top, across, bottom - top),
                ("names", 0.0, clock, 0.0, top, names, bottom - top),
            ):
                view = {"viewBox": f"{left:g} {above:g} {wide:g} {high:g}"}
                window = element("svg", piece, x=x, y=y, width=wide, height=high, **view)
                element("use", window, href=f"#{name}-{part}")
                if part == "bars":
                    _again(drawn, begin, (top, bottom), window)
            found.append(piece)
    return tuple(found)


def _again(drawn: Drawing, begin: float, rows: tuple[float, float], window: Element) -> None:
    """Name once more what has begun before the window, and cover what is left of a label that the edge cuts."""
    group = element("g", window, class_="chart again")
    for label in drawn.labels:
        goes_on = label.bar[0] < begin and begin + text_width(label.short) + _INSET <= label.bar[1]
        cut = min(label.text[0], label.bar[1]) <= begin < label.text[1]
        if not rows[0] <= label.baseline < rows[1] or not (goes_on or cut):
            continue
        wide = max(text_width(label.short) if goes_on else 0, label.text[1] - begin if cut else 0) + _INSET
        back = "stripe" if label.striped else "page"
        element("rect", group, class_=back, x=begin, y=label.baseline - 11, width=wide, height=14)
        if goes_on:
            element("text", group, label.short, x=begin + _INSET, y=label.baseline)


def _rows(drawn: Drawing, room: float) -> list[tuple[float, float]]:
    """From where to where the rows of each piece go; a row is not cut, whatever its height."""
    spans: list[tuple[float, float]] = []
    for top, bottom in pairwise(drawn.tops):
        if spans and bottom - spans[-1][0] <= room:
            spans[-1] = (spans[-1][0], bottom)
        else:
            spans.append((top, bottom))
    return spans
