"""The rest of a shift planned anew, in words."""

from __future__ import annotations

from fractions import Fraction

from stationplan.live.differences import Differences, OrderNow, Resized
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


def test_of_an_order_that_is_in_time_after_all_that_is_told() -> None:
    bun = OrderNow("custard bun", 48, due=660, before=674, after=650, late_before=14, late_after=0)
    pot = OrderNow("custard pot", 12, due=660, before=650, after=670, late_before=0, late_after=10)
    told = "orders: 48 custard bun ready 10:50, in time (14 min late before); "
    assert orders_told(bun) == told + "every order that has a due time is in time"
    assert orders_told(bun, pot) == told + "12 custard pot ready 11:10, 10 min late (in time before)"
    fine = OrderNow("custard pot", 12, due=660, before=650, after=655, late_before=0, late_after=0)
    assert orders_told(fine) == "orders: every order that has a due time is in time"
    assert orders_told(OrderNow("custard pot", 12, None, 650, 655, 0, 0)) == "orders: none has a due time"


def test_batches_of_another_size_are_named_the_first_of_them() -> None:
    def told(*resized: Resized) -> str:
        found = Differences((700, 700), (0, 0), (), (), (), (), (), ("Ab2",), (), (), resized=resized)
        return replan_lines(found, (), ())[3]

    trays = Resized("Ac3", Fraction(2), Fraction(1), "tray")
    mousse = Resized("Da1", Fraction(1650), Fraction(800), "g")
    assert told(trays, mousse) == "other amounts: Ac3 1 tray instead of 2, Da1 800 g instead of 1.65 kg; new: Ab2"
    alike = [Resized(f"Ea{number}", Fraction(18), Fraction(20), "piece") for number in (1, 2, 3, 5)]
    assert told(*alike, trays).startswith("other amounts: Ea1,2,3,5 20 pieces instead of 18, Ac3 1 tray instead of 2;")
    other = [Resized(f"Ad{number}", Fraction(number), Fraction(number + 1), "tray") for number in range(1, 9)]
    assert told(*other).endswith("Ad6 7 trays instead of 6 and 2 more; new: Ab2")
