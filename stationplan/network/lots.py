"""What goes from which batch to which: ranges of the cumulated quantity that overlap, and who takes first."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from stationplan.network.flow import Taking
    from stationplan.network.production import Production
    from stationplan.scenario.models import Order


class Cumulated(Protocol):
    """Anything that covers the cumulated quantity after ``first`` up to ``last``."""

    @property
    def first(self) -> Fraction | int:
        """Where it begins."""

    @property
    def last(self) -> Fraction | int:
        """Where it ends."""


@dataclass(frozen=True, slots=True)
class OrderClaim:
    """An order's part of what is made of its product. ``order`` is its position in the scenario."""

    first: Fraction
    last: Fraction
    due: int | None
    order: int


@dataclass(frozen=True, slots=True)
class BatchClaim:
    """The part of a component that one batch of ``user`` takes up. ``batch`` counts from 0."""

    first: Fraction
    last: Fraction
    due: int | None
    user: str
    taking: Taking
    batch: int


Claim = OrderClaim | BatchClaim


def overlaps(before: Sequence[Cumulated], after: Sequence[Cumulated]) -> list[tuple[int, int, Fraction]]:
    """Pairs of ranges that share some quantity, and how much.

    Args:
        before: consecutive ranges.
        after: consecutive ranges over the same quantity.

    Returns:
        Position in ``before``, position in ``after``, shared quantity.
    """
    found = []
    start = 0
    for position, other in enumerate(after):
        while start < len(before) and before[start].last <= other.first:
            start += 1
        for index in range(start, len(before)):
            if before[index].first >= other.last:
                break
            shared = min(before[index].last, other.last) - max(before[index].first, other.first)
            if shared > 0:
                found.append((index, position, Fraction(shared)))
    return found


def claims_on(made: Mapping[str, Production], orders: Sequence[Order]) -> dict[str, tuple[Claim, ...]]:
    """Who takes up each item, as consecutive ranges: orders by due time, batches by the orders they serve.

    Batches that have begun have taken theirs, so they come first, in the order in which they began.

    Args:
        made: every item made, components first.
        orders: as listed in the scenario.
    """
    claims: dict[str, tuple[Claim, ...]] = {}
    products = [name for name, production in made.items() if production.recipe.path[0] == "products"]
    for name in products:
        claims[name] = _order_claims(made[name], name, orders)
    rank = {
        name: position for position, name in enumerate([*products, *(name for name in made if name not in products)])
    }
    waiting = [name for name in made if name not in claims]
    while waiting:
        # A component can be handed out once everything that uses it has been.
        name = next(name for name in waiting if all(user in claims for user in _users(name, made)))
        waiting.remove(name)
        claims[name] = _batch_claims(name, made, claims, rank)
    return claims


def _users(name: str, made: Mapping[str, Production]) -> list[str]:
    return [
        user
        for user, production in made.items()
        if any(taking.component == name for taking in production.recipe.flow.takings)
    ]


def _by_due(due: int | None) -> tuple[bool, int]:
    return (due is None, due or 0)


def _order_claims(production: Production, name: str, orders: Sequence[Order]) -> tuple[Claim, ...]:
    mine = [(position, order) for position, order in enumerate(orders) if order.product == name]
    mine.sort(key=lambda pair: (_by_due(pair[1].due), pair[0]))
    claims: list[Claim] = []
    first = Fraction(0)
    for position, order in mine:
        last = first + order.quantity / (1 - production.recipe.item.loss)
        claims.append(OrderClaim(first, last, order.due, position))
        first = last
    return tuple(claims)


def _batch_claims(
    name: str, made: Mapping[str, Production], claims: Mapping[str, tuple[Claim, ...]], rank: Mapping[str, int]
) -> tuple[Claim, ...]:
    component = made[name]
    waiting = []
    for user in _users(name, made):
        production = made[user]
        for position, taking in enumerate(production.recipe.flow.takings):
            if taking.component != name:
                continue
            for number, batch in enumerate(production.batches[taking.entry]):
                amount = production.taken(taking, component.recipe, batch.size) / (1 - component.recipe.item.loss)
                due = _earliest_due(batch, production.stocked, claims[user])
                began = (batch.begun is None, 0 if batch.begun is None else batch.begun.start)
                waiting.append(((began, _by_due(due), rank[user], number, position), user, taking, number, amount, due))
    waiting.sort(key=lambda entry: entry[0])
    found: list[Claim] = []
    first = Fraction(0)
    for _, user, taking, number, amount, due in waiting:
        last = min(first + amount, component.stocked + component.made)
        found.append(BatchClaim(first, last, due, user, taking, number))
        first = last
    return tuple(found)


def _earliest_due(batch: Cumulated, stocked: Fraction, claims: Sequence[Claim]) -> int | None:
    """The earliest due time of any order served by a batch, stock being used first; None when none of them is due."""
    first, last = stocked + batch.first, stocked + batch.last
    dues = [claim.due for claim in claims if claim.first < last and first < claim.last]
    return min((due for due in dues if due is not None), default=None)
