"""Waits: least and most between batches, and every stay in its place for exactly the time between."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.flow import Lot, over
from stationplan.plan.check.recipe import Waiting
from stationplan.plan.check.standing import Part, check_standing
from stationplan.plan.check.stock import Stocked
from stationplan.plan.document import Stay
from stationplan.scenario.units import format_duration

StayKey = tuple[str, str | None, str, int]


def check_waits(case: Case, lots: tuple[Lot, ...]) -> Iterator[Fault]:
    """Check the time between the batches of every lot, and the stays that fill it."""
    stays: dict[StayKey, list[Stay]] = defaultdict(list)
    for shown in case.plan.stays:
        stays[shown.before, shown.after, shown.name, shown.position].append(shown)
    parts: list[Part] = []
    for lot in lots:
        before, after = lot.before.label, None if lot.after is None else lot.after.batch.label
        found: list[Stay | None] = []
        for position, wait in enumerate(lot.link.waits):
            there = stays[before, after, wait.name, position]
            found.append(there.pop(0) if there else None)
        if over(lot):
            continue
        lifted = _lifted(case, lot)
        waits = enumerate(lot.link.waits)
        parts += [Part(lot, place, wait, found[place]) for place, wait in waits if (place, "place") not in lifted]
        yield from _check_gap(lot, lifted)
        if "shelf life" not in {rule for _, rule in lifted}:
            yield from _check_shelf_life(case, lot)
        yield from _check_chain(lot, found)
        for position, (wait, stay) in enumerate(zip(lot.link.waits, found, strict=True)):
            if stay is not None:
                yield from _check_stay(case, lot, wait, stay, {rule for place, rule in lifted if place == position})
    yield from check_standing(case, lots, parts)
    for left_over in stays.values():
        for extra in left_over:
            sentence = f"Nothing asks {extra.item} from {extra.before} to wait for {extra.after or 'delivery'}"
            labels = (extra.before,) if extra.after is None else (extra.before, extra.after)
            yield Fault(FaultKind.STAY_EXTRA, f"{sentence} ({extra.name or 'unnamed'}).", labels)


def _lifted(case: Case, lot: Lot) -> set[tuple[int, str]]:
    """The rules that need not be kept for what was waiting already when the plan was made, by the wait's position."""
    if case.plan.past is None:
        return set()
    after = None if lot.after is None else lot.after.batch.label
    key = (lot.before.label, after)
    lifted: set[tuple[int, str]] = {
        (entry.position, entry.rule) for entry in case.plan.past.lifted if (entry.before, entry.after) == key
    }
    if lot.before.began is not None:
        return lifted
    # Stock that is there already may have to stand elsewhere; there is nothing else to be put up with.
    there = isinstance(lot.before, Stocked) and lot.before.start <= case.now
    return lifted & {(0, "place")} if there else set()


def _check_gap(lot: Lot, lifted: set[tuple[int, str]]) -> Iterator[Fault]:
    if lot.after is None:
        return
    end, start = lot.before.end, lot.after.batch.start
    least, most = lot.link.least_gap, lot.link.most_gap
    if start < end + least:
        enough = f"may start {format_duration(least)} after it at the earliest" if least else "needs it"
        kind = FaultKind.WAIT_TOO_SHORT
    elif most is not None and start > end + most and "most" not in {rule for _, rule in lifted}:
        enough = f"must start {format_duration(most)} after it at the latest"
        kind = FaultKind.WAIT_TOO_LONG
    else:
        return
    sentence = f"{lot.before.title} ends at {clock(end)}; {lot.after.title} {enough}, but starts at {clock(start)}."
    yield Fault(kind, sentence, lot.labels)


def _check_shelf_life(case: Case, lot: Lot) -> Iterator[Fault]:
    """A component is taken up while it keeps; stock has a use-by instead."""
    life = case.recipes[lot.recipe].item.shelf_life
    if life is None or lot.after is None or lot.after.stage.item == lot.recipe or isinstance(lot.before, Stocked):
        return
    start, last = lot.after.batch.start, lot.before.end + math.floor(life)
    if start > last:
        sentence = (
            f"{lot.after.title} takes up {lot.recipe} from {lot.before.title} at {clock(start)}, "
            f"but it keeps only until {clock(last)}."
        )
        yield Fault(FaultKind.PAST_SHELF_LIFE, sentence, lot.labels)


