"""Checks of what is not as on other days: equipment out of use, goods that come late."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.checks.ingredients import written_amounts
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.sentences import Finding


def units_out_of_use(draft: Draft) -> Iterator[Finding]:
    """A unit that there is not."""
    for index, entry in draft.equipment.items():
        for position, time in enumerate(entry.out_of_use):
            path = ("kitchen", "equipment", index, "out_of_use", position)
            if time.unit is not None and time.unit > entry.count:
                there = "there is only one" if entry.count == 1 else f"there are {entry.count}"
                yield (*path, "unit"), f"unit {time.unit} of '{entry.name}' cannot be out of use: {there}"


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


def not_in_an_exam(draft: Draft) -> Iterator[Finding]:
    """Everybody in an exam must find the same kitchen at every moment of their own time."""
    if not draft.has_exam:
        return
    for index, entry in draft.equipment.items():
        if entry.out_of_use:
            sentence = f"'{entry.name}' cannot be out of use for part of an exam: it would not be alike for all"
            yield ("kitchen", "equipment", index, "out_of_use"), sentence
    if draft.goods:
        yield ("goods",), "in an exam all goods must be there from the start, to be alike for all; leave 'goods' out"
