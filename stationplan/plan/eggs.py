"""How many eggs to crack when whites and yolks come out of the same shells."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from stationplan.plan.ingredients import Total
from stationplan.scenario.pieces import EGG, WHITE, YOLK


@dataclass(frozen=True, slots=True)
class Eggs:
    """Whole eggs, whites and yolks wanted, in whole numbers."""

    whole: int
    whites: int
    yolks: int

    @property
    def shells(self) -> int:
        """How many eggs to crack: one gives both a white and a yolk."""
        return self.whole + max(self.whites, self.yolks)

    @property
    def spare(self) -> tuple[int, str]:
        """How many whites or yolks are left over, and which of the two."""
        left = self.whites - self.yolks
        return abs(left), YOLK if left > 0 else WHITE


def eggs_of(totals: Iterable[Total]) -> Eggs | None:
    """Eggs to crack for everything, None where no whites and no yolks are wanted apart.

    Args:
        totals: all ingredients.
    """
    wanted = dict.fromkeys((EGG, WHITE, YOLK), 0)
    for total in totals:
        pieces = total.whole.pieces
        if pieces is not None and pieces.unit in wanted:
            wanted[pieces.unit] += ceil(pieces.amount)
    eggs = Eggs(*wanted.values())
    return eggs if eggs.whites or eggs.yolks else None
