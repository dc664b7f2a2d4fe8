"""What goes where: which batch serves which order, and which batches each batch is made from.

Quantities of an item are counted through from 0 to what is made. Orders and users
take consecutive ranges of it; whoever's range overlaps a batch's depends on it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from stationplan.plan.check.case import Case, Run
from stationplan.plan.check.measure import in_base
from stationplan.plan.check.recipe import Link, Recipe, TakeUp, link_to_user

NEVER = float("inf")


@dataclass(frozen=True)
class OrderShare:
    """The range of a product that an order is made from; ``order`` is its place in the scenario."""

    order: int
    first: Fraction
    last: Fraction


@dataclass(frozen=True)
class Lot:
    """What goes from one batch to another, or to delivery when ``after`` is None: the range that they share."""

    link: Link
    before: Run
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
        before = self.before.batch.label
        return (before,) if self.after is None else (before, self.after.batch.label)


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
                for later, first, last in _overlapping(after, earlier.first, earlier.last):
                    lots.append(Lot(link, earlier, later, first, last))
        outlet = case.runs.get(recipe.last.key, ())
        if recipe.is_product and recipe.trailing:
            link = Link(recipe.last, None, recipe.trailing)
            lots += [Lot(link, run, None, run.first, run.last) for run in outlet]
        for draught in draughts[name]:
            for earlier, first, last in _overlapping(outlet, draught.first, draught.last):
                lots.append(Lot(draught.link, earlier, draught.run, first, last))
    return Flow(tuple(lots), shares)


def overlapping_runs(case: Case, recipe: Recipe, first: Fraction, last: Fraction) -> list[Run]:
    """The batches of an item's last stage that a range is made from."""
    return [run for run, _, _ in _overlapping(case.runs.get(recipe.last.key, ()), first, last)]


def _overlapping(runs: Sequence[Run], first: Fraction, last: Fraction) -> Iterator[tuple[Run, Fraction, Fraction]]:
    """The batches that overlap a range, each with the part of the range that it has."""
    for run in runs:
        begin, end = max(run.first, first), min(run.last, last)
        if begin < end:
            yield run, begin, end


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
    """Give the users' batches their ranges: earliest due first, then products before components, then by number."""
    component_recipe = case.recipes[component]
    waiting: list[tuple[tuple[float, int, int, int], Run, TakeUp, Link]] = []
    for user in case.making:
        recipe = case.recipes[user]
        for taken in recipe.takes_up:
            if taken.component == component:
                link = link_to_user(component_recipe, taken)
                for run in case.runs.get(taken.stage.key, ()):
                    due = _earliest_due(case, run, shares, draughts)
                    waiting.append(((due, recipe.rank, run.batch.number, taken.stage.index), run, taken, link))
    waiting.sort(key=lambda entry: entry[0])
    item, made = component_recipe.item, case.making[component].made
    found, reached = [], Fraction(0)
    for (due, *_), run, taken, link in waiting:
        recipes = run.size / case.recipes[run.stage.item].item.makes.amount
        needed = recipes * in_base(item, component, taken.use.amount) / (1 - taken.use.loss) / (1 - item.loss)
        found.append(_Draught(run, link, due, min(reached, made), min(reached + needed, made)))
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
    dues: list[float] = []
    for share in shares.get(name, ()):
        due = case.scenario.orders[share.order].due
        if due is not None and share.first < run.last and run.first < share.last:
            dues.append(due)
    for draught in draughts.get(name, ()):
        if max(draught.first, run.first) < min(draught.last, run.last):
            dues.append(draught.due)
    return min(dues, default=NEVER)
