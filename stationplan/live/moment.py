"""A shift at a moment: everything that a look at its record tells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Any

from stationplan.live.alarms import Alarm, alarms_of
from stationplan.live.effective import effective
from stationplan.live.events import Accepted, Finished, Left, Note, Recorded, Started, Undo
from stationplan.live.expecting import Forecast, expect
from stationplan.live.hours import times_away
from stationplan.live.known import with_known
from stationplan.live.record import Log
from stationplan.live.state import ShiftState, standing
from stationplan.live.still_true import still_true
from stationplan.live.turns import Turn, turns_in
from stationplan.plan.passing import passings_of
from stationplan.scenario import from_plain
from stationplan.scenario.models import Scenario
from stationplan.scenario.units.durations import MINUTES_PER_DAY

PLANNED_ANEW = ("failed", "order added", "order changed", "order cancelled", "stock", "goods in")
"""Kinds of events that ask for other batches, or let them begin earlier."""


@dataclass(frozen=True)
class Moment:
    """What is recorded, what is to be expected, and what to see to.

    Attributes:
        day: the first day of the shift.
        state: what is recorded.
        scenario: as the events have made it.
        forecast: what is to be expected.
        alarms: what to see to.
        first_finish: when all was to be ready in the plan that the shift began with.
        unheeded: events of which no forecast can tell what comes of them: only a plan that is made anew.
    """

    day: date
    state: ShiftState
    scenario: dict[str, Any]
    forecast: Forecast
    alarms: tuple[Alarm, ...]
    first_finish: int
    unheeded: tuple[Recorded, ...] = ()

    @cached_property
    def scenario_now(self) -> Scenario:
        """The scenario as the events have made it."""
        return from_plain(self.scenario)

    @property
    def now(self) -> int:
        """Minutes since midnight of the first day."""
        return self.forecast.now


def moment_of(log: Log, now: int) -> Moment:
    """Look at a shift.

    Args:
        log: its record.
        now: minutes since midnight of its first day.
    """
    passings = passings_of(log.plan)
    first = from_plain(log.first.scenario)
    known = with_known(log.state, first)
    forecast = expect(known, first, passings, now)
    scenario = effective(log.first.scenario, log.state, now)
    kinds = {entry.number: entry.event.kind for entry in log.events}
    unheeded = tuple(
        entry
        for entry in unheeded_by(log)
        if (kinds[entry.event.number] if isinstance(entry.event, Undo) else entry.event.kind) in PLANNED_ANEW
    )
    alarms = alarms_of(known, forecast, passings, first)
    return Moment(log.day, log.state, scenario, forecast, alarms, log.first.finish, unheeded)


def telling(events: Sequence[Recorded]) -> tuple[Recorded, ...]:
    """The events that tell of the kitchen, and not only of what somebody noted or decided; also those undone."""
    mute = {entry.number for entry in events if isinstance(entry.event, Note | Accepted | Left)}
    return tuple(
        entry
        for entry in events
        if entry.number not in mute and not (isinstance(entry.event, Undo) and entry.event.number in mute)
    )


def unheeded_by(log: Log) -> tuple[Recorded, ...]:
    """The events that the plan in force does not reckon with, and what was undone that it does reckon with."""
    return tuple(
        entry
        for entry in standing(telling(log.events))
        if entry.number > log.known and not (isinstance(entry.event, Undo) and entry.event.number > log.known)
    )


def reasons_of(log: Log) -> tuple[Recorded, ...]:
    """The events for which the rest may have to be planned anew, as far as what they say is still true."""
    known = standing(tuple(entry for entry in log.events if entry.number <= log.known))
    return tuple(
        entry for entry in still_true(known, unheeded_by(log)) if not isinstance(entry.event, Started | Finished)
    )


def turns_of(moment: Moment) -> tuple[Turn, ...]:
    """Whose hands are at what from now on, by start."""
    return turns_in(moment.state, moment.forecast)


def may_help(moment: Moment, person: str) -> bool:
    """Whether a new plan may have work for somebody who has none in the plan in force.

    That is so where orders are late or blocked that the plan had not seen coming, or are late because it was made while
    that person was away.
    """
    state, now = moment.state, moment.now
    closes = state.plan.closes
    spans = times_away(moment.scenario_now)[person]
    if now >= closes or any(away.start <= now and away.end >= closes for away in spans):
        return False
    past, deliveries = state.plan.past, moment.forecast.deliveries
    back = past is not None and any(
        absence.person == person and absence.ended is not None and absence.ended >= past.now
        for absence in state.absences
    )
    return any(one.blocked or one.late > (0 if back else one.order.late) for one in deliveries)


def minutes_since(day: date, clock: datetime) -> int:
    """What a clock on the wall says, as minutes since midnight of a day; below 0 before that.

    Args:
        day: the first day of a shift.
        clock: local time. In a night in which the clocks change, minutes go as on the wall.
    """
    return (clock.date() - day).days * MINUTES_PER_DAY + clock.hour * 60 + clock.minute
