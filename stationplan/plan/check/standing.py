"""Room of waiting lots: those of one batch share trays, and leave them in their order.

A batch waits on as many trays as it fills, rounded up once. Where its lots are taken
up one by one, each takes away the trays that it empties; a tray that two lots share
is emptied by the later one. So that is how the room is counted, and where a tray is
shared the lots must leave in their order and stand in the same place.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.flow import Lot
from stationplan.plan.check.measure import waiting_room
from stationplan.plan.check.recipe import Waiting
from stationplan.plan.document import Stay
from stationplan.scenario.models import Equipment


@dataclass(frozen=True)
class Part:
    """A lot at one of its waits, and the stay that shows it, None when the plan does not."""

    lot: Lot
    position: int
    wait: Waiting
    stay: Stay | None

    @property
    def title(self) -> str:
        """How a sentence names it."""
        return f"{self.lot.recipe} from {self.lot.before.title}"


def check_standing(case: Case, lots: tuple[Lot, ...], parts: list[Part]) -> Iterator[Fault]:
    """Check the room of every stay in a place.

    Args:
        case: the plan beside its scenario.
        lots: every lot of the plan.
        parts: their waits with the stays.

    Yields:
        Faults in amounts, in the order of leaving and in the place of shared trays.
    """
    ends: dict[tuple[str, int], Fraction] = {}
    for lot in lots:
        ends[_outlet(lot)] = max(lot.last, ends.get(_outlet(lot), lot.last))
    placed: dict[tuple[tuple[str, int], int], list[Part]] = defaultdict(list)
    for part in parts:
        if part.wait.place is not None:
            placed[_outlet(part.lot), part.position].append(part)
    for (outlet, _), together in placed.items():
        for line in _lines(together):
            yield from _check_line(case, line, is_last=line[-1].lot.last == ends[outlet])


def _outlet(lot: Lot) -> tuple[str, int]:
    """Common to lots that make up a batch: all that goes to other items, or one link inside its own."""
    inside = lot.after is not None and lot.after.stage.item == lot.recipe
    return (lot.before.label, id(lot.link) if inside else 0)


def _lines(parts: list[Part]) -> Iterator[list[Part]]:
    """Neighbouring lots at the same wait; what does not stand there breaks the line."""
    line: list[Part] = []
    for part in sorted(parts, key=lambda part: part.lot.first):
        # The waits after a component's last step are common to all that take it up; a use's own wait is its own.
        if line and (part.wait is not line[-1].wait or part.lot.first != line[-1].lot.last):
            yield line
            line = []
        line.append(part)
    if line:
        yield line


def _check_line(case: Case, line: list[Part], *, is_last: bool) -> Iterator[Fault]:
    """Check lots that wait in one line; the last lot of a batch stands with what nobody takes up."""
    parts = [(part, part.stay) for part in line if part.stay is not None]
    equipment = _equipment_for(case, line)
    # Room cannot be told where the plan shows only some of the lots.
    if equipment is None or len(parts) < len(line):
        return
    lot, wait = line[0].lot, line[0].wait
    each, at_once = waiting_room(case.recipes[lot.recipe].item, lot.recipe, wait.fills, equipment)
    begin, end = lot.before.given_first, lot.before.given_last if is_last else line[-1].lot.last
    for part, stay in parts:
        emptied = math.floor(each * (part.lot.first - begin))
        filled = math.floor(each * (part.lot.last - begin))
        if part is line[-1]:
            filled = math.ceil(each * (end - begin)) + math.ceil(at_once)
        if stay.amount != filled - emptied:
            sentence = f"{part.title} fills {filled - emptied} of {equipment.name}, not {stay.amount}."
            yield Fault(FaultKind.STAY_AMOUNT, sentence, part.lot.labels)
    place = parts[0][1].station
    for (earlier, kept), (later, stay) in pairwise(parts):
        shared = at_once > 0 or (each * (earlier.lot.last - begin)).denominator != 1
        if shared and kept.end > stay.end:
            sentence = (
                f"{later.title} leaves at {clock(stay.end)} with room that {earlier.title} "
                f"still fills until {clock(kept.end)}."
            )
            yield Fault(FaultKind.STAY_SEQUENCE, sentence, tuple(dict.fromkeys(earlier.lot.labels + later.lot.labels)))
        if shared and earlier.position and lot.before.began is None and kept.start != stay.start:
            sentence = f"{later.title} comes in at {clock(stay.start)} on trays that came at {clock(kept.start)}."
            yield Fault(FaultKind.STAY_SEQUENCE, sentence, tuple(dict.fromkeys(earlier.lot.labels + later.lot.labels)))
        if shared and place is not None and stay.station not in (None, place):
            sentence = f"{later.title} is in {stay.station}, but shares room with what is in {place}."
            yield Fault(FaultKind.STAY_PLACE, sentence, later.lot.labels)
        place = stay.station or (place if shared else None)


def _equipment_for(case: Case, line: list[Part]) -> Equipment | None:
    """The equipment that the lots stand in; what fills no room of its own says nothing of it."""
    place = line[0].wait.place
    for part in line:
        found = None if part.stay is None or part.stay.station is None else case.equipment_of(part.stay.station)
        if found is not None and case.may_wait_in(found, place):
            return found
    return next((entry for entry in case.equipment.values() if case.may_wait_in(entry, place)), None)
