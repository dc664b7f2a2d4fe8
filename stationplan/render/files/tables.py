"""A plan as tables: what a spreadsheet, a file of separated values or another program takes."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.render.files.characters import plain

if TYPE_CHECKING:
    from stationplan.plan.document import Batch, Change, Hand, Plan, Seat, Stay
    from stationplan.scenario.units import Quantity

MINUTES_PER_DAY = 24 * 60


@dataclass(frozen=True)
class Moment:
    """A cell that is a point in time: minutes since midnight of the first day."""

    minute: int


Cell = str | bool | int | float | Fraction | Moment | tuple[str, ...] | None
"""None is an empty cell; a tuple is a list of names."""


@dataclass(frozen=True)
class Table:
    """Rows under a row of names; every row has a cell for each name."""

    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


_TIMES = ("start day", "start", "end day", "end", "minutes")


def _times(part: Batch | Hand | Seat | Stay | Change) -> tuple[Cell, ...]:
    return (_day(part.start), Moment(part.start), _day(part.end), Moment(part.end), part.end - part.start)


def _day(minute: int) -> int:
    return minute // MINUTES_PER_DAY + 1


def _table(columns: tuple[str, ...], rows: Iterable[tuple[Cell, ...]]) -> Table:
    """A table, its text free from what no file can carry."""
    return Table(columns, tuple(tuple(_plain(cell) for cell in row) for row in rows))


def _plain(cell: Cell) -> Cell:
    if isinstance(cell, tuple):
        return tuple(plain(name) for name in cell)
    return plain(cell) if isinstance(cell, str) else cell


def _batches(plan: Plan) -> Table:
    critical = {link.label for link in plan.chain}
    return _table(
        ("label", "item", "step", "round", "number", "of", "amount", "unit", *_TIMES, "on", "people", "critical"),
        (
            (
                batch.label, batch.item, batch.step, batch.round, batch.number, batch.of,
                batch.size, batch.unit, *_times(batch),
                _once(seat.station for seat in batch.seats), _once(hand.person for hand in batch.hands),
                batch.label in critical,
            )
            for batch in sorted(plan.batches, key=lambda batch: batch.start)
        ),
    )  # fmt: skip


def _once(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def _hands(plan: Plan) -> Table:
    hands = [(hand, batch) for batch in plan.batches for hand in batch.hands]
    return _table(
        ("person", "doing", "label", "item", "step", *_TIMES, "on"),
        (
            (
                hand.person, hand.doing, batch.label, batch.item, batch.step, *_times(hand),
                _once(seat.station for seat in batch.seats),
            )
            for hand, batch in sorted(hands, key=lambda pair: pair[0].start)
        ),
    )  # fmt: skip


def _seats(plan: Plan) -> Table:
    units = {station.name: station.unit for station in plan.stations}
    seats = [(seat, batch) for batch in plan.batches for seat in batch.seats]
    return _table(
        ("station", "label", "item", "step", *_TIMES, "takes", "unit", "celsius", "setting", "holding"),
        (
            (
                seat.station, batch.label, batch.item, batch.step, *_times(seat), seat.amount, units[seat.station],
                seat.celsius, seat.setting or None, seat.holding,
            )
            for seat, batch in sorted(seats, key=lambda pair: pair[0].start)
        ),
    )  # fmt: skip


def _stays(plan: Plan) -> Table:
    units = {station.name: station.unit for station in plan.stations}
    return _table(
        ("wait", "item", "after", "until", *_TIMES, "at least", "at most", "in", "takes", "unit"),
        (
            (
                stay.name or None, stay.item, stay.before, stay.after, *_times(stay), stay.least, stay.most,
                stay.station, *((None, None) if stay.station is None else (stay.amount, units[stay.station])),
            )
            for stay in sorted(plan.stays, key=lambda stay: stay.start)
        ),
    )  # fmt: skip


def _changes(plan: Plan) -> Table:
    return _table(
        ("station", "change", "from", "to", *_TIMES),
        (
            (change.station, change.kind, change.before, change.after, *_times(change))
            for change in sorted(plan.changes, key=lambda change: change.start)
        ),
    )


def _orders(plan: Plan) -> Table:
    return _table(
        ("product", "quantity", "unit", "due day", "due", "ready day", "ready", "minutes late", "weight", "made by"),
        (
            (
                order.product, order.quantity, _unit(plan, order.product), *_due(order.due), _day(order.ready),
                Moment(order.ready), order.late, order.weight, order.batches,
            )
            for order in sorted(plan.orders, key=lambda order: order.ready)
        ),
    )  # fmt: skip


def _unit(plan: Plan, item: str) -> str:
    return next((amount.unit for amount in plan.amounts if amount.item == item), "piece")


def _due(due: int | None) -> tuple[Cell, Cell]:
    return (None, None) if due is None else (_day(due), Moment(due))


def _quantities(plan: Plan) -> Table:
    return _table(
        ("item", "needed", "made", "surplus", "unit", "recipes"),
        (
            (
                amount.item, Fraction(amount.needed), Fraction(amount.quantity),
                Fraction(amount.quantity) - Fraction(amount.needed), amount.unit, Fraction(amount.recipes),
            )
            for amount in plan.amounts
        ),
    )  # fmt: skip


def _ingredients(plan: Plan) -> Table:
    from stationplan.plan.weighing import weighing_of_plan  # brings more along than the names of the tables are worth

    known = weighing_of_plan(plan)
    return _table(
        ("ingredient", "amount", "unit", "grams", "pieces", "counted in", "declared allergens"),
        (
            (
                total.whole.name, total.whole.quantity.amount, total.whole.quantity.unit, total.whole.grams,
                *_counted(total.whole.pieces), _declared(known.contains.get(total.whole.name.casefold())),
            )
            for total in known.store
        ),
    )  # fmt: skip


def _declared(allergens: tuple[str, ...] | None) -> Cell:
    """Nothing where nothing is declared, which must not look as if none were in it."""
    return ("not declared",) if allergens is None else allergens or ("none",)


def _contents(plan: Plan) -> Table:
    from stationplan.plan.ingredients import contents_of

    rows: list[tuple[Cell, ...]] = []
    contents = {batch.label: batch for batch in contents_of(plan).batches}
    for batch in sorted(plan.batches, key=lambda batch: batch.start):
        where = (batch.label, batch.item, batch.step, _day(batch.start), Moment(batch.start))
        for portion in contents[batch.label].ingredients:
            amount = (portion.quantity.amount, portion.quantity.unit)
            rows.append((*where, "ingredient", portion.name, *amount, portion.grams, *_counted(portion.pieces), ()))
        for taken in contents[batch.label].components:
            amount = (taken.quantity.amount, taken.quantity.unit)
            rows.append((*where, "component", taken.component, *amount, None, None, None, taken.out_of))
    return _table(
        (
            "label", "item", "step", "start day", "start", "kind", "goes in", "amount", "unit", "grams", "pieces",
            "counted in", "out of",
        ),
        rows,
    )  # fmt: skip


def _counted(pieces: Quantity | None) -> tuple[Cell, Cell]:
    return (None, None) if pieces is None else (pieces.amount, pieces.unit)


_MAKERS: dict[str, Callable[[Plan], Table]] = {
    "batches": _batches,
    "hands": _hands,
    "stations": _seats,
    "waits": _stays,
    "changes": _changes,
    "orders": _orders,
    "quantities": _quantities,
    "ingredients": _ingredients,
    "contents": _contents,
}
TABLES = tuple(_MAKERS)
"""The names of the tables."""


def table(plan: Plan, name: str) -> Table:
    """One table of a plan.

    Args:
        plan: the plan.
        name: one of :data:`TABLES`.

    Returns:
        The table, in the order of time where its rows have times.
    """
    return _MAKERS[name](plan)
