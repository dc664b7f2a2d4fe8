"""What is true once an event has been undone, or an order changed, in a sentence."""

from __future__ import annotations

from stationplan.live.events import (
    Away,
    Back,
    Event,
    Failed,
    Finished,
    GoodsIn,
    GoodsLate,
    In,
    OrderAdded,
    OrderCancelled,
    OrderChanged,
    Out,
    Overrunning,
    Slower,
    Started,
    StockFound,
)
from stationplan.live.state import Outage, ShiftState, Slowdown
from stationplan.live.wording import unit_name
from stationplan.scenario.units import format_clock


def now_true(state: ShiftState, event: Event) -> str:
    """What the record now says of what an event was about.

    Args:
        state: what is recorded; of an event that was undone, without it.
        event: the one that was undone, or that changed an order.

    Returns:
        A sentence without its full stop.
    """
    match event:
        case Started() | Finished() | Overrunning() | Failed():
            return _batch(state, event.label)
        case Out() | Back():
            return _equipment(state, event)
        case Slower():
            said = (s.percent for s in reversed(state.slowdowns) if _around(s, event))
            percent = next(said, 0)
            name = unit_name(event.equipment, event.unit, event.chamber)
            return f"{name} is {f'{percent} % slower' if percent else 'as fast as it should be'}"
        case Away() | In():
            away = state.away(event.person, event.at)
            return f"{event.person} is {_span('away', away.start, away.end) if away else 'there'}"
        case OrderAdded():
            return f"{event.quantity} {event.product} are not ordered"
        case OrderChanged() | OrderCancelled():
            return _order(state, event.order)
        case StockFound():
            return f"{event.quantity} {event.item} are not in stock"
        case GoodsLate() | GoodsIn():
            late = next((late for late in state.goods if late.ingredient == event.ingredient), None)
            if late is not None:
                return f"{event.ingredient} comes at {format_clock(late.until)}"
            before = "is not late" if isinstance(event, GoodsLate) else "comes when the scenario says"
            return f"{event.ingredient} {before}"
        case _:
            return "everything else is as it was"


def _batch(state: ShiftState, label: str) -> str:
    run = state.runs.get(label)
    if run is None:
        return f"{label} has not begun"
    if run.end is None:
        return f"{label} runs since {format_clock(run.start)}, until {format_clock(run.expected_end)} as expected"
    word = "failed" if run.outcome == "lost" else "ended well"
    return f"{label} began at {format_clock(run.start)} and {word} at {format_clock(run.end)}"


def _equipment(state: ShiftState, event: Out | Back) -> str:
    out = [o for o in state.outages if o.ended is None and (_around(o, event) or _around(event, o))]
    if not out:
        return f"{unit_name(event.equipment, event.unit, event.chamber)} is in use"
    return ", ".join(
        f"{unit_name(o.equipment, o.unit, o.chamber)} is {_span('out of use', o.start, o.until)}" for o in out
    )


def _around(one: Outage | Slowdown | Out | Back, other: Outage | Out | Back | Slower) -> bool:
    """Whether what is said of one is said of the other as well."""
    same = one.unit in (None, other.unit) and one.chamber in (None, other.chamber)
    return one.equipment == other.equipment and same


def _span(what: str, start: int, end: int | None) -> str:
    until = "" if end is None else f" until {format_clock(end)}"
    return f"{what} since {format_clock(start)}{until}"


def _order(state: ShiftState, number: int) -> str:
    line = next(line for line in state.orders if line.number == number)
    if line.cancelled:
        return f"order {number} is cancelled"
    due = "" if line.due is None else f" due {format_clock(line.due)}"
    return f"order {number} is {line.quantity} {line.product}{due}"
