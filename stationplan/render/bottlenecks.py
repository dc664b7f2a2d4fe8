"""What holds a kitchen up and what would help, as tables of text."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING

from stationplan.plan.shares_of_chain import Owner
from stationplan.render.lettering import clean, shorten, wrap
from stationplan.render.overview import busy_table, titled
from stationplan.render.what_ifs import what_if_tables
from stationplan.render.words import headline
from stationplan.scenario.units import format_clock, format_duration

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stationplan.plan.bottlenecks import Bottlenecks
    from stationplan.plan.document import Plan
    from stationplan.plan.utilisation import Slot, Utilisation

_SLOT_COLUMNS = 4
_LONGEST_NAME = 24
_TOTAL_COLUMNS = 7
_SLOT_MINUTES = (30, 60, 120, 240, 480, 1440)

_OWNERS = {
    Owner.STEP: "the recipe: one step after another",
    Owner.WAIT: "the recipe: resting, cooling, setting",
    Owner.BEFORE: "before the first batch of it begins",
}


def page(known: Bottlenecks, plan: Plan | None, *, width: int, unicode: bool = True) -> str:
    """Everything on one page.

    Args:
        known: what holds the kitchen up.
        plan: its plan; None when it has none.
        width: most columns of a line, at least 60.
        unicode: whether texts may hold more than ASCII.

    Returns:
        The headline of the plan, how busy everything is, whose minutes the critical chain is, what each station and
        person allows alone, and what changes would gain; with empty lines between, and a line end at the end.
    """
    parts: list[list[str]] = [_headline(known, plan, width, unicode)]
    if plan is not None:
        parts += [_utilisation(known, plan.finish, width, unicode), _chain(known, width, unicode)]
    parts.append(busy_table(known.busy, known.opens, width, unicode))
    if known.comparison is not None:
        parts += what_if_tables(known, width, unicode)
    return "\n\n".join("\n".join(shorten(line, width, unicode) for line in part) for part in parts if part) + "\n"


def to_json(known: Bottlenecks) -> str:
    """The same as JSON, indented, with minutes since midnight for times of day and minutes for lengths.

    Args:
        known: what holds the kitchen up.
    """
    return json.dumps({"format": "stationplan bottlenecks", "version": 1, **asdict(known)}, indent=2) + "\n"


def _headline(known: Bottlenecks, plan: Plan | None, width: int, unicode: bool) -> list[str]:
    if plan is not None:
        return headline(plan, width, unicode).split("\n")
    shift = f"from {format_clock(known.opens)} to {format_clock(known.closes)}"
    return wrap(clean(f"{known.name}: no plan is possible {shift}", unicode), width, "  ")


def _utilisation(known: Bottlenecks, finish: int, width: int, unicode: bool) -> list[str]:
    """A row a station or person, a figure each half hour, or each hour and more where the day is long."""
    used = [row for row in known.utilisation if row.total.work]
    name_width = min(_LONGEST_NAME, max((len(clean(row.name, unicode)) for row in used), default=0))
    room = width - name_width - 2 - _TOTAL_COLUMNS
    span = finish - known.first_slot
    fitting = (length for length in _SLOT_MINUTES if -(-span // length) * _SLOT_COLUMNS <= room)
    length = next(fitting, _SLOT_MINUTES[-1])
    grouped = length // _SLOT_MINUTES[0]
    count = -(-max((len(row.slots) for row in used), default=0) // grouped)
    header = ""
    for number in range(0, count, 2):
        moment = known.first_slot + number * length
        header += format_clock(moment % (24 * 60)).ljust(2 * _SLOT_COLUMNS)
    header = header.ljust(count * _SLOT_COLUMNS)
    title = (
        f"how much of its room or time is taken, % of each {'half hour' if grouped == 1 else format_duration(length)}"
    )
    lines = [*wrap(title, width, "  "), f"{'':{name_width}}  {header} in all"]
    for row in used:
        name = shorten(clean(row.name, unicode), name_width, unicode).ljust(name_width)
        cells = "".join(_cell(row.slots[at : at + grouped], unicode) for at in range(0, len(row.slots), grouped))
        lines.append(f"{name}  {cells} {_percent(row.total):>6}")
    lines += _unused(known.utilisation, width, unicode)
    changing = [row for row in used if row.changing]
    if changing:
        told = "; ".join(f"{row.name} {format_duration(row.changing)}" for row in changing)
        lines += wrap(clean(f"besides, heating, cooling or being washed: {told}", unicode), width, "  ")
    return lines


def _cell(slots: Sequence[Slot], unicode: bool) -> str:
    """One figure; a dot where nothing is done, a dash where nobody is there."""
    work, possible = sum(slot.work for slot in slots), sum(slot.possible for slot in slots)
    if not possible:
        text = "-"
    elif not work:
        text = "·" if unicode else "."
    else:
        text = str(max(1, (200 * work + possible) // (2 * possible)))
    return text.rjust(_SLOT_COLUMNS - 1) + " "


def _percent(total: Slot) -> str:
    return f"{max(1, total.percent or 0)} %"


def _unused(rows: Sequence[Utilisation], width: int, unicode: bool) -> list[str]:
    idle = [row.name for row in rows if not row.total.work]
    return wrap(clean(f"not used in this plan: {', '.join(idle)}", unicode), width, "  ") if idle else []


def _chain(known: Bottlenecks, width: int, unicode: bool) -> list[str]:
    whole = sum(share.minutes for share in known.chain)
    names = {Owner.STATION: "{} busy", Owner.PERSON: "{} busy", Owner.AWAY: "break or hours of {}"}
    rows = [
        (
            _OWNERS.get(share.owner) or names[share.owner].format(share.name),
            format_duration(share.minutes),
            f"{(200 * share.minutes + whole) // (2 * whole)} %",
        )
        for share in known.chain
    ]
    return titled(
        "what the time from opening to the finish hangs on", ("", "minutes", "share"), rows, "lrr", width, unicode
    )
