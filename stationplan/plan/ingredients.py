"""What goes into each batch, ingredients and components, and what all of it comes to.

Everything is worked out from the scenario that a plan carries, and is exact: rounding
for a scale is for whoever shows it. What stands at an item goes into the first step,
what stands at a step goes into that one; a repeated step takes it once, in its first
round.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from stationplan.network.batches import Recipe
from stationplan.network.network import BatchTask, Network
from stationplan.network.quantities import productions
from stationplan.plan.document import Plan
from stationplan.plan.rebuilding import network_of
from stationplan.plan.scale import SPOONS
from stationplan.scenario import from_plain
from stationplan.scenario.models import Ingredient, Scenario
from stationplan.scenario.pieces import grams_of, in_other_strength, piece_of, sheet_of
from stationplan.scenario.units import Quantity


@dataclass(frozen=True, slots=True)
class Converted:
    """Gelatin in place of another strength: what the recipe asks for, its bloom, and the bloom that is used."""

    asked: Quantity
    bloom: int
    used: int


@dataclass(frozen=True, slots=True)
class Portion:
    """Some of an ingredient.

    Attributes:
        name: the ingredient.
        quantity: how much, in g, ml or a count; ``written_unit`` is the unit of the recipe.
        grams: its weight, None where nothing tells it.
        pieces: how many eggs, whites, yolks, sheets or other pieces that is, where it is counted in any.
        instead_of: gelatin of another strength than the recipe asks for: what it asks for.
    """

    name: str
    quantity: Quantity
    grams: Fraction | None = None
    pieces: Quantity | None = None
    instead_of: Converted | None = None


@dataclass(frozen=True, slots=True)
class Taken:
    """Some of a component.

    Attributes:
        component: its name.
        quantity: in the unit that the recipe asks for, what is lost on the way included.
        out_of: labels of the component's last batches and the stock that it comes from.
    """

    component: str
    quantity: Quantity
    out_of: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BatchContents:
    """What goes into one batch.

    Attributes:
        label: the batch.
        item: component or product.
        step: name of the step.
        size: how much of the item the batch is, in the item's unit.
        recipes: how many recipes that is.
        ingredients: what is weighed in, in the order of the recipe.
        components: what is taken up, in the order of the recipe.
    """

    label: str
    item: str
    step: str
    size: Quantity
    recipes: Fraction
    ingredients: tuple[Portion, ...] = ()
    components: tuple[Taken, ...] = ()


@dataclass(frozen=True, slots=True)
class Total:
    """All of an ingredient: ``whole`` is the sum of the portions, exact."""

    whole: Portion
    portions: tuple[Portion, ...]


@dataclass(frozen=True, slots=True)
class Contents:
    """What goes into every batch, in the order of the plan.

    Attributes:
        batches: all of them, also those that nothing new goes into.
    """

    batches: tuple[BatchContents, ...]

    def totals(self) -> tuple[Total, ...]:
        """Every ingredient with all the portions of it, by name; in one line where all of it can be added up."""
        found: dict[str, list[Portion]] = defaultdict(list)
        for portion in (portion for batch in self.batches for portion in batch.ingredients):
            found[portion.name.casefold()].append(portion)
        return tuple(total for name in sorted(found) for total in _totals(found[name]))


def _totals(portions: list[Portion]) -> Iterator[Total]:
    """One for all portions if they are in one unit or their weights are known, else one for each unit."""
    if len({portion.quantity.unit for portion in portions}) > 1:
        weighed = [
            replace(portion, quantity=Quantity(portion.grams, "g")) for portion in portions if portion.grams is not None
        ]
        if len(weighed) == len(portions):
            portions = weighed
    for unit in dict.fromkeys(portion.quantity.unit for portion in portions):
        alike = [portion for portion in portions if portion.quantity.unit == unit]
        yield Total(_sum(alike), tuple(alike))


def _sum(portions: list[Portion]) -> Portion:
    first = portions[0]
    grams = [portion.grams for portion in portions if portion.grams is not None]
    return Portion(
        first.name,
        _added([portion.quantity for portion in portions]) or first.quantity,
        sum(grams, Fraction(0)) if len(grams) == len(portions) else None,
        _added([portion.pieces for portion in portions]),
        _converted([portion.instead_of for portion in portions]),
    )


def _converted(parts: list[Converted | None]) -> Converted | None:
    known = [part for part in parts if part is not None]
    asked = _added([part.asked for part in known]) if len(known) == len(parts) else None
    return None if asked is None else replace(known[0], asked=asked)


def _added(quantities: Sequence[Quantity | None]) -> Quantity | None:
    """The sum of quantities in one unit; None when one is missing or in another unit."""
    known = [quantity for quantity in quantities if quantity is not None]
    if len(known) < len(quantities) or len({quantity.unit for quantity in known}) > 1:
        return None
    written = {quantity.written_unit for quantity in known}
    alike = len(written) == 1 or written <= SPOONS
    amount = sum((quantity.amount for quantity in known), Fraction(0))
    return Quantity(amount, known[0].unit, known[0].written_unit if alike else "")


def contents_of(plan: Plan) -> Contents:
    """What goes into each batch of a plan, also of one for the rest of a shift.

    Args:
        plan: a plan that has passed the check.

    Raises:
        InvalidScenario: when the scenario that the plan carries is none.
    """
    found = {batch.label: batch for batch in contents_of_network(from_plain(plan.scenario), network_of(plan)).batches}
    return Contents(tuple(found[batch.label] for batch in plan.batches))


def contents_of_network(scenario: Scenario, network: Network) -> Contents:
    """What goes into each batch before there is a plan: the batches are known, their times are not.

    Args:
        scenario: what the network was built from.
        network: the scheduling problem.
    """
    sources: dict[tuple[str, str], list[str]] = defaultdict(list)
    for lot in network.lots:
        if lot.after is not None:
            sources[network.tasks[lot.after].label, lot.item].append(network.tasks[lot.before].label)
    recipes = {name: production.recipe for name, production in productions(scenario).items()}
    described = {name.casefold(): ingredient for name, ingredient in scenario.ingredients.items()}
    batches = (task for task in network.tasks if isinstance(task, BatchTask))
    return Contents(tuple(_contents(recipes[batch.item], batch, sources, described) for batch in batches))


def _contents(
    recipe: Recipe,
    batch: BatchTask,
    sources: Mapping[tuple[str, str], Sequence[str]],
    described: Mapping[str, Ingredient],
) -> BatchContents:
    makes = recipe.item.makes
    entry = next(entry for entry in recipe.flow.steps if (entry.name, entry.round) == (batch.step, batch.round))
    size = batch.last - batch.first
    recipes = size / makes.amount
    ingredients = [
        _portion(name, _scaled(quantity, recipes), described.get(name.casefold()))
        for name, quantity in recipe.ingredients_into(entry)
    ]
    components = [
        Taken(
            taking.component,
            _scaled(taking.use.amount, recipes / (1 - taking.use.loss)),
            tuple(dict.fromkeys(sources.get((batch.label, taking.component), ()))),
        )
        for taking in recipe.flow.takings
        if taking.entry == entry.index
    ]
    return BatchContents(
        batch.label,
        batch.item,
        batch.step,
        Quantity(size, makes.unit, makes.written_unit),
        recipes,
        tuple(ingredients),
        tuple(components),
    )


def _portion(name: str, quantity: Quantity, described: Ingredient | None) -> Portion:
    grams = grams_of(name, quantity, described)
    piece = piece_of(name, described, quantity.unit)
    instead_of = None
    if described is not None and grams is not None and described.bloom is not None and described.in_store is not None:
        bloom, used = described.bloom, described.in_store
        if bloom != used:
            instead_of = Converted(quantity, bloom, used)
            grams = in_other_strength(grams, bloom, used, described.convert or "")
            quantity = Quantity(grams, "g")
            piece = sheet_of(used, piece.unit if piece else "")
    pieces = None if piece is None or grams is None else Quantity(grams / piece.grams, piece.unit)
    return Portion(name, quantity, grams, pieces, instead_of)


def _scaled(quantity: Quantity, times: Fraction) -> Quantity:
    return Quantity(quantity.amount * times, quantity.unit, quantity.written_unit)
