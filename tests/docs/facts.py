"""What a plan says, as the short lines that the pages of the documentation quote."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.scenario.units import format_clock, format_quantity

if TYPE_CHECKING:
    from stationplan.plan.document import Batch, Change, Hand, Plan, Stay

Facts = dict[str, list[str]]
"""Details by what they are details of; a page writes them behind it, separated by commas."""


def facts_of(plan: Plan) -> Facts:
    """Every line that a page may quote for a plan."""
    facts: Facts = {f"finishes {format_clock(plan.finish)}": []}
    for amount in plan.amounts:
        quantity, needed = (format_quantity(Fraction(value), amount.unit) for value in (amount.quantity, amount.needed))
        facts[f"makes {quantity} of {amount.item}"] = [f"needs {needed}"]
    for batch in plan.batches:
        facts[f"{_letters(batch)} {batch.step}: {_batches(batch.of)}"] = []
        facts.setdefault(f"{batch.label} {batch.step} {_span(batch)}", []).extend(_details_of_batch(plan, batch))
    for (step, station), number in Counter(
        (_letters(batch), seat.station) for batch in plan.batches for seat in batch.seats
    ).items():
        facts[f"{step}: {_batches(number)} on {station}"] = []
    for stay in plan.stays:
        facts.setdefault(f"{stay.name or 'standing'} {_span(stay)} after {stay.before}", []).extend(
            _details_of_stay(plan, stay)
        )
    for change in plan.changes:
        facts[_change(change)] = []
    for order in plan.orders:
        late = [f"{order.late} min late"] if order.late else ["in time"]
        facts[f"{order.quantity} {order.product} ready {format_clock(order.ready)}"] = late
    return facts


def _span(part: Batch | Stay | Change | Hand) -> str:
    return f"{format_clock(part.start)}-{format_clock(part.end)}"


def _letters(batch: Batch) -> str:
    return batch.label.partition(".")[0].rstrip("0123456789")


def _batches(number: int) -> str:
    return "1 batch" if number == 1 else f"{number} batches"


def _details_of_batch(plan: Plan, batch: Batch) -> list[str]:
    units = {station.name: station.unit for station in plan.stations}
    details = [format_quantity(Fraction(batch.last) - Fraction(batch.first), batch.unit)]
    for seat in batch.seats:
        details += [f"on {seat.station}", f"takes {format_quantity(seat.amount, units[seat.station])}"]
    words = {"hands-on": "works", "load": "loads", "unload": "unloads"}
    details += [f"{hand.person} {words[hand.doing]} {_span(hand)}" for hand in batch.hands]
    return details if batch.hands else [*details, "nobody works"]


def _details_of_stay(plan: Plan, stay: Stay) -> list[str]:
    if stay.station is None:
        return [f"until {stay.after}"] if stay.after else []
    unit = next(station.unit for station in plan.stations if station.name == stay.station)
    until = [f"until {stay.after}"] if stay.after else []
    return [f"in {stay.station}", f"takes {format_quantity(stay.amount, unit)}", *until]


def _change(change: Change) -> str:
    if change.kind == "wash":
        return f"{change.station} is washed {_span(change)}"
    words = {"heat": "heats up", "cool": "cools down", "setting": "changes"}
    return f"{change.station} {words[change.kind]} {_span(change)} from {change.before} to {change.after}"
