"""A plan as a calendar (RFC 5545), for the whole kitchen or for one person."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING
from uuid import UUID, uuid5

import icalendar

from stationplan import __version__
from stationplan.render.errors import RenderError
from stationplan.render.files.cells import instant
from stationplan.render.files.characters import plain
from stationplan.render.files.events import events_of_kitchen, events_of_person
from stationplan.render.sheets.source import Source
from stationplan.render.words import headline

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

    from stationplan.plan.document import Plan
    from stationplan.render.files.events import Event
    from stationplan.render.files.wishes import Wishes

_OURS = UUID("5f0c9a52-3b1e-4d0b-9a5c-7c1d2f6e8b41")
"""Our part of all UUIDs (RFC 9562 section 5.5), so that the same event has the same UID in every export."""
_ONE_LINE = 10_000


def write(plan: Plan, wishes: Wishes) -> bytes:
    """A plan as a calendar.

    Args:
        plan: the plan.
        wishes: heeds ``date``, which it needs, ``timezone``, ``person`` and ``revised``.

    Returns:
        A calendar object.

    Raises:
        RenderError: when there is no date, or when the clocks change during the plan.
    """
    if wishes.date is None:
        raise RenderError("a calendar needs the date of the plan's first day, such as --date 2026-03-14")
    source = Source.of(plan, {})
    events = events_of_kitchen(source) if wishes.person is None else events_of_person(source, wishes.person)
    if wishes.timezone is not None:
        _refuse_a_change_of_clocks(plan, wishes.date, wishes.timezone)
    calendar = icalendar.Calendar()
    calendar.add("prodid", f"-//stationplan//stationplan {__version__}//EN")
    calendar.add("version", "2.0")
    title = icalendar.vText(plain(plan.name if wishes.person is None else f"{wishes.person}: {plan.name}"))
    calendar.add("name", title)  # RFC 7986 section 5.1
    calendar.add("x-wr-calname", title)  # the same for programs older than that
    calendar.add("description", plain("\n".join((headline(plan, _ONE_LINE), *plan.warnings))))
    for event in events:
        calendar.add_component(_event(plan, event, wishes.date, wishes.timezone, wishes.revised))
    if wishes.timezone is not None:
        year = wishes.date.year
        calendar.add_missing_timezones(first_date=date(year - 1, 1, 1), last_date=date(year + 2, 1, 1))
    return bytes(calendar.to_ical())


def _refuse_a_change_of_clocks(plan: Plan, day: date, zone: ZoneInfo) -> None:
    first, last = (instant(minute, day).replace(tzinfo=zone) for minute in (plan.opens, plan.finish))
    if first.utcoffset() != last.utcoffset():
        raise RenderError(
            f"the clocks change in {zone.key} between {first:%Y-%m-%d %H:%M} and {last:%Y-%m-%d %H:%M}, of which this "
            "plan knows nothing: its times would be an hour out. Plan until the change and from it on by themselves"
        )


def _event(plan: Plan, event: Event, day: date, zone: ZoneInfo | None, revised: datetime) -> icalendar.Event:
    found = icalendar.Event()
    found.add("uid", str(uuid5(_OURS, "\n".join((plan.scenario["name"], day.isoformat(), *event.key)))))
    found.add("dtstamp", revised)
    found.add("dtstart", instant(event.start, day).replace(tzinfo=zone))
    # An end must be later than the start (RFC 5545 section 3.8.2.2); without one, the event ends when it starts.
    if event.end > event.start:
        found.add("dtend", instant(event.end, day).replace(tzinfo=zone))
    found.add("summary", plain(event.summary))
    if event.details:
        found.add("description", plain("\n".join(event.details)))
    if event.place:
        found.add("location", plain(event.place))
    for alarm in event.alarms:
        reminder = icalendar.Alarm()
        reminder.add("action", "DISPLAY")
        reminder.add("description", plain(alarm.text))
        reminder.add("trigger", timedelta(minutes=alarm.minute - event.start))
        found.add_component(reminder)
    return found
