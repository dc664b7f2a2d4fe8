"""Quantities: everything needed is made, in the right amount, and nothing else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from stationplan.plan.check.case import Case, read_number
from stationplan.plan.check.fault import Fault, FaultKind
from stationplan.scenario.units import format_quantity


def check_quantities(case: Case) -> Iterator[Fault]:
    """Compare the amounts of the plan with what the orders need through every use and loss."""
    counted = Counter(amount.item for amount in case.plan.amounts)
    for name, making in case.making.items():
        if not counted[name]:
            wanted = format_quantity(making.wanted, case.recipes[name].item.makes.unit)
            yield Fault(FaultKind.AMOUNT_MISSING, f"The plan does not say how much {name} is made ({wanted}).")
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
        elif case.plan.past is not None:
            given = [run.given_last for run in case.runs.get(recipe.last.key, ())]
            if made != max(given, default=0):
                sentence = f"{there} of {amount.item} are made, says the plan, but its batches give another amount."
                yield Fault(FaultKind.AMOUNT_FIGURES, sentence)
        elif made < making.wanted:
            filling = format_quantity(making.wanted, unit)
            sentence = f"{filling} of {amount.item} fill every bowl enough, but only {there} are made."
            yield Fault(FaultKind.AMOUNT_TOO_SMALL, sentence)
        elif made > making.wanted:
            sentence = f"{there} of {amount.item} are made, but {format_quantity(making.wanted, unit)} are enough."
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
