"""What was recorded since a plan and is still true: what was taken back again asks for no other plan."""

from __future__ import annotations

from collections.abc import Sequence

from stationplan.live.events import Away, Back, Event, GoodsIn, GoodsLate, In, Out, Overrunning, Recorded, Slower


def still_true(known: Sequence[Recorded], new: Sequence[Recorded]) -> tuple[Recorded, ...]:
    """The new events, without those that a later one has replaced or taken back.

    Args:
        known: what the plan in force reckons with, nothing undone among it.
        new: what was recorded since, by number, nothing undone among it.

    Returns:
        By number. That something is as it should be again is told only where the plan reckons with it not being so.
    """
    found: list[Recorded] = []
    for number, entry in enumerate(new):
        replaced = any(_replaces(later.event, entry.event) for later in new[number + 1 :])
        if not replaced and _tells_something(known, entry.event):
            found.append(entry)
    return tuple(found)


def _tells_something(known: Sequence[Recorded], event: Event) -> bool:
    before: list[Event] = []
    for entry in known:
        before = [other for other in before if not _replaces(entry.event, other)]
        before.append(entry.event)
    before = [other for other in before if _replaces(event, other)]
    if isinstance(event, Out):
        same = (other for other in before if isinstance(other, Out))
        return all(other.until is None or other.until != event.until for other in same)
    if isinstance(event, Back | In | GoodsIn) or (isinstance(event, Slower) and not event.percent):
        return any(not isinstance(other, Back | In | GoodsIn) for other in before)
    return True


def _replaces(later: Event, earlier: Event) -> bool:
    """Whether what an event says is no longer so by a later one of the same person, thing or batch."""
    match earlier, later:
        case (Out() | Back() as before, Back() as after):
            whole = after.unit in (None, before.unit) and after.chamber in (None, before.chamber)
            return after.equipment == before.equipment and whole
        case (Out() | Back() as before, Out() as after) | (Slower() as before, Slower() as after):
            asked = (before.equipment, before.unit, before.chamber)
            return asked == (after.equipment, after.unit, after.chamber)
        case (Away(person=one) | In(person=one), Away(person=other) | In(person=other)):
            return one == other
        case (
            GoodsLate(ingredient=one) | GoodsIn(ingredient=one),
            GoodsLate(ingredient=other) | GoodsIn(ingredient=other),
        ):
            return one == other
        case (Overrunning(label=one), Overrunning(label=other)):
            return one == other
    return False
