"""Where a plan comes near a published limit of food safety, or near something that hurts.

A plan knows when things are where. It does not know how warm food is, what is in it, or
which law holds: so these are hints to look, each with its source, and never a finding
that something is in order. docs/cautions.md has the table of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stationplan.plan.wording import listed
from stationplan.scenario.allergens import of_ingredient, parse_allergens, told
from stationplan.scenario.errors import UnitError
from stationplan.scenario.units import format_clock, format_duration, parse_quantity
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from stationplan.plan.document import Batch, Plan, Seat, Stay

COLD = frozenset(("freezer", "chiller"))
"""Kinds of places that count as cold."""

HOT_CELSIUS = 57
"""From this oven temperature on, what comes out counts as hot: 135 F, FDA Food Code 3-501.16."""
MOST_TO_21_CELSIUS = 2 * 60
MOST_TO_5_CELSIUS = 6 * 60
MOST_OUTSIDE_THE_COLD = 4 * 60
MOST_ON_THE_HEAT = 2 * 60
MOST_CHILLED_DAYS = 7

COOLING = "FDA Food Code 3-501.14"
TIME_AS_CONTROL = "FDA Food Code 3-501.19: 4 h; England, SI 2013/2996, Schedule 4: less than 4 h on display"
HOT_HOLDING = "FDA Food Code 3-501.16: 57 C; England, SI 2013/2996, Schedule 4: 63 C, less for one period of 2 h"
DATE_MARKING = "FDA Food Code 3-501.17"
ALLERGENS = "Codex CXC 80-2020"
TRADE = "common practice, no published source"

_SUGARS = re.compile(r"sugar|syrup|glucose|honey|isomalt|molasses|treacle|dextrose|fructose", re.IGNORECASE)
_SUGAR_WORK = re.compile(r"caramel|syrup|toffee|brittle|nougat|praline|boil\w* sugar|sugar boil|isomalt", re.IGNORECASE)
_MUCH_SUGAR = 3
"""What is a third sugar or more is taken for sugar work when it is on a hob."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A hint for the cook, and the published rule or the practice behind it."""

    sentence: str
    source: str


@dataclass(frozen=True, slots=True)
class _Standing:
    """How long something stands under the same conditions, in one place or several.

    ``off_heat`` says that it comes from an oven or a hob and has not been in the cold since.
    """

    stays: tuple[Stay, ...]
    off_heat: bool = False

    @property
    def minutes(self) -> int:
        """From the beginning of the first stay to the end of the last."""
        return self.stays[-1].end - self.stays[0].start

    @property
    def what(self) -> str:
        """The item, and between which batches."""
        names = listed(list(dict.fromkeys(stay.name or "standing" for stay in self.stays)))
        return f"{self.stays[0].item} ({names} after {self.stays[0].before})"

    @property
    def how_long(self) -> str:
        """Its length and when it begins, in words."""
        return f"{format_duration(self.minutes)} from {format_clock(self.stays[0].start)}"


def cautions(plan: Plan) -> tuple[Caution, ...]:
    """What to look at in a plan, each rule once, with the longest case of it.

    Args:
        plan: the plan.

    Returns:
        Cautions about times first, then about hands and allergens.
    """
    kinds = {station.name: station.kind for station in plan.stations}
    outside = list(_outside_the_cold(plan, kinds))
    kept_hot = [_Standing((stay,)) for stay in plan.stays if _kind(stay, kinds) == "hob"]
    chilled = [_Standing((stay,)) for stay in plan.stays if _kind(stay, kinds) == "chiller"]
    return (
        *_cooling([one for one in outside if one.off_heat]),
        *_standing([one for one in outside if not one.off_heat]),
        *_kept_hot(kept_hot),
        *_chilled(chilled),
        *_sugar(plan, kinds),
        *_hands(plan, kinds),
        *_allergens(plan),
    )


def _kind(stay: Stay, kinds: Mapping[str, str]) -> str:
    return kinds.get(stay.station or "", "")


