"""The rest of a shift planned anew, in words: what is different, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from stationplan.live.differences import Differences, Moved, OrderNow, Resized, StockLeft
from stationplan.live.events import Recorded
from stationplan.live.replanning import Proposal, Unmanned
from stationplan.live.wording import told
from stationplan.plan.document import Lifted
from stationplan.render.lettering import clean, wrap
from stationplan.render.phrases import joined, label_stem
from stationplan.scenario.units import format_clock, format_duration, format_number, format_quantity

MOST_NAMED = 6
"""Batches and events named in a line; of more it is told how many there are."""


def replan_page(proposal: Proposal, *, width: int, unicode: bool = True) -> str:
    """What is different in the rest of a shift that is planned anew, and why, in five lines and what has to be decided.

    Args:
        proposal: the rest planned anew.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.
    """
    lines = replan_lines(proposal.replanned.differences, proposal.because, proposal.unmanned)
    return "".join(f"{line}\n" for text in lines for line in wrap(clean(text, unicode), width, "  "))


def replan_lines(found: Differences, because: Sequence[Recorded], unmanned: Sequence[Unmanned]) -> list[str]:
    """What is different, and why, one text a line.

    Args:
        found: what is different.
        because: the events that the plan before did not reckon with.
        unmanned: work on running batches of somebody who is away then.

    Returns:
        Five lines, and one for each thing that has to be decided, beginning with an exclamation mark.
    """
    return [
        f"finish {_from_to(*found.finish)}"
        + (": the plan in force stands, pushed later" if _only_later(found) else ""),
        _orders(found.orders),
        _moved(found.moved),
        _others(found),
        "because: " + (_named([told(event.event) for event in because]) or "of the time that has passed"),
        *_lifted(found.lifted, dict(found.in_stock)),
        *(_left(stock) for stock in found.stock_left),
        *(_unmanned(work) for work in unmanned),
    ]


def _only_later(found: Differences) -> bool:
    other = found.stations_changed or found.hands_changed or found.ovens_reordered or found.new or found.gone
    return (
        bool(found.moved) and not other and not found.resized and all(move.after > move.before for move in found.moved)
    )


def _from_to(before: int, after: int) -> str:
    if before == after:
        return f"{format_clock(after)}, as before"
    way = "later" if after > before else "earlier"
    return f"{format_clock(after)} instead of {format_clock(before)}, {format_duration(abs(after - before))} {way}"


def _orders(orders: Sequence[OrderNow]) -> str:
    left = [order for order in orders if order.after is not None]
    changed = [_now(order) for order in left if (order.late_before or order.late_after) and not _as_before(order)]
    same = [f"{order.quantity} {order.product}" for order in left if order.late_after and _as_before(order)]
    told_of = [*changed, *([f"late as before: {_named(same)}"] if same else [])]
    if not any(order.late_after for order in left):
        due = any(order.due is not None for order in left)
        told_of.append("every order that has a due time is in time" if due else "none has a due time")
    return "orders: " + "; ".join(told_of)


def _as_before(order: OrderNow) -> bool:
    return (order.before, order.late_before) == (order.after, order.late_after)


def _now(order: OrderNow) -> str:
    ready = "" if order.after is None else f" ready {format_clock(order.after)},"
    now = f"{format_duration(order.late_after)} late" if order.late_after else "in time"
    late = " late" if order.late_before and not order.late_after else ""
    before = f"{format_duration(order.late_before)}{late} before" if order.late_before else "in time before"
    if order.before is None:
        before = "new"
    return f"{order.quantity} {order.product}{ready} {now} ({before})"


def _moved(moved: Sequence[Moved]) -> str:
    if not moved:
        return "times: no batch moves"
    first = sorted(moved, key=lambda move: (move.after, move.label))
    named = _named(
        [f"{move.label} {format_clock(move.after)} instead of {format_clock(move.before)}" for move in first]
    )
    return f"times: {len(moved)} {'batch moves' if len(moved) == 1 else 'batches move'}: {named}"


def _others(found: Differences) -> str:
    parts: list[tuple[str, Sequence[str]]] = [
        ("other people", found.hands_changed),
        ("another station", found.stations_changed),
        ("another order in", found.ovens_reordered),
        ("other amounts", _resized(found.resized)),
        ("new", found.new),
        ("no longer needed", found.gone),
    ]
    told_of = [f"{words}: {_named(labels)}" for words, labels in parts if labels]
    return "; ".join(told_of) or "people, stations and batches: as before"


def _resized(batches: Sequence[Resized]) -> list[str]:
    """How much batches are now, those of a step that change alike together: ``Ea1-3 18 pieces instead of 20``."""
    alike: dict[tuple[str, Fraction, Fraction, str], list[str]] = {}
    for one in batches:
        alike.setdefault((label_stem(one.label), one.before, one.after, one.unit), []).append(one.label)
    found = []
    for (_, before, after, unit), labels in alike.items():
        # Of what is counted the unit stands there once; by weight it may be another one.
        old = format_quantity(before, unit) if unit in ("g", "ml") else format_number(round(before, 2))
        found.append(f"{joined(labels)} {format_quantity(after, unit)} instead of {old}")
    return found


def _lifted(lifted: Sequence[Lifted], stock: Mapping[str, str]) -> Iterator[str]:
    """What cannot be kept any more, and the choice that there is; with the items of stock by their labels."""
    said = {
        "most": "waits longer than its most",
        "place": "has no room where it should stand",
        "shelf life": "does not keep that long",
    }
    takers: dict[tuple[str, str], list[str]] = {}
    for rule in lifted:
        takers.setdefault((rule.before, rule.rule), []).append("delivery" if rule.after is None else rule.after)
    for (before, which), after in takers.items():
        until = _named(list(dict.fromkeys(after)))
        if before in stock:
            yield f"! {stock[before]} in stock {said[which]} until {until}: find it another place, or use it in time."
            continue
        yield (
            f"! What {before} gave {said[which]} until {until}. Look at it: if it is no good any more, record "
            f"failed {before}, and plan once more."
        )


def _left(stock: StockLeft) -> str:
    amount = format_quantity(stock.quantity, stock.unit)
    until = format_clock(stock.use_by)
    return f"! {amount} {stock.item} in stock, to be used by {until}, are not taken up in time: so much is made anew."


def _unmanned(work: Unmanned) -> str:
    return (
        f"! {work.label} {work.step} needs hands at {format_clock(work.start)}, but {work.person} is away and nobody "
        f"can stand in: lend it a hand, or record failed {work.label}, and plan once more."
    )


def _named(names: Sequence[str]) -> str:
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
