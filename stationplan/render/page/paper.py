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
_HALF_CLOCK = 20
"""Pixels for the right half of a time of day at the edge of a piece."""
_SHARES = 20
"""Into how many parts the height of a piece is divided to find one that suits all."""

Span = tuple[float, float]
Box = tuple[float, float, float, float]


def pieces(drawn: Drawing, name: str) -> tuple[Element, ...]:
    """Windows on a drawing whose parts have the ids ``name-clock``, ``name-names`` and ``name-bars``.

    Args:
        drawn: the drawing.
        name: what the ids begin with.

    Returns:
        For each stretch of time that fits, as many pieces as the rows need in which something happens meanwhile.
    """
    found = []
    names, clock = drawn.names_width, drawn.clock_height
    for begin, end in drawn.axis.windows(ACROSS - names - _BEYOND):
        across = min(end + _BEYOND, drawn.width) - begin
        for rows in _shared_out(_rows(drawn, begin, begin + across), DOWN - clock):
            height = clock + sum(bottom - top for top, bottom in rows)
            piece = element("svg", class_="piece", viewBox=f"0 0 {ACROSS} {height:g}", width=ACROSS, height=height)
            hours = min(across, end - begin + _HALF_CLOCK)
            _window(piece, f"#{name}-clock", (names, 0.0), (begin, 0.0, hours, clock))
            y = clock
            for top, bottom in rows:
                bars = _window(piece, f"#{name}-bars", (names, y), (begin, top, across, bottom - top))
                _again(drawn, begin, (top, bottom), bars)
                if end < drawn.axis.width:
                    # What begins there is cut, and is whole on the next piece.
                    veil = element("g", bars, class_="chart again")
                    element("rect", veil, class_="page", x=end, y=top, width=_BEYOND, height=bottom - top, opacity=0.6)
                _window(piece, f"#{name}-names", (0.0, y), (0.0, top, names, bottom - top))
                y += bottom - top
            found.append(piece)
    return tuple(found)


def _window(piece: Element, href: str, at: tuple[float, float], view: Box) -> Element:
    """A window on a part of the drawing: where it stands on the piece, and what it shows."""
    left, top, wide, high = view
    window = element(
        "svg", piece, x=at[0], y=at[1], width=wide, height=high, viewBox=f"{left:g} {top:g} {wide:g} {high:g}"
    )
    element("use", window, href=href)
    return window


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


def _rows(drawn: Drawing, begin: float, end: float) -> list[Span]:
    """The rows, each from where to where, in which there is anything from one moment to another."""
    return [
        span
        for span, parts in zip(pairwise(drawn.tops), drawn.filled, strict=True)
        if any(left < end and right > begin for left, right in parts)
    ]


def _shared_out(rows: list[Span], room: float) -> list[list[Span]]:
    """As few pieces as there is need for, about alike in height; a row is not cut, whatever its height."""
    fewest = len(_filled_up(rows, room))
    tried = (_filled_up(rows, room * share / _SHARES) for share in range(1, _SHARES + 1))
    return next(pieces for pieces in tried if len(pieces) <= fewest)


def _filled_up(rows: list[Span], room: float) -> list[list[Span]]:
    found: list[list[Span]] = []
    left = 0.0
    for top, bottom in rows:
        if not found or bottom - top > left:
            found.append([])
            left = room
        found[-1].append((top, bottom))
        left -= bottom - top
    return found
