"""The past: what had begun when a plan was made is in it as it was told, and everything else comes after."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from stationplan.plan.check.case import Case, read_number
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.document import Batch, Began, Past


def check_past(case: Case) -> Iterator[Fault]:
    """Compare the batches of a plan with what it was told when part of the shift was over."""
    past = case.plan.past
    batches = {batch.label: batch for batch in case.plan.batches}
    for batch in case.plan.batches:
        if batch.label in case.began:
            continue
        if batch.lost:
            yield _fault(f"{batch.label} is lost, says the plan, but had not begun.", batch.label)
        if past is not None and batch.start < past.now:
            sentence = f"{batch.label} ({batch.item}, {batch.step}) starts at {clock(batch.start)}"
            sentence += f", but had not begun at {clock(past.now)}."
            yield Fault(FaultKind.BEFORE_NOW, sentence, (batch.label,))
    if past is None:
        return
    if len(case.began) < len(past.began):
        yield Fault(FaultKind.PAST_DIFFERS, "The plan was told of a batch twice.")
    for told in past.began:
        yield from _check_told(past, told)
        found = batches.get(told.label)
        if found is None:
            yield _fault(f"{told.label} had begun at {clock(told.start)}, but is not in the plan.", told.label)
        else:
            yield from _check_batch(past, told, found)
    there = {stock.label for stock in case.plan.stock if stock.start <= past.now}
    for lifted in past.lifted:
        if lifted.before not in case.began and (lifted.before not in there or lifted.rule != "place"):
            sentence = f"{lifted.before} had not begun, so what comes from it has to keep to the recipe."
            yield _fault(sentence, lifted.before)


def _check_told(past: Past, told: Began) -> Iterator[Fault]:
    running = told.outcome == "running"
    if told.start > past.now or told.end < told.start or (told.end < past.now if running else told.end > past.now):
        until = "is to run" if running else "ran"
        sentence = f"{told.label} {until} from {clock(told.start)} to {clock(told.end)}, but it was {clock(past.now)}."
        yield _fault(sentence, told.label)


def _check_batch(past: Past, told: Began, batch: Batch) -> Iterator[Fault]:
    first, last = read_number(batch.first), read_number(batch.last)
    size = None if first is None or last is None else last - first
    if (batch.start, batch.end) != (told.start, told.end):
        sentence = f"{told.label} ran from {clock(told.start)} to {clock(told.end)}, in the plan from "
        yield _fault(sentence + f"{clock(batch.start)} to {clock(batch.end)}.", told.label)
    if size != Fraction(told.size):
        yield _fault(f"{told.label} was begun with {told.size} {batch.unit}, not with {size}.", told.label)
    if batch.lost != (told.outcome == "lost"):
        outcome = "was lost" if told.outcome == "lost" else "was not lost"
        yield _fault(f"{told.label} {outcome}, but the plan says otherwise.", told.label)
    if tuple(seat.station for seat in batch.seats) != told.stations:
        yield _fault(f"{told.label} was begun on {', '.join(told.stations) or 'no station'}.", told.label)
    people = {hand.person for hand in batch.hands if hand.start < past.now or hand.start == batch.start}
    if people != set(told.people):
        yield _fault(f"{told.label} was begun by {', '.join(told.people) or 'nobody'}.", told.label)


def _fault(sentence: str, label: str) -> Fault:
    return Fault(FaultKind.PAST_DIFFERS, sentence, (label,))
