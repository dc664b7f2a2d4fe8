"""Stations getting ready: ovens that heat and cool, bowls that are washed."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from stationplan.engine.problem import Chamber
from stationplan.network.network import SeatUse, StationGroup
from stationplan.plan.document import Change

if TYPE_CHECKING:
    from stationplan.plan.timeline import Span, Timeline
    from stationplan.scenario.units import Setting


def changes_of(timeline: Timeline) -> tuple[Change, ...]:
    """Every heating, cooling, change of mode and wash that the batches ask for, by start.

    An oven changes just before the next load, as nobody heats an empty oven for long; a bowl is washed
    at once, as what dries on is hard to get off.
    """
    found: list[Change] = []
    for index, resource in enumerate(timeline.network.problem.resources):
        group = timeline.network.resources[index]
        if isinstance(resource, Chamber) and isinstance(group, StationGroup):
            spans = timeline.taken.get(index, [])
            if group.kind == "mixer":
                found += _washes(timeline, resource, group, spans)
            else:
                found += _settings(timeline, resource, group, spans)
    return tuple(sorted(found, key=lambda change: (change.start, change.station)))


def _seat(timeline: Timeline, span: Span) -> SeatUse:
    seat = timeline.uses(span.task)[span.use or 0]
    assert isinstance(seat, SeatUse)
    return seat


def _washes(timeline: Timeline, bowl: Chamber, group: StationGroup, spans: list[Span]) -> list[Change]:
    opens = timeline.network.opens
    found = []
    used = [(span.state or "", span.start, span.end) for span in spans]
    if group.left is not None:
        content, end = group.left
        used = [(content, end, end), *(use for use in used if use[1] >= end)]
    for (before, _, end), (after, _, _) in pairwise(used):
        contents = before, after
        minutes = bowl.changeovers.get(contents, 0)
        if minutes:
            start = opens + end
            found.append(
                Change(
                    station=bowl.name,
                    start=start,
                    end=start + minutes,
                    kind="wash",
                    before=contents[0],
                    after=contents[1],
                )
            )
    return found


def _settings(timeline: Timeline, chamber: Chamber, group: StationGroup, spans: list[Span]) -> list[Change]:
    opens = timeline.network.opens
    found = []
    state, full_until = group.at, 0
    minutes_to = dict(group.heats)
    shut = sorted(closure.end for closure in chamber.closures)
    for span in spans:
        if timeline.begun(span.task) is not None:
            full_until = max(full_until, span.end)
            continue
        if any(full_until <= morning <= span.start for morning in chamber.restarts):
            state, minutes_to = group.cold, dict(chamber.after_restarts)
        full_until = max(full_until, span.end)
        if shut and shut[0] <= span.start:
            # It has been out of use, and is as it was at opening.
            state, minutes_to = group.cold, dict(chamber.after_restarts)
            shut = [end for end in shut if end > span.start]
        wanted = _seat(timeline, span).setting
        if wanted is None or state is None or wanted == state:
            continue
        minutes = minutes_to.get(str(wanted), 0)
        end = opens + span.start
        found.append(
            Change(
                station=chamber.name,
                start=end - minutes,
                end=end,
                kind=_kind(state, wanted),
                before=str(state),
                after=str(wanted),
            )
        )
        state = wanted
        minutes_to = {
            after: minutes for (before, after), minutes in chamber.changeovers.items() if before == str(wanted)
        }
    return found


def _kind(before: Setting, after: Setting) -> Literal["heat", "cool", "setting"]:
    if before.celsius == after.celsius:
        return "setting"
    return "heat" if after.celsius > before.celsius else "cool"
