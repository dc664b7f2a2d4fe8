"""Stock is taken up before anything that is made, so that less is made."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

import pytest

from stationplan.engine.problem import Link
from stationplan.network.errors import NetworkError
from stationplan.network.network import BatchTask, StockTask

from .small import network, step

if TYPE_CHECKING:
    from stationplan.network import Network

SPONGE = {
    "makes": "2 trays",
    "pieces": "10 discs per tray",
    "steps": [step("bake"), {"wait": "cool", "at_least": "1 h"}],
}


def tarts(*stock: dict[str, Any], quantity: int = 40, use: Any = "1 disc", **sponge: Any) -> Network:
    """Tarts of one disc each, four trays of sponge."""
    product = {"steps": [step("build", batch="20 pieces", uses={"sponge": use})]}
    entries = [{"item": "sponge", **entry} for entry in stock]
    return network(components={"sponge": SPONGE | sponge}, product=product, quantity=quantity, stock=entries)


def amounts(found: Network) -> dict[str, tuple[Fraction, Fraction]]:
    return {amount.item: (amount.made, amount.stock) for amount in found.amounts}


def in_stock(found: Network) -> list[tuple[str, Fraction, Fraction, int | None]]:
    return [
        (meaning.label, meaning.first, meaning.last, task.fixed_start)
        for task, meaning in zip(found.problem.tasks, found.tasks, strict=True)
        if isinstance(meaning, StockTask)
    ]


def takings(found: Network) -> list[tuple[str, str, Fraction]]:
    """What goes into the tarts: from, to, and how much."""
    return [
        (found.tasks[lot.before].label, found.tasks[lot.after].label, lot.size)
        for lot in found.lots
        if lot.after is not None and lot.item == "sponge"
    ]


def test_so_much_less_is_made_in_whole_units() -> None:
    assert amounts(tarts({"quantity": "15 discs"}))["sponge"] == (3, Fraction(3, 2))
    assert amounts(tarts({"quantity": "2 trays"}))["sponge"] == (2, 2)


def test_the_first_batches_take_up_stock_and_the_last_what_is_made() -> None:
    found = tarts({"quantity": "25 discs"})
    assert takings(found) == [
        ("A0", "Ba1", 2),
        ("A0", "Ba2", Fraction(1, 2)),
        ("Aa1", "Ba2", Fraction(3, 2)),
    ]


def test_a_loss_counts_for_stock_as_for_what_is_made() -> None:
    # 40 discs that can be used are 8 trays of which half is lost; 3 of them are there.
    assert amounts(tarts({"quantity": "3 trays"}, loss="50 %"))["sponge"] == (5, 3)


def test_what_is_there_first_is_taken_first_and_then_what_must_be_used_first() -> None:
    found = tarts(
        {"quantity": "1 tray", "from": "07:00"},
        {"quantity": "1 tray"},
        {"quantity": "1 tray", "use_by": "10:00"},
        {"quantity": "1 tray", "from": "05:00", "use_by": "09:00"},
    )
    assert in_stock(found) == [("A0", 0, 1, 0), ("A0.2", 1, 2, 0), ("A0.3", 2, 3, 0), ("A0.4", 3, 4, 60)]
    mosts = [lot.stands[0].most for lot in found.lots if isinstance(found.tasks[lot.before], StockTask)]
    assert mosts == [180, 240, None, None]


def test_more_stock_than_is_needed_is_not_counted_and_nothing_is_made() -> None:
    found = tarts({"quantity": "9 trays"})
    assert amounts(found)["sponge"] == (0, 4)
    assert in_stock(found) == [("A0", 0, 4, 0)]
    assert [meaning.label for meaning in found.tasks if isinstance(meaning, BatchTask)] == ["Ba1", "Ba2"]


def test_a_component_of_which_nothing_is_needed_any_more_keeps_its_letter() -> None:
    glaze = {"makes": "1 kg", "steps": [step("boil")]}
    parts: dict[str, Any] = {
        "components": {"glaze": glaze, "sponge": SPONGE | {"uses": {"glaze": "10 g"}}},
        "product": {"uses": {"sponge": "1 disc"}},
        "quantity": 10,
    }
    assert [entry.letters for entry in network(**parts).legend] == ["A", "B", "C"]
    found = network(**parts, stock=[{"item": "sponge", "quantity": "1 tray"}])
    assert [entry.letters for entry in found.legend] == ["A", "B", "C"]
    assert {item: made for item, (made, _) in amounts(found).items()} == {"glaze": 0, "sponge": 0, "tart": 10}


def test_the_waits_of_its_recipe_are_behind_it_and_those_of_a_use_are_not() -> None:
    use = {"amount": "1 disc", "at_least": "20 min", "at_most": "30 min"}
    found = tarts({"quantity": "4 trays", "use_by": "08:00", "in": "trolley"}, use=use)
    lot = found.lots[0]
    assert [(stand.name, stand.least, stand.most, stand.place) for stand in lot.stands] == [
        ("stock", 0, 120, "trolley"),
        ("", 20, 30, None),
    ]
    # However long it thaws, what takes it up begins by its use-by.
    assert Link(lot.tasks[0], lot.tasks[-1], None, 120) in found.problem.links


def test_it_takes_its_room_until_it_is_taken_up() -> None:
    found = tarts({"quantity": "4 trays", "in": "blast freezer"})
    assert [(hold.before, hold.amount) for hold in found.problem.holds] == [(2, 2), (2, 2)]


def test_waiting_in_stock_is_not_untidy() -> None:
    found = tarts({"quantity": "1 tray"})
    tidy = {link.before: link.tidy for link in found.problem.links if link.tidy or link.before == 3}
    assert tidy[3] == 0
    assert len(tidy) > 1


def test_an_order_served_from_stock_is_ready_when_that_is_there() -> None:
    orders = [{"product": "tart", "quantity": 5, "due": "08:00"}, {"product": "tart", "quantity": 5, "due": "07:00"}]
    found = network(orders=orders, stock=[{"item": "tart", "quantity": "7 pieces", "from": "06:30"}])
    labels = [[found.tasks[task].label for task in order.ready] for order in found.orders]
    assert labels == [["A0", "Aa1"], ["A0"]]
    assert amounts(found) == {"tart": (3, 7)}


def test_stock_that_does_not_fit_into_its_place_is_refused() -> None:
    with pytest.raises(
        NetworkError, match=r"17 trays of sponge at once takes 17 trays, and the blast freezer holds 16"
    ) as told:
        tarts({"quantity": "17 trays", "in": "blast freezer"}, quantity=170)
    assert "batch" not in str(told.value)


def test_a_shelf_life_is_a_most_from_the_last_step_for_what_is_made_and_not_for_stock() -> None:
    found = tarts({"quantity": "1 tray"}, shelf_life="90 min")
    lives = [
        (found.tasks[lot.before].label, None if lot.shelf_life is None else found.problem.links[lot.shelf_life])
        for lot in found.lots
    ]
    outlet = next(index for index, task in enumerate(found.tasks) if task.label == "Aa1")
    made = [link for label, link in lives if label == "Aa1"]
    assert [(link.before, link.least, link.most) for link in made if link] == [(outlet, None, 90)] * len(made)
    assert [link for label, link in lives if label == "A0"] == [None]
