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


@dataclass(frozen=True)
class Stocked:
    """A part of the stock of an item that is counted on: the quantity after ``first`` up to ``last``.

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


def stock_counted_on(scenario: Scenario, name: str, item: Item, wanted: Fraction) -> tuple[Stocked, ...]:
    """What of the stock of an item is taken up: first what is there first, then what must be used first.

    Args:
        scenario: the input.
        name: the item's name.
        item: the item.
        wanted: how much of it must be there, in its base unit.
    """
    opens = scenario.shift.opens
    mine = []
    for place, entry in enumerate(scenario.stock):
        if entry.item == name:
            start = int(opens if entry.since is None else max(opens, entry.since))
            use_by = None if entry.use_by is None else int(entry.use_by)
            mine.append((start, math.inf if use_by is None else use_by, place, entry, use_by))
    found: list[Stocked] = []
    left = wanted
    for start, _, _, entry, use_by in sorted(mine, key=lambda one: one[:3]):
        part = min(left, in_base(item, name, entry.quantity))
        if part > 0:
            wait = Waiting("stock", 0, None if use_by is None else use_by - start, entry.place, entry.fills)
            begin = wanted - left
            found.append(Stocked(name, len(found) + 1, begin, begin + part, start, use_by, wait))
        left -= part
    return tuple(found)


def check_stock(case: Case) -> Iterator[Fault]:
    """Compare the stock that the plan counts on with what there is.

    Args:
        case: the plan beside its scenario.
    """
    unmatched = list(case.plan.stock)
    for name, making in case.making.items():
        unit = case.recipes[name].item.makes.unit
        for part in making.stock:
            size = part.last - part.first
            wanted = (part.label, name, str(size), unit, part.start, part.use_by)
            there = [s for s in unmatched if (s.label, s.item, s.quantity, s.unit, s.start, s.use_by) == wanted]
            if there:
                unmatched.remove(there[0])
            else:
                sentence = f"The plan does not count on {format_quantity(size, unit)} of {name} in stock as {wanted[0]}"
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
