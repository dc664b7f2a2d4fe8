"""Eggs to crack, by hand."""

from __future__ import annotations

import pytest

from stationplan.plan.eggs import Eggs, eggs_of
from stationplan.plan.ingredients import Portion, Total
from stationplan.scenario.pieces import grams_of, piece_of
from stationplan.scenario.units import Quantity, parse_quantity


def total(name: str, amount: str) -> Total:
    quantity = parse_quantity(amount)
    grams, piece = grams_of(name, quantity, None), piece_of(name, None, quantity.unit)
    pieces = None if grams is None or piece is None else Quantity(grams / piece.grams, piece.unit)
    return Total(Portion(name, quantity, grams, pieces), ())


@pytest.mark.parametrize(
    ("amounts", "eggs", "shells", "spare"),
    [
        # 1560 g of white at 30 g are 52, 744 g of yolk at 18 g are 41.3: 52 eggs give both, and 10 yolks are left.
        ({"egg white": "1560 g", "egg yolk": "744 g"}, Eggs(0, 52, 42), 52, (10, "yolk")),
        ({"egg": "3 eggs", "egg yolk": "90 g"}, Eggs(3, 0, 5), 8, (5, "white")),
        ({"whole egg": "160 g", "egg white": "1 white", "egg yolk": "1 yolk"}, Eggs(4, 1, 1), 5, (0, "white")),
    ],
)
def test_one_shell_gives_a_white_and_a_yolk(
    amounts: dict[str, str], eggs: Eggs, shells: int, spare: tuple[int, str]
) -> None:
    found = eggs_of(total(name, amount) for name, amount in amounts.items())
    assert found == eggs
    assert (eggs.shells, eggs.spare) == (shells, spare)


def test_whole_eggs_alone_need_no_reckoning() -> None:
    assert eggs_of([total("egg", "3 eggs"), total("sugar", "1 kg")]) is None
