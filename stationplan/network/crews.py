"""People as engine resources: those of equal skills, hours and breaks are one pool."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

from stationplan.engine.problem import Closure, Pool, Use
from stationplan.network.errors import Path, StaffError
from stationplan.network.network import Crew
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stationplan.network.times import Part
    from stationplan.scenario.models import Person, Shift
    from stationplan.scenario.units import PeopleNeed


def crews_of(people: Sequence[Person], shift: Shift) -> tuple[tuple[Crew, Pool], ...]:
    """Group people whom nothing tells apart.

    Args:
        people: everybody in the kitchen.
        shift: when it opens and closes; time 0 of the pools is the opening.
    """
    groups: dict[tuple[frozenset[str], frozenset[tuple[int, int]]], list[Person]] = {}
    for person in people:
        groups.setdefault((frozenset(person.skills), frozenset(_away(person, shift))), []).append(person)
    found = []
    for (skills, away), members in groups.items():
        names = tuple(person.name for person in members)
        closures = tuple(Closure(start, end, len(members)) for start, end in sorted(away))
        found.append((Crew(names, tuple(sorted(skills))), Pool(", ".join(names), len(members), closures)))
    return tuple(found)


def mornings_of(people: Sequence[Person], shift: Shift) -> tuple[int, ...]:
    """When the kitchen opens anew in a shift of several days, minutes after the first opening.

    It opens every day at the same time of day. Where somebody is at work up to that moment it has not been shut.

    Args:
        people: everybody in the kitchen.
        shift: when it opens and closes.
    """
    return tuple(
        moment - shift.opens
        for moment in range(shift.opens + MINUTES_PER_DAY, shift.closes, MINUTES_PER_DAY)
        if not any(start < moment <= end for person in people for start, end in _there(person, shift))
    )


def _there(person: Person, shift: Shift) -> list[tuple[int, int]]:
    """From when to when a person is in, breaks included."""
    return [(span.start, span.end) for span in person.hours] or [(shift.opens, shift.closes)]


def _away(person: Person, shift: Shift) -> list[tuple[int, int]]:
    """Spans, in minutes after opening, in which a person is on a break or not in."""
    hours = _there(person, shift)
    breaks = [(span.start, span.end) for span in person.breaks]
    moments = {shift.opens, shift.closes, *(moment for span in (*hours, *breaks) for moment in span)}
    edges = sorted(moment for moment in moments if shift.opens <= moment <= shift.closes)
    away: list[tuple[int, int]] = []
    for start, end in pairwise(edges):
        inside = any(first <= start and end <= last for first, last in hours)
        resting = any(first <= start and end <= last for first, last in breaks)
        if inside and not resting:
            continue
        if away and away[-1][1] == start - shift.opens:
            away[-1] = (away[-1][0], end - shift.opens)
        else:
            away.append((start - shift.opens, end - shift.opens))
    return away


def hands(part: Part, need: PeopleNeed, crews: Sequence[tuple[int, Crew]], step: str, path: Path) -> tuple[Use, ...]:
    """Uses for the people that one part of a step needs.

    Args:
        part: the part.
        need: how many, with which skill.
        crews: position among the engine's resources, and crew.
        step: name of the step.
        path: where it stands.

    Raises:
        StaffError: when the kitchen has not that many people with the skill.
    """
    able = [(index, crew) for index, crew in crews if need.skill is None or need.skill in crew.skills]
    present = sum(len(crew.names) for _, crew in able)
    if present < need.count:
        who = f"{need.count} {need.skill or 'people'}"
        raise StaffError(f"{step!r} needs {who} at once, but the kitchen has {present}", path)
    indices = tuple(index for index, _ in able)
    if len(able) == 1:
        return (Use(indices, need.count, part.offset, part.length),)
    return (Use(indices, 1, part.offset, part.length),) * need.count
