"""Labels: one for each batch, built as the legend explains, and nothing refers to a batch that is not there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from string import ascii_lowercase, ascii_uppercase

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind
from stationplan.plan.check.lettering import letters_at
from stationplan.plan.check.recipe import Recipe


def check_labels(case: Case) -> Iterator[Fault]:
    """Check the labels of the batches, the legend, and the labels on the critical chain."""
    counted = Counter(batch.label for batch in case.plan.batches)
    for label, times in counted.items():
        if times > 1:
            yield Fault(FaultKind.LABEL_TWICE, f"{label} stands for {times} batches.", (label,))
    made = [name for name in case.recipes if name in case.making]
    letters = {name: letters_at(place, ascii_uppercase) for place, name in enumerate(made)}
    if case.plan.past is not None:
        # A shift that is under way keeps the letters of what it does not make any more, and gives new ones.
        kept = {entry.item: entry.letters for entry in case.plan.legend if entry.item in letters}
        letters = {name: kept.get(name, "") for name in made}
        for found, times in Counter(letters.values()).items():
            if times > 1 or not found.isalpha():
                yield Fault(FaultKind.LEGEND_WRONG, f"The legend must give every item letters of its own, not {found}.")
    step_letters = {name: _step_letters(case.recipes[name]) for name in made}
    for run in case.all_runs():
        name = run.stage.item
        if name not in letters:
            continue
        expected = f"{letters[name]}{step_letters[name][run.batch.step]}{run.batch.number}"
        expected += f".{run.stage.round}" if run.stage.repeated else ""
        if run.batch.label != expected:
            sentence = f"{run.title} must have the label {expected}."
            yield Fault(FaultKind.LABEL_WRONG, sentence, (run.batch.label,))
    yield from _check_legend(case, letters, step_letters)
    for link in case.plan.chain:
        if link.label not in counted:
            sentence = f"{link.label} is on the critical chain, but is no batch of this plan."
            yield Fault(FaultKind.CHAIN_UNKNOWN, sentence, (link.label,))


def _check_legend(case: Case, letters: dict[str, str], step_letters: dict[str, dict[str, str]]) -> Iterator[Fault]:
    explained = Counter(entry.item for entry in case.plan.legend)
    for name, of_item in letters.items():
        if explained[name] != 1:
            yield Fault(FaultKind.LEGEND_WRONG, f"The legend must explain {of_item}, {name}, once.")
    for entry in case.plan.legend:
        if entry.item not in letters:
            yield Fault(FaultKind.LEGEND_WRONG, f"The legend explains {entry.item}, which is not made.")
            continue
        steps = tuple((letter, step) for step, letter in step_letters[entry.item].items())
        if entry.letters != letters[entry.item] or entry.steps != steps:
            yield Fault(FaultKind.LEGEND_WRONG, f"The legend does not give the letters of {entry.item} and its steps.")


def _step_letters(recipe: Recipe) -> dict[str, str]:
    names = dict.fromkeys(stage.step.name for stage in recipe.stages)
    return {name: letters_at(place, ascii_lowercase) for place, name in enumerate(names)}