def _outside_the_cold(plan: Plan, kinds: Mapping[str, str]) -> Iterator[_Standing]:
    """What stands neither in the cold nor on the heat, waits that follow each other taken together."""
    batches = {batch.label: batch for batch in plan.batches}
    for chain in _chains(plan.stays):
        off_heat = _is_hot(batches.get(chain[0].before), kinds)
        run: list[Stay] = []
        for stay in chain:
            kind = _kind(stay, kinds)
            if kind not in COLD and kind != "hob":
                run.append(stay)
                continue
            if run:
                yield _Standing(tuple(run), off_heat)
            off_heat, run = kind == "hob", []
        if run:
            yield _Standing(tuple(run), off_heat)


def _chains(stays: Sequence[Stay]) -> Iterator[list[Stay]]:
    """Waits that follow each other between the same two batches."""
    chain: list[Stay] = []
    for stay in stays:
        if chain and stay.position == 0:
            yield chain
            chain = []
        chain.append(stay)
    if chain:
        yield chain


def _is_hot(batch: Batch | None, kinds: Mapping[str, str]) -> bool:
    """Whether a batch comes off the heat."""
    seats = () if batch is None else batch.seats
    return any(
        kinds.get(seat.station) == "hob"
        or (kinds.get(seat.station) == "oven" and seat.celsius is not None and seat.celsius >= HOT_CELSIUS)
        for seat in seats
    )


def _longest(standing: Sequence[_Standing], least: int) -> tuple[_Standing, str] | None:
    """The longest of those that last so many minutes or more, the first of equals; and how many more there are."""
    found = [one for one in standing if one.minutes >= least]
    if not found:
        return None
    others = len({(one.stays[0].item, one.stays[0].name) for one in found}) - 1
    more = f" (so {'does 1 other' if others == 1 else f'do {others} others'})" if others else ""
    return max(found, key=lambda one: one.minutes), more


def _cooling(standing: Sequence[_Standing]) -> Iterator[Caution]:
    found = _longest(standing, MOST_TO_21_CELSIUS + 1)
    if found is not None:
        one, more = found
        limit = "2 h in which food that needs the cold is to fall from 57 to 21 C"
        if one.minutes > MOST_TO_5_CELSIUS:
            limit = "6 h in which food that needs the cold is to fall from 57 to 5 C"
        yield Caution(
            f"{one.what} comes off the heat and stands {one.how_long} before any cold{more}: more than the {limit}",
            COOLING,
        )


def _standing(standing: Sequence[_Standing]) -> Iterator[Caution]:
    found = _longest(standing, MOST_OUTSIDE_THE_COLD)
    if found is not None:
        one, more = found
        limit = "food that needs the cold can do so for a limited time only"
        yield Caution(f"{one.what} stands {one.how_long} outside the cold{more}: {limit}", TIME_AS_CONTROL)


def _kept_hot(standing: Sequence[_Standing]) -> Iterator[Caution]:
    found = _longest(standing, MOST_ON_THE_HEAT + 1)
    if found is not None:
        one, more = found
        limit = "what is kept hot has to be kept hot enough; measure it"
        yield Caution(f"{one.what} stands {one.how_long} on the heat{more}: {limit}", HOT_HOLDING)


def _chilled(standing: Sequence[_Standing]) -> Iterator[Caution]:
    limit = f"ready-to-eat food keeps {MOST_CHILLED_DAYS} days at 5 C or below, the day it is made counted as the first"
    kept = [one for one in standing if _days(one) > MOST_CHILLED_DAYS]
    if kept:
        one = max(kept, key=_days)
        yield Caution(
            f"{one.what} stands {one.how_long} in the chiller, into its day {_days(one)}: {limit}", DATE_MARKING
        )
        return
    allowed = [one for one in standing if (one.stays[0].most or 0) > MOST_CHILLED_DAYS * MINUTES_PER_DAY]
    if allowed:
        one = max(allowed, key=lambda one: one.stays[0].most or 0)
        most = format_duration(one.stays[0].most or 0)
        yield Caution(f"{one.what} may stand up to {most} in the chiller by its recipe: {limit}", DATE_MARKING)


