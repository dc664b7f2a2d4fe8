"""When equipment is out of use, as closures of the engine's resources."""

from __future__ import annotations

from itertools import pairwise
from math import floor
from typing import TYPE_CHECKING

from stationplan.engine.problem import Closure
from stationplan.network.alternatives import capacity_of

if TYPE_CHECKING:
    from stationplan.scenario.models import Equipment, Shift


def closures_of_unit(machine: Equipment, unit: int, shift: Shift, chamber: int = 1) -> tuple[Closure, ...]:
    """When one machine of an entry is out of use, minutes after opening; its closures do not overlap.

    Args:
        machine: the entry.
        unit: which machine of it, from 1.
        shift: when the kitchen opens and closes.
        chamber: which chamber of an oven or prover, from 1.
    """
    return tuple(Closure(start, end, 1) for start, end in _spans(machine, unit, chamber, shift))


def closures_of_place(machine: Equipment, shift: Shift) -> tuple[Closure, ...]:
    """The room that a place lacks while some of its units are out of use; its closures do not overlap.

    Args:
        machine: the entry, the room of whose units is one pool.
        shift: when the kitchen opens and closes.
    """
    missing = [_spans(machine, unit, 1, shift) for unit in range(1, machine.count + 1)]
    moments = sorted({moment for spans in missing for span in spans for moment in span})
    found = []
    whole = floor(capacity_of(machine))
    for start, end in pairwise(moments):
        gone = sum(any(begin <= start < until for begin, until in spans) for spans in missing)
        if gone:
            left = machine.model_copy(update={"count": machine.count - gone})
            found.append(Closure(start, end, whole - floor(capacity_of(left))))
    return tuple(found)


def _spans(machine: Equipment, unit: int, chamber: int, shift: Shift) -> list[tuple[int, int]]:
    """Spans in which a unit, or a chamber of it, is out of use inside the shift, those that touch joined into one."""
    spans: list[tuple[int, int]] = []
    length = shift.closes - shift.opens
    for time in sorted(machine.out_of_use, key=lambda time: time.between.start):
        if not time.meant(unit, chamber):
            continue
        start = max(0, time.between.start - shift.opens)
        end = length if time.between.end is None else min(length, time.between.end - shift.opens)
        if spans and start <= spans[-1][1]:
            spans[-1] = (spans[-1][0], max(end, spans[-1][1]))
        elif start < end:
            spans.append((start, end))
    return spans