def _check_chain(lot: Lot, stays: list[Stay | None]) -> Iterator[Fault]:
    """The stays must be there and follow one another from the end of one batch to the start of the next."""
    reached: int | None = lot.before.end
    for wait, stay in zip(lot.link.waits, stays, strict=True):
        if stay is None:
            to = "delivery" if lot.after is None else lot.after.title
            sentence = f"The plan does not show {lot.recipe} from {lot.before.title} waiting ({_name(wait)}) for {to}."
            yield Fault(FaultKind.STAY_MISSING, sentence, lot.labels)
            reached = None
            continue
        if (reached is not None and stay.start != reached) or stay.end < stay.start:
            sentence = (
                f"{lot.recipe} from {lot.before.title} waits ({_name(wait)}) from {clock(stay.start)} "
                f"to {clock(stay.end)}, but must begin at {clock(stay.start if reached is None else reached)}."
            )
            yield Fault(FaultKind.STAY_TIME, sentence, lot.labels)
        reached = stay.end
    if lot.after is not None and stays and reached is not None and reached != lot.after.batch.start:
        sentence = (
            f"{lot.recipe} from {lot.before.title} waits until {clock(reached)}, "
            f"but {lot.after.title} takes it up at {clock(lot.after.batch.start)}."
        )
        yield Fault(FaultKind.STAY_TIME, sentence, lot.labels)


def _check_stay(case: Case, lot: Lot, wait: Waiting, stay: Stay, lifted: set[str]) -> Iterator[Fault]:
    waited = f"{lot.recipe} from {lot.before.title} waits ({_name(wait)}) {stay.end - stay.start} minutes"
    if stay.end - stay.start < wait.least:
        yield Fault(
            FaultKind.WAIT_TOO_SHORT, f"{waited}, but must wait at least {format_duration(wait.least)}.", lot.labels
        )
    elif wait.most is not None and stay.end - stay.start > wait.most and "most" not in lifted:
        yield Fault(
            FaultKind.WAIT_TOO_LONG, f"{waited}, but may wait at most {format_duration(wait.most)}.", lot.labels
        )
    if (stay.least, stay.most) != (wait.least, wait.most):
        sentence = f"{waited}; the plan gives it other limits than the recipe."
        yield Fault(FaultKind.STAY_LIMITS, sentence, lot.labels)
    if stay.item != lot.recipe:
        sentence = f"The plan says that {stay.item} waits, but it is {lot.recipe} from {lot.before.title}."
        yield Fault(FaultKind.STAY_LIMITS, sentence, lot.labels)
    if "place" not in lifted:
        yield from _check_place(case, lot, wait, stay)


def _check_place(case: Case, lot: Lot, wait: Waiting, stay: Stay) -> Iterator[Fault]:
    equipment = None if stay.station is None else case.equipment_of(stay.station)
    if wait.place is None:
        if stay.station is not None:
            sentence = f"{lot.recipe} from {lot.before.title} need not wait in {stay.station}."
            yield Fault(FaultKind.STAY_PLACE, sentence, lot.labels)
        elif stay.amount != 0:
            sentence = f"{lot.recipe} from {lot.before.title} waits nowhere in particular, yet fills {stay.amount}."
            yield Fault(FaultKind.STAY_AMOUNT, sentence, lot.labels)
        return
    # What fills no room of its own need not say where it stands.
    nowhere = stay.station is None and stay.amount == 0
    if not nowhere and (equipment is None or not case.may_wait_in(equipment, wait.place)):
        where = stay.station or "nowhere in particular"
        sentence = f"{lot.recipe} from {lot.before.title} must wait in {wait.place}, but is in {where}."
        yield Fault(FaultKind.STAY_PLACE, sentence, lot.labels)


def _name(wait: Waiting) -> str:
    return wait.name or wait.place or "until taken up"
