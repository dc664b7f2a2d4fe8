"""What is different in a plan from the one before it, as plain data."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stationplan.plan.document import Batch, Delivered, Lifted, Plan, Stocked


@dataclass(frozen=True, slots=True)
class Moved:
    """A batch that starts at another time, minutes since midnight of the first day."""

    label: str
    before: int
    after: int


@dataclass(frozen=True, slots=True)
class Resized:
    """A batch of another size, in its unit."""

    label: str
    before: Fraction
    after: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class OrderNow:
    """An order and when it was ready before and is now, None where one of the plans does not have it."""

    product: str
    quantity: int
    due: int | None
    before: int | None
    after: int | None
    late_before: int
    late_after: int


@dataclass(frozen=True, slots=True)
class StockLeft:
    """Stock that is not counted on any more, because it cannot be taken up by its use-by; as many of its base units."""

    item: str
    quantity: Fraction
    unit: str
    use_by: int


@dataclass(frozen=True)
class Differences:
    """Two plans side by side; of batches only those that had not begun when the second was made.

    Attributes:
        finish: when everything is ready, before and after, minutes since midnight of the first day.
        lateness: minutes late over all orders, weighted, before and after.
        orders: every order of either plan.
        moved: batches that start at another time.
        stations_changed: labels of batches on another station.
        hands_changed: labels of batches that other people work on.
        resized: batches that are of another size.
        ovens_reordered: ovens and provers in which batches that both plans have there come in another order.
        new: labels of batches that the plan before did not have.
        gone: labels of batches that only it had.
        lifted: rules that what was waiting already cannot keep to any more.
        stock_left: stock of the plan before that is or will be too old.
        in_stock: label and item of all stock that the second plan counts on.
    """

    finish: tuple[int, int]
    lateness: tuple[int, int]
    orders: tuple[OrderNow, ...]
    moved: tuple[Moved, ...]
    stations_changed: tuple[str, ...]
    hands_changed: tuple[str, ...]
    ovens_reordered: tuple[str, ...]
    new: tuple[str, ...]
    gone: tuple[str, ...]
    lifted: tuple[Lifted, ...]
    stock_left: tuple[StockLeft, ...] = ()
    in_stock: tuple[tuple[str, str], ...] = ()
    resized: tuple[Resized, ...] = ()


def differences_of(
    before: Plan, after: Plan, numbers: tuple[Sequence[int], Sequence[int]] | None = None
) -> Differences:
    """Lay two plans of one shift side by side.

    Args:
        before: the plan in force.
        after: the one that is to take its place.
        numbers: of the orders of each, by which they are known again however they have changed; else by what they are.
    """
    begun = set() if after.past is None else {entry.label for entry in after.past.began}
    old = {batch.label: batch for batch in before.batches}
    new = {batch.label: batch for batch in after.batches}
    both = [(old[label], batch) for label, batch in new.items() if label in old and label not in begun]
    return Differences(
        finish=(before.finish, after.finish),
        lateness=(_lateness(before), _lateness(after)),
        orders=_orders(before, after) if numbers is None else _orders_by_number(before, after, *numbers),
        moved=tuple(Moved(one.label, one.start, two.start) for one, two in both if one.start != two.start),
        stations_changed=tuple(one.label for one, two in both if _stations(one) != _stations(two)),
        hands_changed=tuple(one.label for one, two in both if _people(one) != _people(two)),
        ovens_reordered=tuple(_reordered(before, after)),
        new=tuple(label for label in new if label not in old),
        gone=tuple(label for label in old if label not in new),
        lifted=() if after.past is None else after.past.lifted,
        stock_left=tuple(_stock_left(before, after)),
        in_stock=tuple((stock.label, stock.item) for stock in after.stock),
        resized=tuple(Resized(one.label, one.size, two.size, two.unit) for one, two in both if one.size != two.size),
    )


def _stock_left(before: Plan, after: Plan) -> Iterator[StockLeft]:
    """Where less of some stock is counted on, and it is past its use-by or cannot all be used by then."""
    left = set() if after.past is None else {entry.stock for entry in after.past.left_over}
    items = {stock["item"] for number, stock in enumerate(after.scenario.get("stock", ()), 1) if number in left}
    for stock in before.stock:
        still = sum(Fraction(other.quantity) for other in after.stock if _same(other, stock))
        too_old = after.past is not None and stock.use_by is not None and stock.use_by < after.past.now
        if stock.use_by is not None and still < Fraction(stock.quantity) and (too_old or stock.item in items):
            yield StockLeft(stock.item, Fraction(stock.quantity) - still, stock.unit, stock.use_by)


def _same(one: Stocked, other: Stocked) -> bool:
    return (one.item, one.start, one.use_by) == (other.item, other.start, other.use_by)


def _lateness(plan: Plan) -> int:
    return sum(order.weight * order.late for order in plan.orders)


def _stations(batch: Batch) -> list[str]:
    return sorted(seat.station for seat in batch.seats)


def _people(batch: Batch) -> list[str]:
    return sorted({hand.person for hand in batch.hands})


def _reordered(before: Plan, after: Plan) -> list[str]:
    found = []
    for station in after.stations:
        if station.kind in ("oven", "prover"):
            one, two = _loads(before, station.name), _loads(after, station.name)
            if [label for label in one if label in two] != [label for label in two if label in one]:
                found.append(station.name)
    return found


def _loads(plan: Plan, station: str) -> list[str]:
    loads = [(seat.start, batch.label) for batch in plan.batches for seat in batch.seats if seat.station == station]
    return [label for _, label in sorted(loads)]


def _orders(before: Plan, after: Plan) -> tuple[OrderNow, ...]:
    """Every order of both plans; those of one product that are neither equal nor due at one time are two."""
    left = list(before.orders)
    found = []
    for order in after.orders:
        one = next((other for other in left if _alike(other, order)), None)
        one = one or next((other for other in left if (other.product, other.due) == (order.product, order.due)), None)
        if one is not None:
            left.remove(one)
        found.append(_compared(one, order))
    return (*found, *map(_no_longer, left))


def _orders_by_number(before: Plan, after: Plan, old: Sequence[int], new: Sequence[int]) -> tuple[OrderNow, ...]:
    known = dict(zip(old, before.orders, strict=True))
    found = [_compared(known.pop(number, None), order) for number, order in zip(new, after.orders, strict=True)]
    return (*found, *map(_no_longer, known.values()))


def _compared(one: Delivered | None, order: Delivered) -> OrderNow:
    ready, late = (None, 0) if one is None else (one.ready, one.late)
    return OrderNow(order.product, order.quantity, order.due, ready, order.ready, late, order.late)


def _no_longer(gone: Delivered) -> OrderNow:
    return OrderNow(gone.product, gone.quantity, gone.due, gone.ready, None, gone.late, 0)


def _alike(one: Delivered, other: Delivered) -> bool:
    return (one.product, one.quantity, one.due) == (other.product, other.quantity, other.due)
