"""A batch that was begun on other equipment than its recipe says: that happens, and is told to whoever records it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.live.events import Started
from stationplan.plan.so_far import needs_on, setting_of

if TYPE_CHECKING:
    from stationplan.live.events import Event
    from stationplan.plan.document import Plan
    from stationplan.scenario.models import Scenario


def not_by_recipe(event: Event, plan: Plan, scenario: Scenario) -> str | None:
    """What is not as the recipe has it, and what the rest of the shift reckons with.

    Args:
        event: what is recorded.
        plan: the plan in force.
        scenario: the one that the shift began with.

    Returns:
        A sentence without its full stop; None when all is as the recipe has it.
    """
    if not isinstance(event, Started) or event.on is None:
        return None
    batch = next(batch for batch in plan.batches if batch.label == event.label)
    equipment = {station.name: station.equipment for station in plan.stations}
    seats = zip(event.stations, batch.seats, strict=True)
    seat = next((seat for station, seat in seats if station == event.on), None)
    if seat is None or event.on == seat.station or needs_on(scenario, batch, {equipment[event.on]}):
        return None
    setting = setting_of(seat)
    at = "" if setting is None else f" at {setting}"
    taken = "" if setting is None else f": {event.on} is taken to be{at}"
    return f"not as the recipe has it ({equipment[seat.station]}{at}){taken}"
