"""Checks of the equipment that steps and waits name: it is there, has the temperature, and holds the batch."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import TYPE_CHECKING

from stationplan.scenario.checks.amounts import uses
from stationplan.scenario.checks.entries import all_steps, all_waits
from stationplan.scenario.checks.kitchen import CHAMBERED, kind_in_words
from stationplan.scenario.checks.measures import (
    MEASURED,
    handy,
    in_words,
    is_pool,
    room_of,
    room_of_one,
    unit_of,
    units_of,
    wrong_way_round,
)
from stationplan.scenario.checks.names import KINDS
from stationplan.scenario.models import WORDS_FOR_KINDS
from stationplan.scenario.units import Quantity, Rate, format_quantity, format_temperature
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.models import Equipment, EquipmentNeed, Item, Step
    from stationplan.scenario.nodes import Path
    from stationplan.scenario.sentences import Finding

# An oven and a temperature with something other than ' at ' between the two; the word is in small letters.
_WARM = re.compile(r"(.+?)(?:\s+|\s*[@,:-]\s*)(\d+\s*[°º]?\s*[cf])\b(.*)")
MANY = 12
"""A dozen of something small, for examples."""

_PLACES = "a freezer, chiller, rack, hob, bench or tool"


def unknown_equipment(draft: Draft) -> Iterator[Finding]:
    """A name or kind that the kitchen does not have."""
    if not draft.equipment_complete:
        return
    for _, _, step, path in all_steps(draft):
        for position, need in enumerate(step.equipment):
            yield from _known(draft, need.use, (*path, "equipment", position, "use"))
        for place in step.also:
            yield from _known(draft, place, (*path, "also", place))
    for place, _, _, path in _stays(draft):
        yield from _known(draft, place, (*path, "in"))


def _known(draft: Draft, word: str, path: Path) -> Iterator[Finding]:
    if draft.find(word):
        return
    if word in KINDS:
        yield path, f"the kitchen has no {word}"
        return
    warm = _WARM.fullmatch(word)
    if warm is not None and draft.find(warm[1]):
        yield path, f"'{word}' has no 'at' in it; write {warm[1]} at {warm[2].strip().upper()}{warm[3]}"
        return
    meant = WORDS_FOR_KINDS.get(word)
    if meant is not None and draft.find(meant):
        yield path, f"the kitchen has no '{word}'; the word for it is {meant}"
        return
    names = [entry.name for entry in draft.equipment.values()]
    hint = suggestion(word, [*names, *KINDS]) or (f"; it has {', '.join(names)}" if 0 < len(names) <= 8 else "")
    yield path, f"the kitchen has no '{word}'{hint}"


def temperatures(draft: Draft) -> Iterator[Finding]:
    """An oven without a temperature, a temperature without an oven, or one that no oven has."""
    for _, _, step, path in all_steps(draft):
        for position, need in enumerate(step.equipment):
            found = draft.find(need.use)
            chambered = [entry for entry in found if entry.kind in CHAMBERED]
            where = (*path, "equipment", position, "at")
            if not found:
                continue
            if need.at is None:
                if chambered:
                    degrees = "180 C" if chambered[0].kind == "oven" else "28 C"
                    yield where, f"'{step.name}' must say how warm, such as {need.use} at {degrees}"
            elif not chambered:
                sentence = f"'{need.use}' is {kind_in_words(found[0])} and has no temperature; leave 'at {need.at}' out"
                yield where, sentence
            elif draft.equipment_complete:
                yield from ((where, sentence) for sentence in _no_such_setting(need, chambered))


def _no_such_setting(need: EquipmentNeed, ovens: list[Equipment]) -> Iterator[str]:
    setting = need.at
    if setting is None:
        return
    in_range = [oven for oven in ovens if oven.range is None or oven.range[0] <= setting.celsius <= oven.range[1]]
    if not in_range:
        ranges = [(oven, oven.range) for oven in ovens if oven.range is not None]
        hot = max(ends[1] for _, ends in ranges) < setting.celsius
        oven, ends = max(ranges, key=lambda one: one[1][1]) if hot else min(ranges, key=lambda one: one[1][0])
        word = "hottest" if hot else "coolest"
        which = f"the {word}, '{oven.name}', goes" if len(ovens) > 1 else f"'{oven.name}' goes"
        degrees = " to ".join(format_temperature(end) for end in ends)
        yield f"no {need.use} has {format_temperature(setting.celsius)}; {which} from {degrees}"
    elif setting.mode and not any(setting.mode in oven.settings for oven in in_range):
        modes = sorted({mode for oven in in_range for mode in oven.settings})
        there = f"; there is {', '.join(modes)}" if modes else "; add it to the 'settings' of one that has it"
        hint = suggestion(setting.mode, modes) or there
        yield f"no {need.use} with that temperature has the setting '{setting.mode}'{hint}"


def places(draft: Draft) -> Iterator[Finding]:
    """A wait in an oven, or a mixer as a further place: they are used by steps only."""
    for _, _, step, path in all_steps(draft):
        for place in step.also:
            found = draft.find(place)
            if found and not any(is_pool(entry) for entry in found):
                sentence = (
                    f"'{place}' is {kind_in_words(found[0])}; name it under 'equipment', since 'also' is for {_PLACES}"
                )
                yield (*path, "also", place), sentence
    for place, _, _, path in _stays(draft):
        found = draft.find(place)
        if found and not any(is_pool(entry) for entry in found):
            sentence = f"'{place}' is {kind_in_words(found[0])}, which only a step can use; a wait can be in {_PLACES}"
            yield (*path, "in"), sentence


def useless_keys(draft: Draft) -> Iterator[Finding]:
    """``fills`` without anything to fill, ``holding`` without a bowl."""
    for _, _, step, path in all_steps(draft):
        found = [entry for need in step.equipment for entry in draft.find(need.use)]
        if step.fills is not None and not step.equipment:
            yield (*path, "fills"), f"'{step.name}' has no equipment that it could fill; name it or leave 'fills' out"
        if step.holding is not None and draft.equipment_complete and not any(entry.kind == "mixer" for entry in found):
            yield (*path, "holding"), f"'{step.name}' uses no mixer; 'holding' says what is in a mixer's bowl"
    for _, _, wait, path in all_waits(draft):
        if wait.fills is not None and wait.place is None:
            yield (*path, "fills"), f"'{wait.wait}' has no place that it could fill; add 'in' or leave 'fills' out"
    for _, _, component, use, path in uses(draft):
        if use.fills is not None and use.place is None:
            yield (*path, "fills"), f"'{component}' has no place to fill here; add 'in' or leave 'fills' out"
    for index, entry in draft.stock.items():
        if entry.fills is not None and entry.place is None:
            path = ("stock", index, "fills")
            yield path, f"'{entry.item}' has no place to fill here; add 'in' or leave 'fills' out"


def room_for_steps(draft: Draft) -> Iterator[Finding]:
    """Equipment counted in another unit, or too small for the smallest batch."""
    if not draft.equipment_complete:
        return
    for name, item, step, path in all_steps(draft):
        limits: list[bool] = []
        for position, need in enumerate(step.equipment):
            if _per_unknown(need.fills or step.fills, item):
                continue
            where = (*path, "equipment", position, "fills") if need.fills is not None else (*path, "fills")
            fits = [_fits(entry, need.fills or step.fills, item) for entry in draft.find(need.use)]
            if fits and all(fit is None for fit in fits):
                yield where, _say_fills(name, item, need, step, draft.find(need.use)[0])
            limits.extend(fit for fit in fits if fit is not None)
        if limits and not any(limits):
            words = " or ".join(need.use for need in step.equipment)
            sentence = f"no {words} holds even 1 {item.makes.unit} of '{name}'; change 'fills' or the equipment"
            yield (*path, "fills"), sentence
        for place, room in step.also.items():
            pools = [entry for entry in draft.find(place) if is_pool(entry)]
            if pools and not any(unit_of(entry) == room.unit and room_of(entry) >= room.amount for entry in pools):
                most = format_quantity(room_of(pools[0]), unit_of(pools[0]) or "place")
                yield (*path, "also", place), f"'{step.name}' needs {room} of '{place}', which has {most}"


def room_for_stays(draft: Draft) -> Iterator[Finding]:
    """A place counted in another unit, or too small for one unit of what waits there."""
    if not draft.equipment_complete:
        return
    for place, fills, (name, item), path in _stays(draft):
        if _per_unknown(fills, item):
            continue
        pools = [entry for entry in draft.find(place) if is_pool(entry)]
        rooms = [(entry, room_of_one(fills, unit_of(entry) or "place", item)) for entry in pools]
        known = [(entry, room) for entry, room in rooms if room is not None]
        if pools and not known:
            unit = unit_of(pools[0]) or "place"
            if fills is not None and fills.amount.unit != unit:
                yield (*path, "fills"), _other_unit(place, unit, fills, item)
            else:
                sentence = f"'{place}' is counted in {in_words(unit)}; say how much of it '{name}' takes"
                yield (*path, "fills"), f"{sentence}, such as fills: {_example(unit, item)}"
        elif known and not any(room <= room_of(entry) for entry, room in known):
            sentence = f"'{place}' does not hold even 1 {item.makes.unit} of '{name}'; change 'fills' or the place"
            yield (*path, "in"), sentence


def _stays(draft: Draft) -> Iterator[tuple[str, Rate | None, tuple[str, Item], Path]]:
    """Every wait and use with a place: the place, what fills it, what stands there, and the path."""
    for name, item, wait, path in all_waits(draft):
        if wait.place is not None:
            yield wait.place, wait.fills, (name, item), path
    for _, _, component, use, path in uses(draft):
        if use.place is not None and component in draft.components:
            yield use.place, use.fills, (component, draft.components[component]), path
    items = {name: item for _, name, item in draft.items()}
    for index, entry in draft.stock.items():
        if entry.place is not None and entry.item in items:
            yield entry.place, entry.fills, (entry.item, items[entry.item]), ("stock", index)


def _per_unknown(fills: Rate | None, item: Item) -> bool:
    """Whether ``fills`` is per something the item is not counted in, which is told by itself."""
    return fills is not None and fills.per is not None and fills.per.unit not in units_of(item)


def _fits(entry: Equipment, fills: Rate | None, item: Item) -> bool | None:
    """Whether one base unit fits, None when the units do not say."""
    unit = unit_of(entry)
    if unit is None:
        return True
    room = room_of_one(fills, unit, item)
    if room is not None:
        return room <= room_of(entry)
    if fills is not None:
        return None
    # Without `fills`: a bowl takes any batch; a place counted in something else takes one batch each.
    return True if entry.kind == "mixer" or (is_pool(entry) and unit not in MEASURED) else None


def _say_fills(name: str, item: Item, need: EquipmentNeed, step: Step, entry: Equipment) -> str:
    unit = unit_of(entry) or "place"
    fills = need.fills or step.fills
    if fills is not None and fills.amount.unit != unit:
        return _other_unit(entry.name, unit, fills, item)
    there = f"'{entry.name}' is counted in {in_words(unit)} and '{name}' in {in_words(*units_of(item))}"
    return f"{there}; say how much of it a batch takes, such as fills: {_example(unit, item)}"


def _other_unit(place: str, unit: str, fills: Rate, item: Item) -> str:
    """For ``fills`` in a unit that the equipment is not counted in."""
    if fills.per is not None and fills.per.unit == unit and fills.amount.unit in units_of(item):
        return wrong_way_round(fills)
    there = f"'{place}' is counted in {in_words(unit)}, not in {in_words(fills.amount.unit)}"
    if unit in MEASURED or fills.amount.unit in MEASURED:
        return f"{there}; write it so, such as fills: {_example(unit, item)}"
    same = Rate(Quantity(fills.amount.amount, unit), fills.per, fills.basis)
    return f"{there}{suggestion(fills.amount.unit, [unit]) or f'; write it so, such as fills: {same}'}"


def _example(unit: str, item: Item) -> str:
    """Room in a unit for some of an item: ``1 tray per kg``, ``1 tray per 80 portions``."""
    makes = item.makes
    many: str | Quantity = handy(makes.unit)
    if makes.unit not in MEASURED and makes.amount >= MANY:
        many = makes
    elif makes.unit == "piece":
        # Nobody puts one small piece on a tray of its own.
        many = Quantity(Fraction(MANY), "piece")
    return f"1 {handy(unit)} per {many}"
