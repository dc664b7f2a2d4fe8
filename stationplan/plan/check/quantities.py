"""Quantities: everything needed is made, in the right amount, and nothing else."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from stationplan.plan.check.case import Case, read_number
from stationplan.plan.check.fault import Fault, FaultKind
from stationplan.plan.check.measure import MEASURED_UNITS, batch_room
from stationplan.plan.check.recipe import Recipe, Stage
from stationplan.scenario.units import format_quantity


def check_quantities(case: Case) -> Iterator[Fault]:
    """Compare the amounts of the plan with what the orders need through every use and loss."""
    counted = Counter(amount.item for amount in case.plan.amounts)
    for name, making in case.making.items():
        if not counted[name]:
            needed = format_quantity(making.least, case.recipes[name].item.makes.unit)
            yield Fault(FaultKind.AMOUNT_MISSING, f"The plan does not say how much {name} is made ({needed}).")
    for name, times in counted.items():
        if name not in case.making:
            yield Fault(FaultKind.AMOUNT_UNKNOWN, f"The plan makes {name}, which no order needs.")
        elif times > 1:
            yield Fault(FaultKind.AMOUNT_UNKNOWN, f"The plan states the amount of {name} {times} times.")
    for amount in case.plan.amounts:
        if amount.item not in case.making:
            continue
        making, recipe = case.making[amount.item], case.recipes[amount.item]
        made, unit = read_number(amount.quantity), recipe.item.makes.unit
        if made is None or amount.unit != unit:
            yield Fault(FaultKind.AMOUNT_FIGURES, f"{amount.quantity} {amount.unit} is no amount of {amount.item}.")
            continue
        needed, there = format_quantity(making.least, unit), format_quantity(made, unit)
        if made < making.least:
            sentence = f"{needed} of {amount.item} are needed, but only {there} are made."
            yield Fault(FaultKind.AMOUNT_TOO_SMALL, sentence)
        elif made > making.least and not _least_fill_demands(case, recipe, made):
            sentence = f"{there} of {amount.item} are made, but {needed} are enough."
            yield Fault(FaultKind.AMOUNT_SURPLUS, sentence)
        stated = read_number(amount.needed)
        if stated != making.least:
            said = amount.needed if stated is None else format_quantity(stated, unit)
            sentence = f"{amount.item}: {needed} are needed, not {said} as the plan says."
            yield Fault(FaultKind.AMOUNT_FIGURES, sentence)
        recipes = made / recipe.item.makes.amount
        if read_number(amount.recipes) != recipes:
            sentence = f"{amount.item}: {there} are {recipes} times the recipe, not {amount.recipes}."
            yield Fault(FaultKind.AMOUNT_FIGURES, sentence)


def _least_fill_demands(case: Case, recipe: Recipe, made: Fraction) -> bool:
    """Whether with one unit less some bowl would not be filled enough."""
    for stage in recipe.stages:
        batches = len(case.runs.get(stage.key, ()))
        if batches:
            smallest = (made - 1) / batches
            if recipe.item.makes.unit not in MEASURED_UNITS:
                smallest = Fraction(math.floor(smallest))
            if not _fills_some_bowl(case, recipe, stage, smallest):
                return True
    return False


def _fills_some_bowl(case: Case, recipe: Recipe, stage: Stage, size: Fraction) -> bool:
    """Whether some equipment for the stage takes a batch of this size without being too empty."""
    if not stage.step.equipment:
        return True
    for need in stage.step.equipment:
        for equipment in case.scenario.kitchen.equipment:
            if not case.answers(equipment, need.use):
                continue
            if equipment.kind != "mixer" or equipment.holds is None or not equipment.least_fill:
                return True
            room = batch_room(recipe.item, recipe.name, need.fills or stage.step.fills, size, equipment)
            if room is None or room >= equipment.least_fill * equipment.holds.amount:
                return True
    return False
