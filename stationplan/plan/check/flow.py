"""What goes where: which batch serves which order, and which batches each batch is made from.

Quantities of an item are counted through from 0 to what is made. Orders and users
take consecutive ranges of it; whoever's range overlaps a batch's depends on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from stationplan.plan.check.case import Case, Run
from stationplan.plan.check.measure import in_base
from stationplan.plan.check.recipe import Link, Recipe, TakeUp, Waiting, link_to_user
from stationplan.plan.check.stock import Stocked

NEVER = float("inf")


@dataclass(frozen=True)
class OrderShare:
    """The range of a product that an order is made from; ``order`` is its place in the scenario."""

    order: int
    first: Fraction
    last: Fraction


@dataclass(frozen=True)
class Lot:
    """What goes from a batch or stock to a batch, or to delivery when ``after`` is None: the range that they share.

    ``first`` and ``last`` are counted as in ``before``.
    """

    link: Link
    before: Run | Stocked
    after: Run | None
    first: Fraction
    last: Fraction

    @property
    def recipe(self) -> str:
        """The item that goes over."""
        return self.link.before.item

    @property
    def labels(self) -> tuple[str, ...]:
        """Labels of the batches on either side."""
        before = self.before.label
        return (before,) if self.after is None else (before, self.after.batch.label)


def over(lot: Lot) -> bool:
    """Whether a wait was over when the plan was made: what takes it up had begun."""
    return lot.after is not None and lot.after.began is not None


@dataclass(frozen=True)
class Flow:
    """Lots of the whole plan, and the orders' shares of each product."""

    lots: tuple[Lot, ...]
    shares: Mapping[str, tuple[OrderShare, ...]]


@dataclass(frozen=True)
class _Draught:
    """The range of a component that one batch of a user takes, and the earliest due time it ends up in."""

    run: Run
    link: Link
    due: float
    first: Fraction
    last: Fraction


def follow(case: Case) -> Flow:
    """Work out every lot of the plan.

    Args:
        case: the plan beside its scenario.

    Returns:
        Lots within items, between items, and of products waiting for delivery.
    """
    shares = {name: _order_shares(case, name) for name in case.making if case.recipes[name].is_product}
    draughts: dict[str, tuple[_Draught, ...]] = {}
    # Users come first, so a user's own due times are known before it is lined up for a component.
    for name in case.making:
        draughts[name] = _line_up(case, name, shares, draughts)
    lots: list[Lot] = []
    for name in case.making:
        recipe = case.recipes[name]
        for link in recipe.links:
            assert link.after is not None  # links inside an item lead to a stage
            before, after = case.runs.get(link.before.key, ()), case.runs.get(link.after.key, ())
            for earlier in before:
                for later in after:
                    first, last = max(later.first, earlier.given_first), min(later.last, earlier.given_last)
                    if first < last:
                        lots.append(Lot(link, earlier, later, first, last))
        outlet = case.runs.get(recipe.last.key, ())
        if recipe.is_product and recipe.trailing:
            link = Link(recipe.last, None, recipe.trailing)
            lots += [Lot(link, run, None, run.given_first, run.given_last) for run in outlet if not run.batch.lost]
        for draught in draughts[name]:
            for source, first, last in _drawn_on(case, recipe, draught.first, draught.last):
                link = draught.link if isinstance(source, Run) else _from_stock(source, recipe, draught.link)
                lots.append(Lot(link, source, draught.run, first, last))
    return Flow(tuple(lots), shares)


def sources_of(case: Case, recipe: Recipe, first: Fraction, last: Fraction) -> list[Run | Stocked]:
    """The stock, and the batches of an item's last stage, that a range is taken from."""
    return [source for source, _, _ in _drawn_on(case, recipe, first, last)]


