"""How long a batch of a step takes, and when hands are needed in it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import TYPE_CHECKING, Literal

from stationplan.network.measures import in_base_unit

if TYPE_CHECKING:
    from stationplan.network.errors import Path
    from stationplan.scenario.models import EquipmentNeed, Item, Step
    from stationplan.scenario.units import Span, StepTime

Durations = Literal["longest", "typical", "shortest"]
Doing = Literal["hands-on", "load", "unload"]


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a batch that needs hands: minutes after its start, and how many minutes."""

    doing: Doing
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class BatchTime:
    """Minutes of one batch, loading and unloading included, and the parts that need hands."""

    minutes: int
    parts: tuple[Part, ...]


def batch_time(
    step: Step,
    need: EquipmentNeed | None,
    size: Fraction,
    item: Item,
    name: str,
    path: Path,
    durations: Durations,
    slower: Fraction = Fraction(0),
) -> BatchTime:
    """The time of a batch.

    Args:
        step: the step.
        need: the equipment alternative chosen, None without equipment.
        size: base units in the batch.
        item: the item made.
        name: the item's name.
        path: where the step stands.
        durations: which end of a range counts.
        slower: the share by which the step takes longer than that; loading and unloading do not.

    Raises:
        QuantityError: when the time is given per a unit that the item is not counted in.
    """
    time = step.takes if need is None or need.takes is None else need.takes
    takes = ceil(_takes(time, size, item, name, path, durations) * (1 + slower))
    load, unload = ceil(step.load), ceil(step.unload)
    parts = [Part("load", 0, load), *_hands_on(step, load, takes), Part("unload", load + takes, unload)]
    return BatchTime(load + takes + unload, tuple(part for part in parts if part.length))


def _takes(time: StepTime, size: Fraction, item: Item, name: str, path: Path, durations: Durations) -> Fraction:
    total = _of_span(time.fixed, durations)
    if time.each is not None:
        per = Fraction(1) if time.per is None else in_base_unit(time.per, item, name, path)
        total += _of_span(time.each, durations) * size / per
    return total


def _of_span(span: Span, durations: Durations) -> Fraction:
    if durations == "longest":
        return span.most
    if durations == "shortest":
        return span.least
    return (span.least + span.most) / 2


def _hands_on(step: Step, start: int, takes: int) -> list[Part]:
    """The hands-on parts of ``takes`` minutes that begin at ``start``."""
    hands = step.hands()
    first, last = ceil(hands.first), ceil(hands.last)
    if hands.all or first + last >= takes:
        return [Part("hands-on", start, takes)] if hands.all or first + last else []
    return [Part("hands-on", start, first), Part("hands-on", start + takes - last, last)]