def _days(one: _Standing) -> int:
    """On how many days of the calendar something stands."""
    first, last = one.stays[0].start, one.stays[-1].end
    return last // MINUTES_PER_DAY - first // MINUTES_PER_DAY + 1


def _sugar(plan: Plan, kinds: Mapping[str, str]) -> Iterator[Caution]:
    work: dict[str, Batch] = {}
    for batch in plan.batches:
        if any(kinds.get(seat.station) == "hob" for seat in batch.seats) and _is_sugar_work(plan, batch):
            work.setdefault(f"{batch.item}: {batch.step}", batch)
    if work:
        where = listed([f"{what} ({batch.label} {format_clock(batch.start)})" for what, batch in work.items()])
        yield Caution(
            f"hot sugar at {where}: it sticks to skin; sleeves down, cold water at hand, nobody passing", TRADE
        )


def _is_sugar_work(plan: Plan, batch: Batch) -> bool:
    """Whether names or ingredients say that mostly sugar is on the hob."""
    if _SUGAR_WORK.search(f"{batch.item} {batch.step}"):
        return True
    weights: dict[bool, Any] = {True: 0, False: 0}
    for name, written in _ingredients(plan, batch.item):
        with suppress(UnitError):
            quantity = parse_quantity(written)
            if quantity.unit in ("g", "ml"):
                weights[_SUGARS.search(name) is not None] += quantity.amount
    return bool(weights[True] and weights[True] * _MUCH_SUGAR >= weights[True] + weights[False])


def _hands(plan: Plan, kinds: Mapping[str, str]) -> Iterator[Caution]:
    """Stations in use that burn, by heat or by cold."""
    equipment = {station.name: station.equipment for station in plan.stations}
    used: list[Seat | Stay] = [seat for batch in plan.batches for seat in batch.seats]
    used += [stay for stay in plan.stays if stay.station is not None]
    names: dict[str, dict[str, None]] = {"hot": {}, "cold": {}}
    for one in used:
        kind = kinds.get(one.station or "")
        if kind in ("oven", "hob", "freezer"):
            names["cold" if kind == "freezer" else "hot"][equipment[one.station or ""]] = None
    if not any(names.values()):
        return
    order = {name: position for position, name in enumerate(dict.fromkeys(equipment.values()))}
    hot, cold = (listed(sorted(found, key=order.__getitem__)) for found in names.values())
    parts = [f"dry cloths or gloves at {hot}"] if hot else []
    parts += [f"gloves for bare metal out of {cold}"] if cold else []
    yield Caution(f"burns: {', '.join(parts)}", TRADE)


def _allergens(plan: Plan) -> Iterator[Caution]:
    """What the scenario declares of the ingredients of what is made."""
    described = plan.scenario.get("ingredients")
    described = described if isinstance(described, dict) else {}
    contains = {
        str(name).casefold(): part.get("contains") for name, part in described.items() if isinstance(part, dict)
    }
    used = [name.casefold() for amount in plan.amounts for name, _ in _ingredients(plan, amount.item)]
    found: dict[str, None] = {}
    for name in used:
        with suppress(UnitError):
            found |= dict.fromkeys(of_ingredient(name, parse_allergens(contains.get(name) or "none")))
    if found:
        sentence = f"allergens as declared: {', '.join(told(found))}; what is not declared may be there all the same"
        yield Caution(f"{sentence}: read labels, and separate, wash and mark as your rules say", ALLERGENS)


def _ingredients(plan: Plan, item: str) -> Iterator[tuple[str, Any]]:
    """Ingredients of an item, with their amounts as written, from the scenario that the plan carries."""
    for section in ("components", "products"):
        recipes = plan.scenario.get(section)
        recipe = recipes.get(item) if isinstance(recipes, dict) else None
        if isinstance(recipe, dict):
            yield from _written(recipe)


def _written(part: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """Ingredients that stand at an item, or at one of its steps."""
    found = part.get("ingredients")
    yield from ((str(name), amount) for name, amount in (found.items() if isinstance(found, dict) else ()))
    steps = part.get("steps")
    for step in steps if isinstance(steps, list) else ():
        if isinstance(step, dict):
            yield from _written(step)
