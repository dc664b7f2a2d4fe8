"""How long a batch takes: the minutes of its step, loading and unloading included."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Literal

from stationplan.plan.check.measure import in_base
from stationplan.scenario.models import Item, Step
from stationplan.scenario.units import Span, StepTime

Durations = Literal["longest", "typical", "shortest"]


def batch_minutes(
    item: Item,
    name: str,
    step: Step,
    takes: StepTime | None,
    size: Fraction,
    durations: Durations,
    slower: Fraction = Fraction(0),
) -> int:
    """Whole minutes of one batch.

    Args:
        item: what is made.
        name: its name, for the message.
        step: what is done to it.
        takes: the time on the equipment chosen, None where it does not differ from the step's.
        size: of the batch, in the item's base unit.
        durations: which end of a range counts.
        slower: the share by which the equipment takes longer; loading and unloading are done by hand.

    Returns:
        Minutes from start to end, each part rounded up.

    Raises:
        UnclearScenarioError: when the time is per something the item is not counted in.
    """
    time = takes or step.takes
    minutes = _chosen(time.fixed, durations)
    if time.each is not None and time.per is not None:
        minutes += _chosen(time.each, durations) * size / in_base(item, name, time.per)
    return math.ceil(step.load) + math.ceil(minutes + minutes * slower) + math.ceil(step.unload)


def _chosen(span: Span, durations: Durations) -> Fraction:
    if durations == "typical":
        return (span.least + span.most) / 2
    return span.most if durations == "longest" else span.least
