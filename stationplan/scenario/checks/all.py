"""The list of all checks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.scenario.checks import (
    amounts,
    equipment,
    exam,
    ingredients,
    kitchen,
    names,
    order_of_steps,
    orders,
    people,
    references,
    today,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.sentences import Finding

CHECKS: tuple[Callable[[Draft], Iterator[Finding]], ...] = (
    names.people_twice,
    names.skills_that_cannot_be_asked_for,
    names.equipment_names,
    names.items_twice,
    names.steps_twice,
    kitchen.keys_of_another_kind,
    kitchen.fillings,
    kitchen.changeovers,
    references.ordered_products,
    orders.units_of_orders,
    orders.due_after_midnight,
    references.used_components,
    references.circles_of_uses,
    order_of_steps.too_many_entries,
    order_of_steps.afters,
    order_of_steps.least_above_most,
    order_of_steps.sequence,
    amounts.nothing_at_all,
    amounts.steps_without_time,
    amounts.yields,
    amounts.units_of_steps,
    amounts.units_of_uses,
    ingredients.ingredients_twice,
    ingredients.weights_of_pieces,
    ingredients.strengths_of_gelatin,
    ingredients.amounts_of_gelatin,
    equipment.unknown_equipment,
    equipment.temperatures,
    equipment.places,
    equipment.useless_keys,
    equipment.room_for_steps,
    equipment.room_for_stays,
    people.skills,
    people.enough_people,
    today.units,
    today.late_goods,
    today.stock,
    today.shelf_lives,
    today.not_in_an_exam,
    exam.candidates,
    exam.own_equipment,
    exam.menu,
    exam.hand_ins,
    exam.times,
    exam.waves,
    exam.alone,
    exam.helpers,
    exam.places,
)


def check(draft: Draft) -> Iterator[Finding]:
    """Everything that is wrong with a draft, as (path, sentence)."""
    for one in CHECKS:
        yield from one(draft)
