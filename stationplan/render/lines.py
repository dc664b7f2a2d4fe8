"""A plan in lines to read and to print: one for each batch, wait, change of a station and order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from stationplan.render.lettering import clean, wrap
from stationplan.render.phrases import NO_ONE, changing, clock_span, from_and_to, room, size, working
from stationplan.render.words import headline, warnings
from stationplan.scenario.units import format_clock

if TYPE_CHECKING:
    from collections.abc import Iterable

    from stationplan.plan.document import Batch, Change, Delivered, Plan, Stay

ListKind = Literal["time", "person", "station"]

_NOWHERE = "on no station"


@dataclass(frozen=True)
class Line:
    """Something that happens from ``start`` to ``end``, minutes since midnight of the first day.

    ``subject`` says what and when, ``details`` the rest. ``hands`` are when whose hands are at it, ``stations`` where
    it is. ``work`` marks a batch, of which ``label`` is the label.
    """

    start: int
    end: int
    subject: str
    details: tuple[str, ...] = ()
    hands: tuple[tuple[str, int], ...] = ()
    stations: tuple[str, ...] = ()
    work: bool = False
    label: str = ""

    @property
    def text(self) -> str:
        """The whole line: ``Ac1 bake 07:07-07:24, 2 trays, on deck oven, takes 2 trays, Ida loads 07:07-07:08``."""
        return ", ".join((self.subject, *self.details))


def listing(
    plan: Plan,
    *,
    by: ListKind,
    width: int,
    unicode: bool = True,
    span: tuple[int, int] | None = None,
) -> str:
    """Everything that happens, with exact times and amounts.

    Args:
        plan: the plan to list.
        by: ``time`` for one list, ``person`` or ``station`` for one for each of them.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.
        span: list only what happens from the first to the second, minutes since midnight of the first day.

    Returns:
        Headline, warnings and the lists, with empty lines between, and a line end at the end.
    """
    lines = [line for line in lines_of(plan) if span is None or _within(line, span)]
    parts = [headline(plan, width, unicode), warnings(plan, width, unicode)]
    if by == "time":
        parts.append(_wrapped(lines, width, unicode))
    elif by == "person":
        work = [line for line in lines if line.work]
        for person in plan.people:
            own = [line for line in work if person in dict(line.hands)]
            own.sort(key=lambda line: min(start for name, start in line.hands if name == person))
            parts.append(_titled(person, own, width, unicode))
        parts.append(_titled(NO_ONE, [line for line in work if not line.hands], width, unicode))
    else:
        for station in plan.stations:
            parts.append(
                _titled(station.name, [line for line in lines if station.name in line.stations], width, unicode)
            )
        parts.append(_titled(_NOWHERE, [line for line in lines if not line.stations], width, unicode))
    return "\n\n".join(part for part in parts if part) + "\n"


def _within(line: Line, span: tuple[int, int]) -> bool:
    return line.start < span[1] and (line.end > span[0] or line.start >= span[0])


def _titled(title: str, lines: list[Line], width: int, unicode: bool) -> str:
    if not lines:
        return ""
    return "\n".join((*wrap(clean(f"{title}:", unicode), width, "  "), _wrapped(lines, width, unicode)))


def _wrapped(lines: Iterable[Line], width: int, unicode: bool) -> str:
    return "\n".join(part for line in lines for part in wrap(clean(line.text, unicode), width, "    "))


def lines_of(plan: Plan) -> tuple[Line, ...]:
    """What happens in a plan, in the order of time.

    Args:
        plan: the plan.

    Returns:
        A line for each batch, wait, change of a station and order; at the same minute in this order, as in the plan.
    """
    found = [_batch(plan, batch) for batch in plan.batches]
    found += [_stay(plan, stay) for stay in plan.stays]
    found += [_change(change) for change in plan.changes]
    found += [_order(order) for order in plan.orders]
    return tuple(sorted(found, key=lambda line: line.start))


def _batch(plan: Plan, batch: Batch) -> Line:
    details = [size(batch)]
    for seat in batch.seats:
        details += [f"on {seat.station}", f"takes {room(plan, seat.station, seat.amount)}"]
    details += [working(hand) for hand in batch.hands] or ["nobody works"]
    return Line(
        batch.start,
        batch.end,
        f"{batch.label} {batch.step} {clock_span(batch.start, batch.end)}",
        tuple(details),
        hands=tuple((hand.person, hand.start) for hand in batch.hands),
        stations=tuple(seat.station for seat in batch.seats),
        work=True,
        label=batch.label,
    )


def _stay(plan: Plan, stay: Stay) -> Line:
    details = [f"until {stay.after}"] if stay.after else []
    if stay.station is not None:
        details = [f"in {stay.station}", f"takes {room(plan, stay.station, stay.amount)}", *details]
    subject = f"{stay.name or 'standing'} {clock_span(stay.start, stay.end)} after {stay.before}"
    if stay.position == 0 and any(stock.label == stay.before for stock in plan.stock):
        subject = f"{stay.before} in stock {clock_span(stay.start, stay.end)}"
    return Line(stay.start, stay.end, subject, tuple(details), stations=(stay.station,) if stay.station else ())


def _change(change: Change) -> Line:
    subject = f"{change.station} {changing(change)} {clock_span(change.start, change.end)} {from_and_to(change)}"
    return Line(change.start, change.end, subject.rstrip(), stations=(change.station,))


def _order(order: Delivered) -> Line:
    late = f"{order.late} min late" if order.late else "in time"
    return Line(
        order.ready, order.ready, f"{order.quantity} {order.product} ready {format_clock(order.ready)}", (late,)
    )
