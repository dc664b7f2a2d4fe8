"""Checks of what is not as on other days: equipment out of use, goods that come late, stock."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.checks.ingredients import written_amounts
from stationplan.scenario.checks.measures import base_units, not_counted_in
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.models import Shift
    from stationplan.scenario.nodes import Path
    from stationplan.scenario.sentences import Finding
    from stationplan.scenario.today import Stock


_MACHINES = ("oven", "prover", "mixer")


def units(draft: Draft) -> Iterator[Finding]:
    """A unit or chamber that there is not, and one place of several that is slower."""
    for index, entry in draft.equipment.items():
        for key, said, parts in (("out_of_use", "out of use", entry.out_of_use), ("slower", "slower", entry.slower)):
            for position, part in enumerate(parts):
                path = ("kitchen", "equipment", index, key, position)
                for name, number, count in (
                    ("unit", part.unit, entry.count),
                    ("chamber", part.chamber, entry.chambers),
                ):
                    if number is not None and number > count:
                        there = "there is only one" if count == 1 else f"there are {count}"
                        yield (*path, name), f"{name} {number} of '{entry.name}' cannot be {said}: {there}"
                if key == "slower" and part.unit is not None and entry.kind not in _MACHINES:
                    sentence = f"'{entry.name}' is slower as a whole; 'unit' is for ovens, provers and mixers"
                    yield (*path, "unit"), sentence


def late_goods(draft: Draft) -> Iterator[Finding]:
    """Goods that no recipe names, or that stand twice."""
    written = {name.casefold(): name for _, name, _ in written_amounts(draft)}
    seen: set[str] = set()
    for index, goods in draft.goods.items():
        path = ("goods", index, "ingredient")
        key = goods.ingredient.casefold()
        if key in seen:
            yield path, f"'{goods.ingredient}' stands twice among the goods; keep the time at which all of it is there"
        elif key not in written and draft.items_complete:
            hint = suggestion(goods.ingredient, written.values())
            yield path, f"no recipe has the ingredient '{goods.ingredient}'{hint}"
        seen.add(key)


def stock(draft: Draft) -> Iterator[Finding]:
    """Stock of nothing that is made, in another unit, or of which nobody could take anything up in time."""
    items = {name: item for _, name, item in draft.items()}
    names = draft.component_names | draft.product_names
    for index, entry in draft.stock.items():
        path = ("stock", index)
        item = items.get(entry.item)
        if entry.item not in names:
            if draft.names_complete:
                hint = suggestion(entry.item, names)
                yield (*path, "item"), f"there is no component or product '{entry.item}'{hint}"
        elif item is not None and base_units(entry.quantity, item) is None:
            yield (*path, "quantity"), not_counted_in(entry.item, item, entry.quantity.unit)
        if entry.quantity.amount <= 0:
            yield (*path, "quantity"), f"'{entry.quantity}' is nothing; write an amount above zero"
        if entry.use_by is not None and entry.item in draft.product_names:
            sentence = f"'{entry.item}' is a product, and when it is fetched is not known; 'use_by' is for components"
            yield (*path, "use_by"), sentence
        if draft.shift is not None:
            yield from _stock_in_time(entry, path, draft.shift)


def _stock_in_time(entry: Stock, path: Path, shift: Shift) -> Iterator[Finding]:
    since = shift.opens if entry.since is None else max(shift.opens, entry.since)
    if since >= shift.closes:
        yield (
            (*path, "from"),
            f"the kitchen closes at {shift.closes}, before this '{entry.item}' is there; leave it out",
        )
    elif entry.use_by is not None and entry.use_by < since:
        past = f"this '{entry.item}' is past its 'use_by' of {entry.use_by} when it could be taken up at {since}"
        yield (*path, "use_by"), f"{past}; leave it out"


def shelf_lives(draft: Draft) -> Iterator[Finding]:
    """A shelf life of a product, of which nobody knows when it is fetched."""
    for name, product in draft.products.items():
        if product.shelf_life is not None:
            sentence = f"'{name}' is a product, and when it is fetched is not known; 'shelf_life' is for components"
            yield ("products", name, "shelf_life"), sentence


def not_in_an_exam(draft: Draft) -> Iterator[Finding]:
    """Everybody in an exam must find the same kitchen at every moment of their own time."""
    if not draft.has_exam:
        return
    for index, entry in draft.equipment.items():
        if entry.out_of_use:
            sentence = f"'{entry.name}' cannot be out of use for part of an exam: it would not be alike for all"
            yield ("kitchen", "equipment", index, "out_of_use"), sentence
    if draft.stock:
        yield ("stock",), "in an exam everybody makes everything; leave 'stock' out"
    if draft.goods:
        yield ("goods",), "in an exam all goods must be there from the start, to be alike for all; leave 'goods' out"
