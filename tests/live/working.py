"""A shift that is worked through: everybody does what comes next as soon as it can be done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from functools import reduce

from stationplan.live.events import Event, Finished, Overrunning, Recorded, Started
from stationplan.live.expecting import expect
from stationplan.live.record import Log
from stationplan.live.state import apply, fold
from stationplan.plan.document import Batch, Plan
from stationplan.plan.passing import passings_of
from stationplan.scenario import from_plain

DAY = date(2026, 11, 26)


def log_of(plan: Plan, events: Iterable[Event], day: date = DAY) -> Log:
    """A record of a plan that stays in force, and events in the order of time."""
    recorded = recorded_in_order(events)
    return Log(day, plan, plan, None, 0, 0, recorded, len(recorded), "")


def recorded_in_order(events: Iterable[Event]) -> tuple[Recorded, ...]:
    """Events with numbers, in the order of time."""
    ordered = sorted(events, key=lambda event: event.at)
    return tuple(Recorded(number, "", event) for number, event in enumerate(ordered, 1))


def worked(
    plan: Plan,
    *,
    longer: Mapping[str, int] | None = None,
    also: Iterable[Event] = (),
    until: int = 24 * 60,
) -> Log:
    """Work through a plan.

    Args:
        plan: the plan; nothing is begun before its time in it.
        longer: minutes that batches take longer than the plan has it, by label.
        also: what else happens.
        until: go home at this time.
    """
    extra = longer or {}
    scenario, passings = from_plain(plan.scenario), passings_of(plan)
    other = list(also)
    told: list[Event] = []
    now = plan.opens
    empty = fold(plan, ())
    while True:
        state = reduce(apply, recorded_in_order([*told, *(event for event in other if event.at <= now)]), empty)
        outlooks = expect(state, scenario, passings, now).outlooks.values()
        ends = {
            outlook.batch.label: outlook.start
            + outlook.batch.end
            - outlook.batch.start
            + extra.get(outlook.batch.label, 0)
            for outlook in outlooks
            if outlook.standing == "running"
        }
        over = [Finished(at=end, who="Ida", label=label) for label, end in ends.items() if end <= now]
        able = [outlook for outlook in outlooks if not outlook.begun and outlook.standing != "blocked"]
        ready = [outlook.batch for outlook in able if outlook.start <= now]
        if over:
            told += over
        elif ready:
            told += _begun(ready[0], now, extra.get(ready[0].label, 0))
        else:
            coming = [*ends.values(), *(outlook.start for outlook in able), *(e.at for e in other if e.at > now)]
            if not coming or min(coming) > until:
                return log_of(plan, [*told, *other])
            now = min(coming)


def _begun(batch: Batch, now: int, longer: int) -> list[Event]:
    stations = tuple(seat.station for seat in batch.seats)
    people = tuple(hand.person for hand in batch.hands)
    begun = Started(at=now, who="Ida", label=batch.label, stations=stations, people=people)
    if longer <= 0:
        return [begun]
    # Said at once, so that nobody reckons with it sooner.
    return [begun, Overrunning(at=now, who="Ida", label=batch.label, until=now + batch.end - batch.start + longer)]
