"""Batches: every step of everything made, once, in even shares that follow one another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from stationplan.plan.check.case import Case, Run
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.measure import MEASURED_UNITS, in_base
from stationplan.plan.check.recipe import Recipe, Stage
from stationplan.scenario.units import format_quantity


def check_batches(case: Case) -> Iterator[Fault]:
    """Check which batches there are, their numbers, ranges, sizes and sequence."""
    yield from case.unreadable
    for run in case.all_runs():
        if run.stage.item not in case.making:
            sentence = f"{run.title} is made, but no order needs {run.stage.item}."
            yield Fault(FaultKind.BATCH_UNKNOWN, sentence, (run.batch.label,))
    for name in case.making:
        recipe = case.recipes[name]
        for stage in recipe.stages:
            runs = case.runs.get(stage.key, ())
            wanted = _wanted(case, recipe, stage, case.making[name].least)
            if not runs:
                if wanted:
                    yield Fault(FaultKind.BATCH_MISSING, f"No batch does {_step(stage)}.")
                continue
            if case.plan.past is None:
                yield from _check_numbers(stage, runs, case.making[name].numbers[stage.index])
            else:
                # What is left of a step is split into other batches than the whole of it would be, and the numbers of
                # those that had begun stay.
                of = max([len(runs), *(run.batch.number for run in runs)])
                yield from _check_numbers(stage, runs, of, gaps=True)
            yield from _check_ranges(case, recipe, stage, runs, wanted)
            to_come = [run for run in runs if run.began is None]
            if case.plan.past is not None:
                # They follow what they take up, in whatever order that was begun.
                to_come.sort(key=lambda run: -run.size)
            yield from _check_sizes(recipe, stage, tuple(to_come))
            yield from _check_sequence(stage, runs)


def check_shift(case: Case) -> Iterator[Fault]:
    """Nothing starts before opening or ends after closing."""
    for batch in case.plan.batches:
        if batch.label in case.began:
            continue
        if batch.start < case.opens or batch.end > case.closes:
            sentence = (
                f"{batch.label} ({batch.item}, {batch.step}) runs from {clock(batch.start)} to {clock(batch.end)}, "
                f"but the shift is from {clock(case.opens)} to {clock(case.closes)}."
            )
            yield Fault(FaultKind.OUTSIDE_SHIFT, sentence, (batch.label,))
    for stay in case.plan.stays:
        if stay.after is None and stay.end > case.closes:
            sentence = f"{stay.item} waits until {clock(stay.end)}, after closing at {clock(case.closes)}."
            yield Fault(FaultKind.OUTSIDE_SHIFT, sentence, (stay.before,))


def _step(stage: Stage) -> str:
    return f"{stage.step.name} of {stage.item}" + (f", round {stage.round}" if stage.repeated else "")


def _batches(number: int) -> str:
    return "1 batch" if number == 1 else f"{number} batches"


def _check_numbers(stage: Stage, runs: tuple[Run, ...], wanted: int, *, gaps: bool = False) -> Iterator[Fault]:
    counted = Counter(run.batch.number for run in runs)
    of = max(run.batch.of for run in runs)
    # Where the batches do not agree on their number, that is the fault.
    if of != wanted and all(run.batch.of == of for run in runs):
        sentence = f"{_step(stage)} is done in {_batches(of)}, but should be in {_batches(wanted)}."
        yield Fault(FaultKind.BATCH_NUMBER, sentence, tuple(run.batch.label for run in runs))
    for run in runs:
        if run.batch.of != of or not 1 <= run.batch.number <= of:
            sentence = f"{run.title} is number {run.batch.number} of {run.batch.of}, but there are {of} batches."
            yield Fault(FaultKind.BATCH_COUNT, sentence, (run.batch.label,))
    # A nonsense count must not make a list of a billion missing batches.
    missing = [str(number) for number in range(1, min(of, len(runs) + 1) + 1) if number not in counted]
    if missing and not gaps:
        yield Fault(FaultKind.BATCH_MISSING, f"Batch {', '.join(missing)} of {_step(stage)} is missing.")
    for number, times in counted.items():
        if times > 1:
            labels = tuple(run.batch.label for run in runs if run.batch.number == number)
            sentence = f"Batch {number} of {_step(stage)} is there {times} times."
            yield Fault(FaultKind.BATCH_TWICE, sentence, labels)


def _wanted(case: Case, recipe: Recipe, stage: Stage, last: Fraction) -> Fraction:
    """What the batches of a stage must take.

    That is what is made; or, where some batches had begun when the plan was made, what the stages after it take, which
    for the last one is ``last``, and what was lost in it, for the stage itself has to make that again.
    """
    making = case.making[recipe.name]
    if case.plan.past is None:
        return making.made
    after = [link.after for link in recipe.links if link.before.key == stage.key and link.after is not None]
    taken = [sum((run.size for run in case.runs.get(other.key, ())), Fraction(0)) for other in after]
    lost = sum((run.size for run in case.runs.get(stage.key, ()) if run.batch.lost), Fraction(0))
    return max(taken, default=last) + lost


def _check_ranges(case: Case, recipe: Recipe, stage: Stage, runs: tuple[Run, ...], made: Fraction) -> Iterator[Fault]:
    unit = recipe.item.makes.unit
    reached = Fraction(0)
    for run in runs:
        if run.batch.unit != unit:
            sentence = f"{run.title} is counted in {run.batch.unit}, but {stage.item} is made in {unit}."
            yield Fault(FaultKind.BATCH_RANGE, sentence, (run.batch.label,))
        if run.first != reached:
            begins, before = format_quantity(run.first, unit), format_quantity(reached, unit)
            sentence = f"{run.title} begins at {begins}, but the batches before it reach {before}."
            yield Fault(FaultKind.BATCH_RANGE, sentence, (run.batch.label,))
        reached = run.last
    if case.plan.past is not None:
        yield from _check_reached(case, recipe, stage, runs, made)
    elif reached != made:
        there, wanted = format_quantity(reached, unit), format_quantity(made, unit)
        sentence = f"The batches of {_step(stage)} reach {there}, but {wanted} are made."
        yield Fault(FaultKind.BATCH_RANGE, sentence, (runs[-1].batch.label,))


def _check_reached(
    case: Case, recipe: Recipe, stage: Stage, runs: tuple[Run, ...], wanted: Fraction
) -> Iterator[Fault]:
    """Enough is made, and no batch is begun that nobody needs; a mixer may have to be filled further."""
    unit, reached = recipe.item.makes.unit, runs[-1].last
    needed = format_quantity(wanted, unit)
    if reached < wanted:
        sentence = f"The batches of {_step(stage)} reach {format_quantity(reached, unit)}, but {needed} are needed."
        yield Fault(FaultKind.BATCH_RANGE, sentence, (runs[-1].batch.label,))
    enough = _wanted(case, recipe, stage, case.making[recipe.name].wanted)
    kitchen, needs = case.scenario.kitchen.equipment, stage.step.equipment
    in_bowl = any(entry.kind == "mixer" and case.answers(entry, need.use) for entry in kitchen for need in needs)
    for run in runs:
        if run.began is None and (run.first >= enough or (run.last > enough and not in_bowl)):
            yield Fault(FaultKind.AMOUNT_SURPLUS, f"{run.title} is made, but {needed} are enough.", (run.batch.label,))


def _check_sizes(recipe: Recipe, stage: Stage, runs: tuple[Run, ...]) -> Iterator[Fault]:
    """Counted units stay whole and differ by at most one, the larger batches first; weights are the same in each."""
    if not runs:
        return
    unit = recipe.item.makes.unit
    counted = unit not in MEASURED_UNITS
    apart = 1 if counted else 0
    largest, smallest = runs[0], runs[-1]
    for run in runs:
        size = format_quantity(run.size, unit)
        if counted and run.size.denominator != 1:
            sentence = f"{run.title} makes {size}, which is no whole number."
            yield Fault(FaultKind.BATCH_UNEVEN, sentence, (run.batch.label,))
        elif not smallest.size <= run.size <= largest.size or largest.size - smallest.size > apart:
            sentence = f"{run.title} makes {size}: the batches of {_step(stage)} are not split evenly."
            yield Fault(FaultKind.BATCH_UNEVEN, sentence, (run.batch.label,))
        if stage.step.batch is not None and run.size > in_base(recipe.item, recipe.name, stage.step.batch):
            sentence = f"{run.title} makes {size}, more than one batch of {_step(stage)} may have."
            yield Fault(FaultKind.BATCH_TOO_LARGE, sentence, (run.batch.label,))


def _check_sequence(stage: Stage, runs: tuple[Run, ...]) -> Iterator[Fault]:
    for earlier, later in pairwise(run for run in runs if run.began is None):
        if later.batch.start < earlier.batch.start:
            sentence = (
                f"{later.title} starts at {clock(later.batch.start)}, "
                f"before {earlier.batch.label} at {clock(earlier.batch.start)}."
            )
            yield Fault(FaultKind.BATCH_SEQUENCE, sentence, (earlier.batch.label, later.batch.label))
