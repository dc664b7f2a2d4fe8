"""What the shapes of a drawing mean: a small sample of each that a plan has, and its meaning."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.render.lettering import clean
from stationplan.render.marks import Kind
from stationplan.render.rows import Bar, Row, Source, rows_of
from stationplan.render.svg.axis import Axis
from stationplan.render.svg.bars import Style, draw_away, draw_bar
from stationplan.render.svg.elements import element
from stationplan.render.svg.ovens import draw_temperatures
from stationplan.render.svg.places import place
from stationplan.scenario.units import format_quantity

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from stationplan.plan.document import Plan

WIDTH, HEIGHT = 84, 28
"""Of a sample, in pixels."""
_AXIS = Axis(((0, WIDTH),), 1)


@dataclass(frozen=True)
class Entry:
    """A sample, WIDTH by HEIGHT pixels, and what it means."""

    sample: Element
    meaning: str


def signs(plan: Plan) -> tuple[Entry, ...]:
    """The shapes that the drawings of a plan hold."""
    rows = rows_of(plan, "equipment", unicode=True)
    bars = [bar for row in rows for bar in row.bars()]
    kinds = {bar.kind for bar in bars} | {bar.kind for row in rows for bar in row.away}
    critical = any(bar.critical for bar in bars)
    taken = any(bar.taken for bar in bars)
    entries = [
        (Kind.WORK in kinds, _bar(Kind.WORK, hands=((4, 74),), texts=("Aa1",)), "work by hand"),
        (Kind.WORK in kinds, _bar(Kind.WORK, texts=("Aa1",)), "it runs by itself"),
        (critical, _bar(Kind.WORK, critical=True, texts=("Aa1",)), "the finish hangs on it"),
        (Kind.LOAD in kinds, _bar(Kind.LOAD, end=10, texts=("Aa1",)), "putting in"),
        (Kind.UNLOAD in kinds, _bar(Kind.UNLOAD, end=10, texts=("Aa1",)), "taking out"),
        (Kind.STAY in kinds, _bar(Kind.STAY, texts=("Aa1 chill",)), "waiting"),
        (taken, _bar(Kind.STAY, taken=(30, 50), texts=("Aa1",)), "waiting; at each mark a part is taken out"),
        (Kind.WASH in kinds, _bar(Kind.WASH, end=24), "washing"),
        (any(bar.celsius for bar in bars), _oven(), "an oven heats up, then keeps its temperature"),
        (bool(kinds & {Kind.BREAK, Kind.AWAY}), _away(Kind.BREAK), "break or off"),
        (Kind.OUT in kinds, _away(Kind.OUT), "out of use"),
        (Kind.READY in kinds, _bar(Kind.READY, start=10, end=10, texts=("12 A",)), "order ready"),
        (Kind.DUE in kinds, _bar(Kind.DUE, start=10, end=10, texts=("12 A",)), "order due"),
    ]
    return tuple(Entry(sample, meaning) for wanted, sample, meaning in entries if wanted)


def items(plan: Plan) -> tuple[Entry, ...]:
    """Pattern and letters of each item, how much of it is made, and its steps."""
    amounts = {amount.item: amount for amount in plan.amounts}
    entries = []
    for position, item in enumerate(plan.legend):
        made = amounts.get(item.item)
        quantity = "" if made is None else f", {format_quantity(Fraction(made.quantity), made.unit)}"
        steps = ", ".join(f"{letter} {name}" for letter, name in item.steps)
        sample = _bar(Kind.WORK, hands=((4, 38),), texts=(item.letters,), position=position)
        entries.append(Entry(sample, clean(f"{item.letters} {item.item}{quantity}: {steps}", True)))
    return tuple(entries)


def _bar(
    kind: Kind,
    *,
    start: int = 4,
    end: int = 74,
    texts: tuple[str, ...] = (),
    critical: bool = False,
    taken: tuple[int, ...] = (),
    hands: tuple[tuple[int, int], ...] = (),
    position: int = 0,
) -> Element:
    sample = element("g")
    source = Source("Aa1", start, end)
    bar = Bar(kind, start, end, texts, item="item", critical=critical, taken=taken, label="Aa1", sources=(source,))
    person = kind in (Kind.LOAD, Kind.UNLOAD)
    row = Row("", ((bar,),), kind="person" if person else "other")
    [placed] = place(row, _AXIS, {"Aa1": hands})
    draw_bar(placed, row, 1, sample, Style({"item": position}, {}, {}, linked=False))
    return _plain(sample)


def _oven() -> Element:
    sample = element("g")
    row = Row("", (), below=(Bar(Kind.HEAT, 4, 74, ("170",), held=30, celsius=(20, 170)),))
    draw_temperatures(row, _AXIS, -4, sample)
    return _plain(sample)


def _away(kind: Kind) -> Element:
    sample = element("g")
    row = Row("", (), away=(Bar(kind, 4, 74, ("break" if kind is Kind.BREAK else "out",)),))
    draw_away(row, _AXIS, 1, HEIGHT - 2, sample)
    return _plain(sample)


def _plain(sample: Element) -> Element:
    """The sample without what is told about real batches."""
    for part in sample.iter():
        for title in part.findall("title"):
            part.remove(title)
        for name in [name for name in part.attrib if name.startswith("data-")]:
            del part.attrib[name]
        if part.get("class") in ("batch", "stay", "temperatures", "temperature"):
            del part.attrib["class"]
    return sample
