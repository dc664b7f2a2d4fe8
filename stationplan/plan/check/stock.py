"""Stock: what is there already is taken up before anything that is made, and in time."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.measure import in_base
from stationplan.plan.check.recipe import Waiting
from stationplan.scenario.models import Item, Scenario
from stationplan.scenario.units import format_quantity

if TYPE_CHECKING:
    from stationplan.plan.check.case import Case
    from stationplan.plan.check.flow import Lot
    from stationplan.plan.document import Past


@dataclass(frozen=True)
class Stocked:
    """A part of the stock of an item that is counted on: the quantity after ``first`` up to ``last`` of all there is.

    Attributes:
        item: component or product.
        number: its place among the stock of the item, from 1, in the order in which it is taken up.
        first: in the item's base unit.
        last: in the item's base unit.
        start: when it is there, minutes since midnight of the first day.
        use_by: when what takes it up must have begun, None without a limit.
        wait: how it stands until it is taken up.
        label: as the plan names it.
    """

    item: str
    number: int
    first: Fraction
    last: Fraction
    start: int
    use_by: int | None
    wait: Waiting
    label: str = ""

    @property
    def size(self) -> Fraction:
        """How much of it is counted on, in the item's base unit."""
        return self.last - self.first

    @property
    def end(self) -> int:
        """When it can be taken up at the earliest."""
        return self.start

    @property
    def began(self) -> None:
        """What the plan was told of it as a batch, which it is not."""
        return

    @property
    def given_first(self) -> Fraction:
        """Where what it gives begins."""
        return self.first

    @property
    def given_last(self) -> Fraction:
        """Where what it gives ends."""
        return self.last

    @property
    def title(self) -> str:
        """How a sentence names it."""
        return f"{self.label} ({self.item}, stock)"


@dataclass
class _Entry:
    """An entry of the stock: its place in the scenario, and how much batches that had begun took of it."""

    place: int
    start: int
    use_by: float
    there: Fraction
    taken: Fraction = Fraction(0)


def stock_counted_on(
    scenario: Scenario,
    name: str,
    item: Item,
    wanted: Fraction,
    past: Past | None = None,
    gone: Sequence[tuple[int, Fraction]] = (),
) -> tuple[Stocked, ...]:
    """What of the stock of an item is taken up: first what is there first, then what must be used first.

    What had been taken up before it was there was something else. Of what is too old, or left over, only what batches
    that had begun took counts.

    Args:
        scenario: the input.
        name: the item's name.
        item: the item.
        wanted: how much of it must be there, in its base unit.
        past: what the plan was told of what had happened.
        gone: when batches that had begun took how much of it, in the order of their starts.
    """
    entries = _entries(scenario, name, item, past)
    for start, size in gone:
        left = size
        for entry in entries:
            if entry.start <= start <= entry.use_by:
                part = min(left, entry.there - entry.taken)
                entry.taken, left = entry.taken + part, left - part
    found: list[Stocked] = []
    for entry in entries:
        too_old = past is not None and entry.use_by < past.now
        begin = max([part.last for part in found] + [sum(size for start, size in gone if start < entry.start)])
        end = min(wanted, begin + (entry.taken if too_old else entry.there))
        if begin < end:
            given = scenario.stock[entry.place]
            use_by = None if given.use_by is None else int(given.use_by)
            wait = Waiting("stock", 0, None if use_by is None else use_by - entry.start, given.place, given.fills)
            found.append(Stocked(name, len(found) + 1, Fraction(begin), end, entry.start, use_by, wait))
    return tuple(found)


def _entries(scenario: Scenario, name: str, item: Item, past: Past | None) -> list[_Entry]:
    """The stock of an item as far as it can be counted on, in the order in which it is taken up."""
    opens = scenario.shift.opens
    most = {} if past is None else {left.stock - 1: Fraction(left.counted) for left in past.left_over}
    found = []
    for place, stock in enumerate(scenario.stock):
        if stock.item == name:
            start = int(opens if stock.since is None else max(opens, stock.since))
            use_by = math.inf if stock.use_by is None else int(stock.use_by)
            there = in_base(item, name, stock.quantity)
            found.append(_Entry(place, start, use_by, min(there, most.get(place, there))))
    return sorted(found, key=lambda entry: (entry.start, entry.use_by))


def check_stock(case: Case) -> Iterator[Fault]:
    """Compare the stock that the plan counts on with what there is.

    Args:
        case: the plan beside its scenario.
    """
    for left in () if case.plan.past is None else case.plan.past.left_over:
        if not 1 <= left.stock <= len(case.scenario.stock) or case.scenario.stock[left.stock - 1].use_by is None:
            sentence = f"The plan leaves stock number {left.stock} over, which has no use-by."
            yield Fault(FaultKind.STOCK_DIFFERS, sentence)
    unmatched = list(case.plan.stock)
    for name, making in case.making.items():
        unit = case.recipes[name].item.makes.unit
        for part in making.stock:
            wanted = (part.label, name, str(part.size), unit, part.start, part.use_by)
            there = [s for s in unmatched if (s.label, s.item, s.quantity, s.unit, s.start, s.use_by) == wanted]
            if there:
                unmatched.remove(there[0])
            else:
                sentence = (
                    f"The plan does not count on {format_quantity(part.size, unit)} of {name} in stock as {wanted[0]}"
                )
                yield Fault(FaultKind.STOCK_DIFFERS, f"{sentence}, there from {clock(part.start)}.", (wanted[0],))
    for stock in unmatched:
        sentence = f"The plan counts on {stock.quantity} {stock.unit} of {stock.item} in stock as {stock.label}"
        yield Fault(FaultKind.STOCK_DIFFERS, f"{sentence}, which is not so.", (stock.label,))


def check_use_by(lots: Sequence[Lot]) -> Iterator[Fault]:
    """No batch that takes up stock begins after its use-by.

    Args:
        lots: every lot of the plan.
    """
    for lot in lots:
        stock = lot.before
        if isinstance(stock, Stocked) and stock.use_by is not None and lot.after is not None and not lot.after.began:
            start = lot.after.batch.start
            if start > stock.use_by:
                sentence = f"{lot.after.title} takes up {stock.title} at {clock(start)}, after its use-by"
                yield Fault(FaultKind.STOCK_TOO_OLD, f"{sentence} at {clock(stock.use_by)}.", lot.labels)
