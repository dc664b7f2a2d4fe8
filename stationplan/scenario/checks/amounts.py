"""Checks of quantities: above zero, and in units that the item can be counted in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.checks.entries import all_steps, all_waits
from stationplan.scenario.checks.ingredients import written_amounts
from stationplan.scenario.checks.measures import base_units, not_counted_in, unit_of, units_of, wrong_way_round
from stationplan.scenario.units import plural

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.models import Item, Step, Use
    from stationplan.scenario.nodes import Path
    from stationplan.scenario.sentences import Finding
    from stationplan.scenario.units import Quantity, Rate, StepTime


def nothing_at_all(draft: Draft) -> Iterator[Finding]:
    """Amounts of zero."""
    for path, quantity in _quantities(draft):
        if quantity.amount <= 0:
            yield path, f"'{quantity}' is nothing; write an amount above zero"


def steps_without_time(draft: Draft) -> Iterator[Finding]:
    """A step that may take no time at all."""
    for _, _, step, path in all_steps(draft):
        for where, takes in _times(step, path):
            least = takes.fixed.least + (takes.each.least if takes.each else 0)
            if least == 0 and not step.load and not step.unload:
                yield where, f"'{step.name}' could take no time at all; write a time above zero"


def yields(draft: Draft) -> Iterator[Finding]:
    """``pieces`` that do not say how many one base unit gives."""
    for path, name, item in draft.items():
        pieces = item.pieces
        if pieces is None:
            continue
        unit = item.makes.unit
        if pieces.basis == "batch" or (pieces.per is not None and pieces.per.unit != unit):
            sentence = (
                f"'{name}' makes {item.makes}; write how many pieces one {unit} gives, such as 24 discs per {unit}"
            )
            yield (*path, "pieces"), sentence
        elif pieces.amount.unit == unit:
            sentence = f"'{name}' is counted in {plural(unit, 2)} already; 'pieces' is for another unit"
            yield (*path, "pieces"), sentence


def units_of_steps(draft: Draft) -> Iterator[Finding]:
    """``takes``, ``fills`` and ``batch`` per a unit the item is not counted in."""
    for name, item, step, path in all_steps(draft):
        for where, takes in _times(step, path):
            if takes.per is not None:
                yield from _counted(name, item, takes.per, where)
        for where, fills in _fills(step, path):
            yield from _per(draft, name, item, fills, where)
        if step.batch is not None:
            yield from _counted(name, item, step.batch, (*path, "batch"))
            size = base_units(step.batch, item)
            if size is not None and 0 < size < 1:
                unit = item.makes.unit
                yield (
                    (*path, "batch"),
                    f"{step.batch} is less than 1 {unit}, and '{name}' is made in whole {plural(unit, 2)}",
                )
    for name, item, wait, path in all_waits(draft):
        if wait.fills is not None:
            yield from _per(draft, name, item, wait.fills, (*path, "fills"))


def units_of_uses(draft: Draft) -> Iterator[Finding]:
    """A use of a component in a unit it is not counted in."""
    for _, _, component, use, path in uses(draft):
        used = draft.components.get(component)
        if used is not None:
            yield from _counted(component, used, use.amount, path)
            if use.fills is not None:
                yield from _per(draft, component, used, use.fills, (*path, "fills"))


def uses(draft: Draft) -> Iterator[tuple[str, Item, str, Use, Path]]:
    """Every use: name of the item that uses, the item, name of the component, the use and its path."""
    for path, name, item in draft.items():
        for component, use in item.uses.items():
            yield name, item, component, use, (*path, "uses", component)
    for name, item, step, path in all_steps(draft):
        for component, use in step.uses.items():
            yield name, item, component, use, (*path, "uses", component)


def _counted(name: str, item: Item, quantity: Quantity, path: Path) -> Iterator[Finding]:
    if quantity.unit not in units_of(item):
        yield path, not_counted_in(name, item, quantity.unit)


def _per(draft: Draft, name: str, item: Item, fills: Rate, path: Path) -> Iterator[Finding]:
    if fills.per is None or fills.per.unit in units_of(item):
        return
    rooms = {unit_of(entry) for entry in draft.equipment.values()}
    if fills.amount.unit in units_of(item) and fills.per.unit in rooms:
        yield path, wrong_way_round(fills)
    else:
        yield path, not_counted_in(name, item, fills.per.unit)


def _times(step: Step, path: Path) -> Iterator[tuple[Path, StepTime]]:
    yield (*path, "takes"), step.takes
    for position, need in enumerate(step.equipment):
        if need.takes is not None:
            yield (*path, "equipment", position, "takes"), need.takes


def _fills(step: Step, path: Path) -> Iterator[tuple[Path, Rate]]:
    if step.fills is not None:
        yield (*path, "fills"), step.fills
    for position, need in enumerate(step.equipment):
        if need.fills is not None:
            yield (*path, "equipment", position, "fills"), need.fills


def _quantities(draft: Draft) -> Iterator[tuple[Path, Quantity]]:
    for path, _, item in draft.items():
        yield (*path, "makes"), item.makes
        if item.pieces is not None:
            yield (*path, "pieces"), item.pieces.amount
    for path, _, amount in written_amounts(draft):
        yield path, amount
    for _, _, step, path in all_steps(draft):
        for where, fills in _fills(step, path):
            yield where, fills.amount
        if step.batch is not None:
            yield (*path, "batch"), step.batch
        for place, room in step.also.items():
            yield (*path, "also", place), room
    for _, _, wait, path in all_waits(draft):
        if wait.fills is not None:
            yield (*path, "fills"), wait.fills.amount
    for _, _, _, use, path in uses(draft):
        yield (*path, "amount"), use.amount
        if use.fills is not None:
            yield (*path, "fills"), use.fills.amount