def _drawn_on(
    case: Case, recipe: Recipe, first: Fraction, last: Fraction
) -> Iterator[tuple[Run | Stocked, Fraction, Fraction]]:
    """What a range is taken from, each with the part that it gives; batches with stock in between come in two parts."""
    stock = case.making[recipe.name].stock
    # Where among the batches each stock stands, and how much further all that comes behind it is counted.
    places = [
        (part.first - sum(other.size for other in stock[:number]), part.size) for number, part in enumerate(stock)
    ]
    for part in stock:
        begin, end = max(part.first, first), min(part.last, last)
        if begin < end:
            yield part, begin, end
    for run in case.runs.get(recipe.last.key, ()):
        inside = {place for place, _ in places if run.given_first < place < run.given_last}
        for start, until in pairwise(sorted({run.given_first, run.given_last, *inside})):
            further = sum(size for place, size in places if place <= start)
            begin, end = max(start, first - further), min(until, last - further)
            if begin < end:
                yield run, begin, end


def _from_stock(stock: Stocked, recipe: Recipe, link: Link) -> Link:
    """The way from stock to the stage that takes it up: the waits of its recipe are behind it, that of the use not."""
    own = link.waits[len(recipe.trailing) :]
    if link.least or link.most is not None:
        own = (Waiting("", link.least, link.most),)
    return Link(link.before, link.after, (stock.wait, *own))


def _order_shares(case: Case, product: str) -> tuple[OrderShare, ...]:
    orders = [(number, order) for number, order in enumerate(case.scenario.orders) if order.product == product]
    orders.sort(key=lambda entry: NEVER if entry[1].due is None else entry[1].due)
    kept = 1 - case.recipes[product].item.loss
    shares, reached = [], Fraction(0)
    for number, order in orders:
        shares.append(OrderShare(number, reached, reached + order.quantity / kept))
        reached = shares[-1].last
    return tuple(shares)


def _line_up(
    case: Case,
    component: str,
    shares: Mapping[str, tuple[OrderShare, ...]],
    draughts: Mapping[str, tuple[_Draught, ...]],
) -> tuple[_Draught, ...]:
    """Give the users' batches their ranges: earliest due first, then products before components, then in order.

    What had begun when the plan was made comes before all others, in the order in which it began.
    """
    component_recipe = case.recipes[component]
    waiting: list[tuple[tuple[bool, int, float, int, int, int], Run, TakeUp, Link]] = []
    for user in case.making:
        recipe = case.recipes[user]
        for taken in recipe.takes_up:
            if taken.component == component:
                link = link_to_user(component_recipe, taken)
                for place, run in enumerate(case.runs.get(taken.stage.key, ())):
                    due = _earliest_due(case, run, shares, draughts)
                    began = (False, run.began.start) if run.began is not None else (True, 0)
                    key = (*began, due, recipe.rank, place, taken.stage.index)
                    waiting.append((key, run, taken, link))
    waiting.sort(key=lambda entry: entry[0])
    item, making = component_recipe.item, case.making[component]
    there = making.stocked + making.made
    found, reached = [], Fraction(0)
    for (_, _, due, *_), run, taken, link in waiting:
        recipes = run.size / case.recipes[run.stage.item].item.makes.amount
        needed = recipes * in_base(item, component, taken.use.amount) / (1 - taken.use.loss) / (1 - item.loss)
        found.append(_Draught(run, link, due, min(reached, there), min(reached + needed, there)))
        reached += needed
    return tuple(found)


def _earliest_due(
    case: Case,
    run: Run,
    shares: Mapping[str, tuple[OrderShare, ...]],
    draughts: Mapping[str, tuple[_Draught, ...]],
) -> float:
    """The earliest due time of any order that a batch ends up in."""
    name = run.stage.item
    stocked = case.making[name].stocked
    first, last = stocked + run.first, stocked + run.last
    dues: list[float] = []
    for share in shares.get(name, ()):
        due = case.scenario.orders[share.order].due
        if due is not None and share.first < last and first < share.last:
            dues.append(due)
    for draught in draughts.get(name, ()):
        if max(draught.first, first) < min(draught.last, last):
            dues.append(draught.due)
    return min(dues, default=NEVER)
