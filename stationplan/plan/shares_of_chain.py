"""Whose minutes the time from opening to the finish is, along the critical chain."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from stationplan.plan.in_the_way import came_into, in_the_way

if TYPE_CHECKING:
    from stationplan.plan.document import Batch, ChainLink, Plan


class Owner(StrEnum):
    """What the finish waits for in a stretch of the critical chain."""

    STATION = "station"
    PERSON = "person"
    STEP = "step"
    """The recipe: a step follows another."""
    WAIT = "wait"
    """The recipe: something rests, cools, sets."""
    AWAY = "away"
    """Somebody's break or hours."""
    BEFORE = "before"
    """Before the first batch of the chain begins."""


@dataclass(frozen=True, slots=True)
class Share:
    """Minutes of the critical chain that belong to one station, one person, or the recipe.

    Attributes:
        owner: what they belong to.
        name: equipment, or people; empty for the rest.
        minutes: how many.
    """

    owner: Owner
    name: str
    minutes: int


def shares_of_chain(plan: Plan) -> tuple[Share, ...]:
    """Divide the time from opening to the finish among what the critical chain hangs on.

    Going along the chain, the time from the start of one batch to the start of the next belongs to what keeps the next
    from starting: the station or the person that is busy until then, or the recipe, which demands the one batch and
    perhaps a wait before the other. Where a place was full, all the time for which something stood there until the
    next could come in is that place's: with more room, the next need not have waited for it. The last batch and its
    waits belong to the recipe, too. Where the chain goes back in time (a batch is made as late as it may stand), that
    stretch is counted once.

    Args:
        plan: the plan.

    Returns:
        The largest share first; all together they are the time from opening to the finish. Empty without a chain.
    """
    batches = {batch.label: batch for batch in plan.batches}
    links = [link for link in plan.chain if link.label in batches]
    if not links:
        return ()
    equipment = {station.name: station.equipment for station in plan.stations}
    minutes: dict[tuple[Owner, str], int] = defaultdict(int)
    full = {
        minute: stay.station or ""
        for stay in in_the_way(plan)
        for minute in range(stay.start, min(stay.end, stay.start + stay.least))
    }
    reached = plan.opens
    for moment, owner, name in _stretches(plan, links, batches):
        for minute in range(reached, moment):
            whose, called = (Owner.STATION, full[minute]) if minute in full else (owner, name)
            minutes[whose, equipment.get(called, called)] += 1
        reached = max(reached, moment)
    found = [Share(owner, name, count) for (owner, name), count in minutes.items() if count]
    return tuple(sorted(found, key=lambda share: -share.minutes))


def _stretches(plan: Plan, links: list[ChainLink], batches: dict[str, Batch]) -> Iterator[tuple[int, Owner, str]]:
    """Until when, and whose the time until then is."""
    before: Batch | None = None
    waits = in_the_way(plan)
    for link in links:
        batch = batches[link.label]
        if before is not None and link.why in ("waits", "release", "goods", "stock"):
            yield min(before.end, batch.start), Owner.STEP, ""
        match link.why:
            case "station":
                stood = [stay for stay in waits if before and (stay.before, stay.station) == (before.label, link.on)]
                if before is not None and stood:
                    yield before.end, Owner.STEP, ""
                    yield stood[0].start, Owner.WAIT, ""
                seated = any(seat.station == link.on for seat in batch.seats)
                entered = () if seated else came_into(plan, link)
                yield (entered[0] if entered else batch.start), Owner.STATION, link.on
                yield batch.start, Owner.WAIT, ""
            case "person":
                yield batch.start, Owner.PERSON, link.on
            case "release":
                stands = [
                    stay for stay in plan.stays if before and (stay.before, stay.after) == (before.label, batch.label)
                ]
                if stands:
                    ready = stands[0].start + sum(stay.least for stay in stands)
                    yield min(ready, batch.start), Owner.WAIT, ""
                yield batch.start, Owner.AWAY, link.on
            case "waits":
                yield batch.start, Owner.WAIT, ""
            case "follows":
                yield batch.start, Owner.STEP, ""
            case "opening" | "goods" | "stock":
                yield batch.start, Owner.BEFORE, ""
        before = batch
    assert before is not None
    yield before.end, Owner.STEP, ""
    yield plan.finish, Owner.WAIT, ""
