"""A chart as markup, in parts that a page can keep in sight while the rest is scrolled."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

from markupsafe import Markup

from stationplan.render.page.paper import pieces
from stationplan.render.svg.axis import GAP, several_days
from stationplan.render.svg.drawing import drawing
from stationplan.render.svg.elements import element, written

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from stationplan.plan.document import Plan
    from stationplan.render.rows import RowKind

_WORDS = {"equipment": "stations and people", "people": "people", "products": "products"}


@dataclass(frozen=True)
class View:
    """One of the charts of a page, its parts as markup; ``axis`` is for a script that shows the time now."""

    name: str
    words: str
    axis: str
    several_days: bool
    corner: Markup
    clock: Markup
    names: Markup
    bars: Markup
    paper: tuple[Markup, ...]


def view(plan: Plan, kind: RowKind) -> View:
    """The chart of a plan.

    Args:
        plan: a plan that has passed the check.
        kind: what has a row.
    """
    drawn = drawing(plan, kind, linked=True)
    for part, content in (("clock", drawn.clock), ("names", drawn.names), ("bars", drawn.bars)):
        content.set("id", f"{kind}-{part}")
    paper = tuple(_markup(piece) for piece in pieces(drawn, kind))
    return View(
        name=kind,
        words=_WORDS[kind],
        axis=json.dumps({"stretches": drawn.axis.stretches, "scale": drawn.axis.scale, "gap": GAP}),
        several_days=several_days(drawn.axis),
        corner=svg(None, drawn.names_width, drawn.clock_height),
        clock=svg(drawn.clock, drawn.width, drawn.clock_height),
        names=svg(drawn.names, drawn.names_width, drawn.height),
        bars=svg(drawn.bars, drawn.width, drawn.height),
        paper=paper,
    )


def svg(content: Element | None, width: float, height: float) -> Markup:
    """A drawing as markup.

    Args:
        content: what is in it.
        width: in pixels.
        height: in pixels.
    """
    root = element("svg", class_="chart", width=width, height=height, viewBox=f"0 0 {width:g} {height:g}")
    if content is not None:
        root.append(content)
    return _markup(root)


def _markup(root: Element) -> Markup:
    """Elements as markup: the writer has escaped what came from names."""
    return Markup(written(root))
