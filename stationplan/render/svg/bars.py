"""Drawing the bars of a row: work, waits, washing, marks of orders, and times away."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.render.marks import Kind
from stationplan.render.phrases import clock_span
from stationplan.render.svg.elements import Value, element
from stationplan.render.svg.hatching import Box, away, of_item, shut, washing
from stationplan.render.svg.palette import pair_of
from stationplan.render.svg.places import width
from stationplan.scenario.units import format_clock

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from stationplan.render.rows import Row
    from stationplan.render.svg.axis import Axis
    from stationplan.render.svg.places import Placed

LANE, THIN_LANE = 26, 19
"""Pixels from one lane to the next; thin ones where there is nothing but waiting."""
_BAR, _TOP = 20, 3
_BASELINE = _TOP + 14
_LINE = 16
"""Pixels from the top of a lane to the line of a wait in it."""
_DOING = {Kind.WORK: "hands-on", Kind.LOAD: "load", Kind.UNLOAD: "unload"}


@dataclass(frozen=True)
class Style:
    """What is told about batches, and how items look.

    ``positions`` are those of the items in the legend, ``told`` what a pointer is told about a batch, ``facts`` what
    another program may read of it. With ``linked`` a bar leads to the element whose id is its label.
    """

    positions: dict[str, int]
    told: dict[str, str]
    facts: dict[str, dict[str, Value]]
    linked: bool


def lane_of(row: Row) -> int:
    """Pixels from one lane of a row to the next."""
    return THIN_LANE if row.groups and all(bar.kind is Kind.STAY for group in row.groups for bar in group) else LANE


def baseline(one: Placed) -> int:
    """Pixels from the top of a lane down to the line that the label stands on."""
    return _LINE - 4 if one.bar.kind is Kind.STAY else _BASELINE


def draw_bar(one: Placed, row: Row, y: float, parent: Element, style: Style) -> None:
    """Draw a bar in its lane.

    Args:
        one: the bar and its place.
        row: the row that it belongs to.
        y: the top of the row, in pixels.
        parent: what it becomes a part of.
        style: how it looks.
    """
    bar, top = one.bar, y + one.lane * lane_of(row)
    position = style.positions.get(bar.item)
    classes = ["bar", bar.kind.value, *(["critical"] if bar.critical else [])]
    classes += [] if position is None else [f"pair-{pair_of(position)}"]
    classes += [] if bar.standing is None else [f"is-{bar.standing}"]
    if bar.sources and style.linked:
        group = element("a", parent, class_=" ".join(classes), href=f"#batch-{bar.sources[0].label}")
    else:
        group = element("g", parent, class_=" ".join(classes))
    if bar.kind in (Kind.READY, Kind.DUE):
        _mark(one, top, group)
    elif bar.kind is Kind.STAY:
        _stay(one, row, top, group)
    elif bar.kind is Kind.SLIP:
        y = top + _TOP + _BAR / 2
        element("title", group, f"{bar.label} begun later than planned ({format_clock(bar.start)})")
        element("path", group, class_="wait", d=f"M{one.left:g},{y:g}H{one.right:g}")
    elif bar.kind in _DOING:
        _work(one, row, top, group, style, position or 0)
    else:
        element("title", group, f"{row.name}: {bar.kind.value}, {clock_span(bar.start, bar.end)}")
        box = {"x": one.left, "y": top + _TOP, "width": one.right - one.left, "height": _BAR}
        element("rect", group, class_="target", **box)
        lines = washing(Box(one.left, top + _TOP, one.right, top + _TOP + _BAR))
        element("path", group, class_="washing", d=lines)
    _label(one, top, group)


def _work(one: Placed, row: Row, top: float, group: Element, style: Style, position: int) -> None:
    """A box for each batch, of full colour where hands are at it."""
    bar = one.bar
    scale = (one.right - one.left) / max(bar.end - bar.start, 1)
    where: dict[str, Value] = {row.kind: row.name} if row.kind in ("station", "person") else {}
    for source in bar.sources:
        left = one.left + (source.start - bar.start) * scale
        right = one.right if source.end == bar.end else one.left + (source.end - bar.start) * scale
        facts = {**style.facts.get(source.label, {}), **where, "start": source.start, "end": source.end}
        if row.kind == "person":
            facts["doing"] = _DOING[bar.kind]
        batch = element("g", group, class_="batch", **{f"data_{name}": value for name, value in facts.items()})
        element("title", batch, style.told.get(source.label, source.label))
        parts = ((left, right),) if row.kind == "person" else one.worked
        if parts != ((left, right),):
            _fill(batch, "tint", position, left, right, top + _TOP)
        for begin, end in parts:
            _fill(batch, "ink", position, begin, end, top + _TOP)
        out = 1 if bar.critical else 0  # else a thick outline leaves nothing of a short bar
        edge = {"x": left - out, "width": right - left + 2 * out, "y": top + _TOP - out, "height": _BAR + 2 * out}
        element("rect", batch, class_="outline", **edge)
        if bar.standing == "lost":
            element("path", batch, class_="outline", d=_cross(Box(left, top + _TOP, right, top + _TOP + _BAR)))


def _cross(box: Box) -> str:
    return (
        f"M{box.left:g},{box.top:g}L{box.right:g},{box.bottom:g}M{box.left:g},{box.bottom:g}L{box.right:g},{box.top:g}"
    )


def _fill(parent: Element, name: str, position: int, left: float, right: float, top: float) -> None:
    element("rect", parent, class_=name, x=left, y=top, width=right - left, height=_BAR)
    lines = of_item(position, Box(left, top, right, top + _BAR))
    if lines:
        element("path", parent, class_=f"on-{name}", d=lines)


def _stay(one: Placed, row: Row, top: float, group: Element) -> None:
    """A thin line under its label, with a mark wherever a part is taken out."""
    bar = one.bar
    facts: dict[str, Value] = {"data_labels": " ".join(source.label for source in bar.sources)}
    if row.kind == "station":
        facts["data_station"] = row.name
    stay = element("g", group, class_="stay", data_start=bar.start, data_end=bar.end, **facts)
    where = f" in {row.name}" if row.kind == "station" else ""
    element("title", stay, f"{bar.texts[0] if bar.texts else 'standing'}{where}, {clock_span(bar.start, bar.end)}")
    y = top + _LINE
    element("rect", stay, class_="target", x=one.left, y=top, width=one.right - one.left, height=THIN_LANE)
    element("path", stay, class_="wait", d=f"M{one.left:g},{y:g}H{one.right:g}")
    element("path", stay, class_="outline", d=f"M{one.left:g},{y - 4:g}V{y + 2:g}")
    scale = (one.right - one.left) / max(bar.end - bar.start, 1)
    for minute in bar.taken:
        x = one.left + (minute - bar.start) * scale
        element("path", stay, class_="taken", d=f"M{x:.1f},{y - 5:g}l3,6h-6z")


def _mark(one: Placed, top: float, group: Element) -> None:
    """A disc where orders are ready, a ring where they are due."""
    bar = one.bar
    element("title", group, f"{bar.texts[0]} {format_clock(bar.start)}")
    open_ = " open" if bar.kind is Kind.DUE else ""
    element("circle", group, class_=f"mark{open_}", cx=one.left, cy=top + _TOP + _BAR / 2, r=5, stroke_width=2)


def _label(one: Placed, top: float, group: Element) -> None:
    if not one.text:
        return
    if one.inside and one.bar.kind is not Kind.STAY:
        room = width(one.text)
        element(
            "rect", group, class_="plaque", x=one.text_x - 2, y=top + _TOP + 2, width=room + 4, height=_BAR - 4, rx=2
        )
    stay = one.bar.kind is Kind.STAY
    class_ = "inside" if one.inside and not stay else "outside"
    element("text", group, one.text, class_=class_, x=one.text_x, y=top + baseline(one))


def draw_away(row: Row, axis: Axis, y: float, height: float, parent: Element) -> None:
    """Shade the times off of a person, or out of use of a station, over the height of the row."""
    for bar in row.away:
        left, right = axis.x(bar.start), axis.x(bar.end)
        if right <= left:
            continue
        group = element("g", parent, class_="absent-time", data_person=row.name, data_kind=bar.kind.value)
        element("title", group, f"{row.name}: {bar.texts[0]}, {clock_span(bar.start, bar.end)}")
        element("rect", group, class_="target", x=left, y=y + 1, width=right - left, height=height - 2)
        lines = shut if bar.kind is Kind.OUT else away
        element("path", group, class_="absent", d=lines(Box(left, y + 1, right, y + height - 1)))
        if width(bar.texts[0]) + 6 <= right - left:
            text = element("text", group, bar.texts[0], class_="outside", x=right - 4, y=y + _BASELINE)
            text.set("text-anchor", "end")  # labels of bars come from the left
