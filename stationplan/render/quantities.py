"""What to weigh, as text: into each batch, out of the store, and which allergens are declared."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import groupby
from math import ceil
from typing import TYPE_CHECKING, Literal

from stationplan.plan.scale import drawn, in_spoons, shown
from stationplan.plan.wording import listed
from stationplan.render.lettering import clean, columns, pad, wrap
from stationplan.scenario.pieces import WHITE, YOLK
from stationplan.scenario.units import format_clock, format_number, format_quantity, plural, singular

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from stationplan.plan.allergens import Declared, Handover
    from stationplan.plan.eggs import Eggs
    from stationplan.plan.ingredients import BatchContents, Portion, Total
    from stationplan.plan.weighing import Weighing
    from stationplan.scenario.units import Quantity

Part = Literal["batches", "store", "allergens"]

CAUTION = (
    "! Allergens are told as declared in the scenario and no further. What is not declared is not therefore absent: "
    "labels, suppliers and traces count as well. What must be declared and how, and how equipment is cleaned, local "
    "code and your own food-safety plan decide; Codex CXC 80-2020 is a code of practice to read."
)
KIND_OF_NUT = (
    "Tree nuts are declared here without their kind, which labels in the European Union name (Regulation (EU) No "
    "1169/2011, Annex II, number 8): write contains: hazelnut."
)
NONE_DECLARED = "allergens: the scenario declares none, which does not mean that there are none"
_INDENT = "  "
_WIDEST_AMOUNT = 14


def weighing_page(known: Weighing, *, width: int, unicode: bool = True, only: Part | None = None) -> str:
    """What to weigh, to read on screen and to print.

    Args:
        known: what to weigh.
        width: most columns of a line, at least 60.
        unicode: whether names may hold more than ASCII.
        only: one part; without it, all of them.

    Returns:
        The parts with a title each, and empty lines between; a line end at the end.
    """
    parts = {"batches": _batches, "store": _store, "allergens": _allergens}
    found = [wrap(clean(f"{known.name}: {known.orders}", unicode), width, _INDENT)]
    for name, part in parts.items():
        if only in (None, name):
            found += part(known, width, unicode)
    return "\n\n".join("\n".join(lines) for lines in found if lines) + "\n"


def _batches(known: Weighing, width: int, unicode: bool) -> Iterator[list[str]]:
    """A list for every batch; like batches of one step are told together."""
    title = ["into each batch"]
    for _, group in groupby(known.batches, key=lambda batch: (batch.item, batch.step, batch.recipes, batch.size)):
        alike = list(group)
        lines = wrap(clean(_heading(known, alike), unicode), width, _INDENT * 2)
        rows = [(portion.name, *measured(portion)) for portion in alike[0].ingredients]
        for position, taken in enumerate(alike[0].components):
            labels = list(dict.fromkeys(label for batch in alike for label in batch.components[position].out_of))
            rows.append((taken.component, shown(taken.quantity.amount, taken.quantity.unit), f"out of {_span(labels)}"))
        yield title + lines + _rows(rows, width, unicode)
        title = []


def _heading(known: Weighing, alike: Sequence[BatchContents]) -> str:
    labels = [batch.label for batch in alike]
    who = _span(labels)
    if known.starts:
        who = ", ".join(_begins(known, label) for label in labels)
    first = alike[0]
    size = format_quantity(first.size.amount, first.size.unit)
    each = " each" if len(alike) > 1 else ""
    recipes = f", {format_number(round(first.recipes, 3))} x the recipe" if first.ingredients else ""
    return f"{who}: {first.step}, {size} of {first.item}{each}{recipes}"


def _begins(known: Weighing, label: str) -> str:
    what = f" ({known.begun[label]})" if label in known.begun else ""
    return f"{label} {format_clock(known.starts[label])}{what}"


def _span(labels: Sequence[str]) -> str:
    """Labels in a row, the middle of a long one left out: they are numbered."""
    return listed(labels) if len(labels) < 4 else f"{labels[0]} to {labels[-1]}"


def _store(known: Weighing, width: int, unicode: bool) -> list[list[str]]:
    """All of every ingredient, enough for the batches as they are weighed."""
    if not known.store:
        return []
    title = f"to draw from the store{', for the whole shift' if known.begun else ''}"
    lines = [title, *_rows(store_rows(known), width, unicode)]
    return [lines, wrap(cracked(known.eggs), width, _INDENT) if known.eggs is not None else []]


def store_rows(known: Weighing) -> list[tuple[str, str, str]]:
    """What to draw from the store: ingredient, amount, and what else is to be said of it.

    Args:
        known: what to weigh.
    """
    rows = []
    for total in known.store:
        name = total.whole.name
        amount, other = _drawn(total)
        contains = ", ".join(known.contains.get(name.casefold(), ()))
        rows.append((name, amount, "; ".join([other] * bool(other) + [f"contains {contains}"] * bool(contains))))
    return rows


def cracked(eggs: Eggs) -> str:
    """How many eggs to crack, and what is left over of them.

    Args:
        eggs: the eggs.
    """
    apart = [_count(number, part) for number, part in ((eggs.whites, WHITE), (eggs.yolks, YOLK)) if number]
    parts = [f"{eggs.whole} whole"] * bool(eggs.whole) + [f"{max(eggs.whites, eggs.yolks)} for {listed(apart)}"]
    number, part = eggs.spare
    parts += [f"{_count(number, part)} left over"] * bool(number)
    return f"eggs to crack, if all of it comes out of shells: {eggs.shells}; {', '.join(parts)}"


def _count(number: int, noun: str) -> str:
    return f"{number} {plural(noun, number)}"


def _allergens(known: Weighing, width: int, unicode: bool) -> list[list[str]]:
    """What is declared of each item, products first, and equipment that goes on to what less is declared of."""
    if not known.items:
        return [wrap(NONE_DECLARED, width, _INDENT)]
    groups = [[title, *_wrapped(lines, width, unicode)] for title, lines in allergen_groups(known)]
    return [*groups, wrap(cautioned(known), width, _INDENT)]


def cautioned(known: Weighing) -> str:
    """The caution beside allergens; where nuts are declared without their kind, that a label may have to name it.

    Args:
        known: what to weigh.
    """
    unsaid = any("tree nuts" in declared.allergens for _, declared in known.items)
    return f"{CAUTION} {KIND_OF_NUT}" if unsaid else CAUTION


def allergen_groups(known: Weighing) -> list[tuple[str, list[str]]]:
    """What is declared, as titles with sentences; empty when nothing is.

    Args:
        known: what to weigh.
    """
    groups = [
        ("allergens, as declared", [_of_item(name, declared) for name, declared in known.items]),
        ("equipment that goes on to what less is declared of", [_of_equipment(one) for one in known.handovers]),
    ]
    return [(title, lines) for title, lines in groups if lines]


def _of_item(name: str, declared: Declared) -> str:
    contains = ", ".join(declared.named) or "none declared"
    silent = f"; nothing is declared of {listed(declared.unsaid)}" if declared.silent else ""
    return f"{name}: {contains}{silent}"


def _of_equipment(handover: Handover) -> str:
    before, after = handover.before, handover.after
    which = "none of them is" if len(handover.allergens) > 1 else "it is not"
    text = (
        f"{handover.station} holds {listed(handover.allergens)} until {format_clock(handover.until)} ({before.label} "
        f"{before.step}), is next used {format_clock(handover.start)} for {after.label} {after.step}, where {which} "
        "declared"
    )
    if handover.silent:
        text += f" (and nothing at all of {listed(handover.silent)})"
    if handover.washed is None:
        return f"{text}; no wash is planned in between"
    begin, end = map(format_clock, handover.washed)
    return f"{text}; washed {begin}-{end} in between"


def _wrapped(texts: Sequence[str], width: int, unicode: bool) -> list[str]:
    inside = width - len(_INDENT)
    return [f"{_INDENT}{line}" for text in texts for line in wrap(clean(text, unicode), inside, _INDENT)]


def measured(portion: Portion) -> tuple[str, str]:
    """How much to weigh, measure or count into a batch, and what that is otherwise."""
    quantity, pieces = portion.quantity, portion.pieces
    counted = None if pieces is None else shown(pieces.amount, pieces.unit)
    if pieces is not None and portion.instead_of is not None:
        # Weighed, for the sheets of another strength weigh differently: and so many have to be at hand.
        counted = f"out of {_whole(pieces)}" if pieces.amount.denominator > 1 else _whole(pieces)
    return _said(portion, shown(quantity.amount, quantity.unit), counted)


def weighed(portion: Portion) -> str:
    """An amount and its ingredient as one says them: ``835 g whole egg (16.7 eggs)``, ``16.8 egg yolks (302 g)``."""
    amount, otherwise = measured(portion)
    quantity, noun = portion.quantity, singular(portion.name)
    what = f"{amount} {portion.name}"
    if quantity.unit not in ("g", "ml"):
        # Not 'yolks egg yolk'.
        repeats = f" {noun}".endswith(f" {quantity.unit}")
        what = shown(quantity.amount, noun) if repeats else f"{amount} of {portion.name}"
    return f"{what} ({otherwise})" if otherwise else what


def _whole(pieces: Quantity) -> str:
    return format_quantity(ceil(pieces.amount), pieces.unit)


def _drawn(total: Total) -> tuple[str, str]:
    """How much to draw from the store, pieces in whole numbers, and what that is otherwise."""
    quantity, pieces = total.whole.quantity, total.whole.pieces
    if quantity.unit not in ("g", "ml"):
        return _said(total.whole, _whole(quantity), None if pieces is None else _whole(pieces))
    much = drawn([portion.quantity.amount for portion in total.portions])
    if pieces is not None and total.whole.instead_of is not None:
        # Enough sheets for what is weighed, not only for what is exact.
        pieces = replace(pieces, amount=pieces.amount * max(Fraction(1), much / quantity.amount))
    return _said(total.whole, format_quantity(much, quantity.unit), None if pieces is None else _whole(pieces))


def _said(portion: Portion, amount: str, pieces: str | None) -> tuple[str, str]:
    """An amount in the measure of the recipe, and in the others: ml beside cups, g beside pieces, pieces beside g."""
    quantity = portion.quantity
    spoons = in_spoons(quantity.amount, quantity.written_unit) if quantity.unit == "ml" else ""
    others = [amount] if spoons else []
    if portion.grams is not None and quantity.unit != "g":
        others.append(shown(portion.grams, "g"))
    if pieces and portion.pieces is not None and portion.pieces.unit != quantity.unit:
        others.append(pieces)
    if portion.instead_of is None:
        return spoons or amount, ", ".join(others)
    asked, bloom, used = portion.instead_of.asked, portion.instead_of.bloom, portion.instead_of.used
    mine = " ".join([*others, f"of {used} bloom"])
    return amount, f"{mine}; the recipe asks for {shown(asked.amount, asked.unit)} of {bloom} bloom"


def _rows(rows: Sequence[tuple[str, str, str]], width: int, unicode: bool) -> list[str]:
    """Name, amount and the rest in columns; a rest that does not fit goes on in lines of its own."""
    cleaned = [[clean(text, unicode) for text in row] for row in rows]
    # One long name, or an amount in spoons, moves nothing but itself.
    amounts = max((columns(amount) for _, amount, _ in cleaned if columns(amount) <= _WIDEST_AMOUNT), default=0)
    names = min(max(columns(name) for name, _, _ in cleaned), width * 2 // 5)
    found = []
    for name, amount, rest in cleaned:
        first, *more = wrap(name, names) or [""]
        padded = f"{_INDENT}{pad(first, names)}{_INDENT}"
        line = f"{padded}{' ' * (amounts - columns(amount))}{amount}"
        below = rest
        if columns(line) > width:
            line, below = padded.rstrip(), f"{amount}, {rest}" if rest else amount
        elif rest and columns(f"{line}{_INDENT}{rest}") <= width:
            line, below = f"{line}{_INDENT}{rest}", ""
        found += [line, *(f"{_INDENT}{part}" for part in more)]
        found += [f"{3 * _INDENT}{part}" for part in wrap(below, width - 3 * len(_INDENT))]
    return found
