"""What a plan says, as the short lines that the pages of the documentation quote."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.render.lines import lines_of
from stationplan.scenario.units import format_clock, format_quantity

if TYPE_CHECKING:
    from stationplan.plan.document import Batch, Plan

Facts = dict[str, list[str]]
"""Details by what they are details of; a page writes them behind it, separated by commas."""


def facts_of(plan: Plan) -> Facts:
    """Every line that a page may quote for a plan: those of the list that the commands print, and totals."""
    facts: Facts = {f"finishes {format_clock(plan.finish)}": []}
    for amount in plan.amounts:
        quantity, needed = (format_quantity(Fraction(value), amount.unit) for value in (amount.quantity, amount.needed))
        facts[f"makes {quantity} of {amount.item}"] = [f"needs {needed}"]
    for batch in plan.batches:
        facts[f"{_letters(batch)} {batch.step}: {_batches(batch.of)}"] = []
    for (step, station), number in Counter(
        (_letters(batch), seat.station) for batch in plan.batches for seat in batch.seats
    ).items():
        facts[f"{step}: {_batches(number)} on {station}"] = []
    for line in lines_of(plan):
        facts.setdefault(line.subject, []).extend(line.details)
    return facts


def _letters(batch: Batch) -> str:
    return batch.label.partition(".")[0].rstrip("0123456789")


def _batches(number: int) -> str:
    return "1 batch" if number == 1 else f"{number} batches"
