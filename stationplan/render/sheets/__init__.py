"""Sheets to hang up: one for each person and station, and a list of timers."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from stationplan.plan.document import Plan
from stationplan.plan.wording import listed
from stationplan.render.errors import RenderError
from stationplan.render.phrases import NO_ONE
from stationplan.render.sheets.model import Note, Row, Sheet
from stationplan.render.sheets.people import nobodys_sheet, person_sheet
from stationplan.render.sheets.source import Cautions, Outcomes, Source
from stationplan.render.sheets.stations import station_sheet
from stationplan.render.sheets.timers import NAME as TIMERS
from stationplan.render.sheets.timers import timers_sheet
from stationplan.scenario.units import format_clock

__all__ = ["Note", "Row", "Sheet", "sheets_of"]


def sheets_of(
    plan: Plan,
    *,
    names: Sequence[str] = (),
    span: tuple[int, int] | None = None,
    cautions: Cautions | None = None,
    outcomes: Outcomes | None = None,
) -> tuple[Sheet, ...]:
    """The sheets of a plan.

    Args:
        plan: a plan that has passed the check.
        names: whose sheets: people, stations, kinds of equipment such as ``oven``, or ``timers``; all if empty.
        span: only what happens from the first to the second, minutes since midnight of the first day.
        cautions: what to beware of, by the label of the batch.
        outcomes: what has become of batches: those that are done are marked, and those that failed are left out.

    Returns:
        People, what needs nobody, stations, timers, each in the order of the plan; without names, only sheets that
        something stands on.

    Raises:
        RenderError: when a name is nobody's, or when nothing happens in that time.
    """
    source = Source.of(plan, {} if cautions is None else cautions, outcomes)
    wanted = _wanted(plan, names)
    sheets = [person_sheet(source, person) for person in plan.people if person in wanted]
    sheets += [nobodys_sheet(source)] * (NO_ONE in wanted)
    sheets += [station_sheet(source, station) for station in plan.stations if station.name in wanted]
    sheets += [timers_sheet(source)] * (TIMERS in wanted)
    if span is not None:
        sheets = [sheet.within(span) for sheet in sheets]
    found = tuple(_explained(plan, sheet) for sheet in sheets if sheet.rows or names)
    if not any(sheet.rows for sheet in found):
        first, last = span or (plan.opens, plan.finish)
        raise RenderError(f"there is nothing to write on a sheet from {format_clock(first)} to {format_clock(last)}")
    return found


def _wanted(plan: Plan, names: Sequence[str]) -> set[str]:
    known = {name: {name} for name in (*plan.people, NO_ONE, TIMERS)}
    for station in plan.stations:
        for name in (station.name, station.equipment, station.kind):
            known.setdefault(name, set()).add(station.name)
    wanted: set[str] = set()
    for name in names or known:
        if name not in known:
            raise RenderError(f"there is no sheet for {name!r}; there are sheets for {listed(list(known))}")
        wanted |= known[name]
    return wanted


def _explained(plan: Plan, sheet: Sheet) -> Sheet:
    """The sheet with the letters that stand on it."""
    shown = " ".join(text for row in sheet.rows for text in (row.labels, row.what, *(note.text for note in row.notes)))
    words = set(re.findall(r"\b([A-Z]+)[a-z]+\d", shown))
    return replace(sheet, letters=tuple(f"{e.letters} {e.item}" for e in plan.legend if e.letters in words))
