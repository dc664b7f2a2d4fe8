"""What a shift's record means, worked out without the help of what is tested, and what must hold of plans made from it.

Everything is told minute by minute and amount by amount, as slow and as plain as it can be.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from typing import Any

from stationplan.live.events import (
    Away,
    Back,
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
    Recorded,
    Started,
    StockFound,
    Undo,
)
from stationplan.plan.document import Batch, Plan

EVER = 10**6


@dataclass
class Begun:
    """A batch that somebody has seen begin; ``end`` is None while it runs."""

    start: int
    stations: tuple[str, ...]
    people: tuple[str, ...]
    end: int | None = None
    lost: bool = False


@dataclass
class Ledger:
    """What the events that are not undone say; spans are from a minute to another, ``EVER`` where nobody knows."""

    begun: dict[str, Begun] = field(default_factory=dict)
    away: list[tuple[str, int, int]] = field(default_factory=list)
    out: list[tuple[str, int | None, int, int, bool]] = field(default_factory=list)
    orders: list[tuple[str, int] | None] = field(default_factory=list)
    stock: list[tuple[str, Fraction, int, int]] = field(default_factory=list)
    goods: dict[str, int] = field(default_factory=dict)

    @property
    def open_ended(self) -> bool:
        """Whether somebody or something is away and nobody knows until when."""
        return any(end == EVER for *_, end in self.away) or any(end == EVER for *_, end, _ in self.out)


def ledger_of(raw: dict[str, Any], events: Sequence[Recorded]) -> Ledger:
    """Go through a record, event by event.

    Args:
        raw: the scenario that the shift began with.
        events: everything that is recorded.
    """
    undone = {entry.event.number for entry in events if isinstance(entry.event, Undo)}
    found = Ledger(orders=[(order["product"], order["quantity"]) for order in raw["orders"]])
    for stock in raw.get("stock", ()):
        use_by = minutes(stock["use_by"]) if "use_by" in stock else EVER
        found.stock.append((stock["item"], amount(stock["quantity"]), 360, use_by))
    found.goods = {goods["ingredient"]: minutes(goods["from"]) for goods in raw.get("goods", ())}
    for entry in events:
        if entry.number not in undone:
            _write(found, entry)
    return found


def _write(found: Ledger, entry: Recorded) -> None:
    event = entry.event
    match event:
        case Started():
            found.begun[event.label] = Begun(event.at, event.stations, event.people)
        case Finished():
            found.begun[event.label].end = event.at
        case Failed():
            run = found.begun[event.label]
            run.end, run.lost = event.at if run.end is None else run.end, True
        case Away():
            start, until = event.at, EVER if event.until is None else event.until
            for one in [one for one in found.away if one[0] == event.person and one[1] < until and one[2] > event.at]:
                start = one[1]
                found.away.remove(one)
            found.away.append((event.person, start, until))
        case In():
            one = min(one for one in found.away if one[0] == event.person and one[2] > event.at)
            found.away[found.away.index(one)] = (event.person, one[1], event.at)
        case Out():
            start = event.at
            for two in [two for two in found.out if two[:2] == (event.equipment, event.unit) and not two[4]]:
                start = two[2]
                found.out.remove(two)
            until = EVER if event.until is None else event.until
            found.out.append((event.equipment, event.unit, start, until, False))
        case Back():
            for place, two in enumerate(found.out):
                if two[0] == event.equipment and event.unit in (None, two[1]) and not two[4]:
                    found.out[place] = (*two[:3], event.at, True)
        case OrderAdded():
            found.orders.append((event.product, event.quantity))
        case OrderChanged():
            order = found.orders[event.order - 1]
            if event.quantity is not None and order is not None:
                found.orders[event.order - 1] = (order[0], event.quantity)
        case OrderCancelled():
            found.orders[event.order - 1] = None
        case StockFound():
            until = EVER if event.until is None else event.until
            found.stock.append((event.item, amount(event.quantity), event.at, until))
        case GoodsIn():
            found.goods[event.ingredient] = event.at
        case GoodsLate():
            found.goods[event.ingredient] = event.until
        case Overrunning():
            pass


def minutes(clock: str) -> int:
    """Minutes since midnight of ``09:40`` or ``day 2 09:40``."""
    *day, time = clock.split()
    hours, rest = time.split(":")
    return (int(day[1]) - 1) * 1440 * bool(day) + int(hours) * 60 + int(rest) if day else int(hours) * 60 + int(rest)


def amount(text: str) -> Fraction:
    """The trays of ``2 trays`` or ``1/2 tray``."""
    return Fraction(text.split()[0])


def faults(plan: Plan, raw: dict[str, Any], ledger: Ledger, now: int) -> Iterator[str]:
    """What is wrong with a plan that was made at a time, beside what no plan can help.

    Args:
        plan: the plan.
        raw: the scenario that the shift began with.
        ledger: what is recorded.
        now: minutes since midnight of the first day.
    """
    yield from _undone(plan, ledger, now)
    yield from _before_now(plan, ledger, now)
    yield from _people(plan, raw, ledger, now)
    yield from _room(plan, raw, ledger, now)
    yield from _goods(plan, raw, ledger)
    yield from _order_of_steps(plan, raw, ledger)
    yield from _supplies(plan, raw, ledger)
    yield from _ordered(plan, raw, ledger)


def _undone(plan: Plan, ledger: Ledger, now: int) -> Iterator[str]:
    """What has happened stands in the plan as it was recorded."""
    batches = {batch.label: batch for batch in plan.batches}
    for label, run in ledger.begun.items():
        batch = batches.get(label)
        if batch is None:
            yield f"{label} had begun and is gone"
            continue
        if batch.start != run.start or batch.lost != run.lost:
            yield f"{label} began at {run.start}, lost {run.lost}: now {batch.start}, {batch.lost}"
        if (batch.end < now) if run.end is None else (batch.end != run.end):
            yield f"{label} ended at {run.end}: now {batch.end}"
        if tuple(seat.station for seat in batch.seats) != run.stations:
            yield f"{label} was begun on {run.stations}: now {batch.seats}"
        # What had not begun of it may have been handed on by a plan.
        if not {hand.person for hand in batch.hands if hand.start == batch.start} <= set(run.people):
            yield f"{label} was begun by {run.people}: now {batch.hands}"


def _begun(plan: Plan, ledger: Ledger) -> list[Batch]:
    return [batch for batch in plan.batches if batch.label in ledger.begun]


def _new(plan: Plan, ledger: Ledger) -> list[Batch]:
    return [batch for batch in plan.batches if batch.label not in ledger.begun]


def _before_now(plan: Plan, ledger: Ledger, now: int) -> Iterator[str]:
    for batch in _new(plan, ledger):
        if batch.start < now or batch.lost:
            yield f"{batch.label} had not begun at {now}: now {batch.start}, lost {batch.lost}"


def _people(plan: Plan, raw: dict[str, Any], ledger: Ledger, now: int) -> Iterator[str]:
    """Nobody does two things at once, or works while away, but for what had begun."""
    absent = [(name, max(start, now), end) for name, start, end in ledger.away]
    for person in raw["kitchen"]["people"]:
        for span in person.get("breaks", ()):
            start, end = span.split("-")
            absent.append((person["name"], minutes(start), minutes(end)))
        if "hours" in person:
            start, end = person["hours"].split("-")
            absent += [(person["name"], 0, minutes(start)), (person["name"], minutes(end), EVER)]
    works = [(hand, batch.label) for batch in plan.batches for hand in batch.hands if hand.start < hand.end]
    for hand, label in works:
        if label in ledger.begun:
            continue
        for name, start, end in absent:
            if name == hand.person and hand.start < end and start < hand.end:
                yield f"{name} works on {label} {hand.start}-{hand.end}, away {start}-{end}"
        for other, at in works:
            if (
                at != label
                and other.person == hand.person
                and max(other.start, now) < hand.end
                and hand.start < other.end
            ):
                yield f"{hand.person} works on {label} {hand.start}-{hand.end} and on {at} {other.start}-{other.end}"


def _room(plan: Plan, raw: dict[str, Any], ledger: Ledger, now: int) -> Iterator[str]:
    """No station holds more than it can from now on, where anything that had not begun is in it."""
    lifted = {(rule.before, rule.after) for rule in plan.past.lifted if rule.rule == "place"} if plan.past else set()
    counts = {entry["name"]: entry.get("count", 1) for entry in raw["kitchen"]["equipment"]}
    out = [(name, unit, start, end) for name, unit, start, end, _ in ledger.out]
    for entry in raw["kitchen"]["equipment"]:
        for closed in entry.get("out_of_use", ()):
            start, end = closed["between"].split("-")
            out.append((entry["name"], closed.get("unit"), minutes(start), minutes(end)))
    for station in plan.stations:
        single = station.kind == "mixer"
        taken = [
            (seat.start, seat.end, 1 if single else seat.amount, batch.label not in ledger.begun, batch.label)
            for batch in plan.batches
            for seat in batch.seats
            if seat.station == station.name
        ]
        taken += [
            (stay.start, stay.end, stay.amount, stay.after is not None and stay.after not in ledger.begun, stay.before)
            for stay in plan.stays
            if stay.station == station.name and (stay.before, stay.after) not in lifted
        ]
        capacity = 1 if single else station.capacity
        for minute in sorted({max(now, start) for start, *_ in taken} | {start for *_, start, _ in out if start > now}):
            inside = [one for one in taken if one[0] <= minute < one[1]]
            gone = {
                unit
                for name, unit, start, end in out
                if name == station.equipment and start <= minute < end and _hits(station.name, name, unit)
            }
            whole = None in gone or (gone and station.name != station.equipment)
            left = 0 if whole else capacity - len(gone) * capacity // counts[station.equipment]
            if sum(one[2] for one in inside) > left and any(one[3] for one in inside):
                yield f"{station.name} has room for {left} at {minute}, in it {inside}"


def _hits(station: str, equipment: str, unit: int | None) -> bool:
    """Whether a unit that is out is this station, or a part of it."""
    return unit is None or station in (equipment, f"{equipment} {unit}")


def _goods(plan: Plan, raw: dict[str, Any], ledger: Ledger) -> Iterator[str]:
    items = {**raw["components"], **raw["products"]}
    for batch in _new(plan, ledger):
        item = items[batch.item]
        names = _steps(item)
        [step] = [step for step in item["steps"] if step.get("name") == batch.step]
        into = {*step.get("ingredients", ()), *(item["ingredients"] if batch.step == names[0] else ())}
        for ingredient, since in ledger.goods.items():
            if ingredient in into and batch.start < since:
                yield f"{batch.label} begins at {batch.start}, {ingredient} comes at {since}"


def _steps(item: dict[str, Any]) -> list[str]:
    return [step["name"] for step in item["steps"] if "name" in step]


def _size(batch: Batch) -> Fraction:
    return Fraction(batch.last) - Fraction(batch.first)


def _order_of_steps(plan: Plan, raw: dict[str, Any], ledger: Ledger) -> Iterator[str]:
    """Inside an item every batch begins when all that it takes has been given, and has waited."""
    for name, item in {**raw["components"], **raw["products"]}.items():
        steps = item["steps"]
        for before, after in pairwise(_steps(item)):
            positions = [place for place, step in enumerate(steps) if step.get("name") in (before, after)]
            least = sum(int(step["at_least"].split()[0]) for step in steps[positions[0] + 1 : positions[1]])
            givers = [batch for batch in plan.batches if (batch.item, batch.step) == (name, before) and not batch.lost]
            given: list[tuple[Fraction, Batch]] = []
            for giver in sorted(givers, key=lambda batch: Fraction(batch.first)):
                given.append(((given[-1][0] if given else Fraction(0)) + _size(giver), giver))
            for taker in _new(plan, ledger):
                if (taker.item, taker.step) != (name, after):
                    continue
                if not given or given[-1][0] < Fraction(taker.last):
                    yield f"{taker.label} takes up to {taker.last}, of {before} there is {given}"
                for last, giver in given:
                    mine = last - _size(giver) < Fraction(taker.last) and Fraction(taker.first) < last
                    if mine and giver.end + least > taker.start:
                        yield f"{taker.label} begins at {taker.start}, {giver.label} gives at {giver.end}"


def _taken(plan: Plan, raw: dict[str, Any], component: str) -> list[tuple[int, Fraction, str]]:
    """When how much of a component is taken up, by which batch: it goes into the first step of products."""
    found = []
    for name, product in raw["products"].items():
        for batch in plan.batches:
            if component in product["uses"] and (batch.item, batch.step) == (name, _steps(product)[0]):
                found.append((batch.start, _size(batch) * amount(product["uses"][component]), batch.label))
    return found


def _supplies(plan: Plan, raw: dict[str, Any], ledger: Ledger) -> Iterator[str]:
    """Nothing is taken up that is not there, or that should not be used any more."""
    for name, item in raw["components"].items():
        last = _steps(item)[-1]
        made = [(b.end, _size(b)) for b in plan.batches if (b.item, b.step) == (name, last) and not b.lost]
        stock = [(size, since, use_by) for what, size, since, use_by in ledger.stock if what == name]
        taken = _taken(plan, raw, name)
        everything = sum((size for _, size in made), Fraction(0)) + sum((size for size, *_ in stock), Fraction(0))
        if sum(size for _, size, _ in taken) > everything:
            yield f"{taken} are taken of {name}, there are {made} and {stock}"
        new = [(start, size) for start, size, label in taken if label not in ledger.begun]
        for moment, _ in new:
            there = sum(size for end, size in made if end <= moment) + sum(
                s for s, since, _ in stock if since <= moment
            )
            if sum(size for start, size in new if start <= moment) > there:
                yield f"{new} are taken of {name}, at {moment} there is {there}"
        for use_by in {use_by for *_, use_by in stock}:
            good = sum((size for _, size in made), Fraction(0)) + sum(size for size, _, end in stock if end > use_by)
            if sum(size for start, size in new if start > use_by) > good:
                yield f"{new} are taken of {name}, after {use_by} only {good} of it can be used"


def _ordered(plan: Plan, raw: dict[str, Any], ledger: Ledger) -> Iterator[str]:
    """Every order is made in full."""
    wanted: dict[str, int] = defaultdict(int)
    for order in ledger.orders:
        if order is not None:
            wanted[order[0]] += order[1]
    for name, quantity in wanted.items():
        last = _steps(raw["products"][name])[-1]
        made = [_size(b) for b in plan.batches if (b.item, b.step) == (name, last) and not b.lost]
        stock = [size for item, size, *_ in ledger.stock if item == name]
        if sum(made, Fraction(0)) + sum(stock, Fraction(0)) < quantity:
            yield f"{quantity} {name} are ordered, there are {made} and {stock}"
