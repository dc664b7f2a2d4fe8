"""The rest of a shift planned anew, in words."""

from __future__ import annotations

from stationplan.live.differences import Differences, OrderNow
from stationplan.render.replan import replan_lines


def orders_told(*orders: OrderNow) -> str:
    found = Differences((700, 700), (0, 0), orders, (), (), (), (), (), (), ())
    return replan_lines(found, (), ())[1]


def test_of_an_order_that_is_as_late_as_before_only_that_is_told() -> None:
    bun = OrderNow("custard bun", 48, due=660, before=686, after=686, late_before=26, late_after=26)
    pot = OrderNow("custard pot", 12, due=660, before=650, after=670, late_before=0, late_after=10)
    square = OrderNow("almond square", 20, due=660, before=680, after=670, late_before=20, late_after=10)
    assert orders_told(bun) == "orders: late as before: 48 custard bun"
    assert orders_told(bun, pot, square) == (
        "orders: 12 custard pot ready 11:10, 10 min late (in time before); "
        "20 almond square ready 11:10, 10 min late (20 min before); late as before: 48 custard bun"
    )
