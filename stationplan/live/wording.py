"""Events in words: the same words that record them."""

from __future__ import annotations

from stationplan.live.events import (
    Accepted,
    Away,
    Back,
    Event,
    Failed,
    Finished,
    GoodsIn,
    GoodsLate,
    In,
    Left,
    Note,
    OrderAdded,
    OrderCancelled,
    OrderChanged,
    Out,
    Overrunning,
    Slower,
    Started,
    StockFound,
    Undo,
)
from stationplan.scenario.units import format_clock


def told(event: Event) -> str:
    """An event as it would be recorded: ``overrunning Ac3 until 09:50 at 09:40``; of an undo also what is undone."""
    return f"{_what(event)} at {format_clock(event.at)}"


def _what(event: Event) -> str:
    match event:
        case Started():
            on = "" if event.on is None else f" on {event.on}"
            return f"started {event.label}{on}{'' if event.by is None else f' by {event.by}'}"
        case Finished():
            return f"finished {event.label}{'' if event.by is None else f' by {event.by}'}"
        case Failed():
            return f"failed {event.label}"
        case Overrunning():
            return f"overrunning {event.label}{_until(event.until)}"
        case Out():
            return f"out {unit_name(event.equipment, event.unit, event.chamber)}{_until(event.until)}"
        case Back():
            return f"back {unit_name(event.equipment, event.unit, event.chamber)}"
        case Slower():
            return f"slower {unit_name(event.equipment, event.unit, event.chamber)} {event.percent}%"
        case Away():
            return f"away {event.person}{_until(event.until)}"
        case In():
            return f"in {event.person}"
        case OrderAdded():
            return f"order add {event.quantity} {event.product}{_due(event.due)}"
        case OrderChanged():
            quantity = "" if event.quantity is None else f" {event.quantity}"
            return f"order change {_order(event)}{quantity}{_due(event.due)}"
        case OrderCancelled():
            return f"order cancel {_order(event)}"
        case StockFound():
            return f"stock {event.quantity} {event.item}{_until(event.until)}"
        case GoodsLate():
            return f"late {event.ingredient}{_until(event.until)}"
        case GoodsIn():
            return f"in {event.ingredient}"
        case Note():
            return f"note {event.text}"
        case Accepted() | Left():
            return f"{event.kind} {event.plan}"
        case Undo():
            return f"undo {event.number}{f' ({event.undone})' if event.undone else ''}"


def unit_name(equipment: str, unit: int | None, chamber: int | None = None) -> str:
    """Equipment, one unit of it, or one chamber, as on the chart: ``deck oven 2``, ``deck oven 2.1``."""
    numbers = ".".join(str(number) for number in (unit, chamber) if number is not None)
    return f"{equipment} {numbers}" if numbers else equipment


def _order(event: OrderChanged | OrderCancelled) -> str:
    return f"{event.order} {event.product}".rstrip()


def _until(minutes: int | None) -> str:
    return "" if minutes is None else f" until {format_clock(minutes)}"


def _due(minutes: int | None) -> str:
    return "" if minutes is None else f" due {format_clock(minutes)}"
