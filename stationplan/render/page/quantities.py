"""How much of every item is made, as rows of a table."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.scenario.units import format_number, format_quantity

if TYPE_CHECKING:
    from stationplan.plan.document import Plan


@dataclass(frozen=True)
class Made:
    """An item: how much is made, how much the orders need of it, and how many recipes that is."""

    item: str
    made: str
    needed: str
    recipes: str


def made(plan: Plan) -> tuple[Made, ...]:
    """The items in the order of the plan."""
    return tuple(
        Made(
            amount.item,
            format_quantity(Fraction(amount.quantity), amount.unit),
            format_quantity(Fraction(amount.needed), amount.unit),
            format_number(round(Fraction(amount.recipes), 3)),
        )
        for amount in plan.amounts
    )
