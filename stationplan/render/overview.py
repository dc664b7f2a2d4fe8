"""What there is to do before any plan is made: quantities, loads, busy minutes and bounds, as tables of text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.render.lettering import clean, columns, pad, shorten, wrap
from stationplan.scenario.units import format_clock, format_duration

if TYPE_CHECKING:
    from collections.abc import Sequence

    from stationplan.plan.preview import BusyRow, Preview

_GAP = 2
_MOST_NAMED = 20
"""Orders, and people, that are named; the others are counted."""
_LEAST_NAME = 8


def overview(known: Preview, *, width: int, unicode: bool = True) -> str:
    """Show what there is to do, and how soon it can be done at best.

    Args:
        known: quantities, loads, busy minutes and bounds.
        width: most columns of a line, at least 60.
        unicode: whether names may hold more than ASCII.

    Returns:
        Tables with a title each, and the bound on the finish; a line end at the end.
    """
    parts = [[clean(known.name, unicode)], _terms(known, width, unicode)]
    items = [(row.item, row.needed, row.made, row.batches) for row in known.items]
    parts.append(titled("what is made", ("item", "needed", "made", "batches"), items, "lrrr", width, unicode))
    loads = [(row.equipment, row.work, str(row.loads), row.filled) for row in known.loads]
    parts.append(titled("what goes where", ("equipment", "step", "loads", "each"), loads, "llrr", width, unicode))
    parts.append(busy_table(known.busy, known.opens, width, unicode))
    parts.append(_verdict(known, width, unicode))
    return "\n\n".join("\n".join(shorten(line, width, unicode) for line in part) for part in parts if part) + "\n"


def busy_table(rows: Sequence[BusyRow], opens: int, width: int, unicode: bool) -> list[str]:
    """How much work waits for each station and person, and when it is done at the earliest.

    Args:
        rows: the work.
        opens: opening, minutes since midnight of the first day.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.

    Returns:
        A title, a table and a note; nothing without rows.
    """
    busiest = sorted(rows, key=lambda row: (-row.bound, row.resource))
    busy = [(row.resource, _hours(row.busy), _share(row), format_clock(opens + row.bound)) for row in busiest]
    header = ("station or person", "work", "of the shift", "not done before")
    lines = titled("how busy, the tightest first", header, busy, "lrrr", width, unicode)
    if busy:
        note = "work in a station with room for several is a share of its room: half full for 2 h is 1 h"
        lines += wrap(note, width, "  ")
    return lines


def _terms(known: Preview, width: int, unicode: bool) -> list[str]:
    """The times that the input gives, as they were understood."""
    shift = f"{format_clock(known.opens)} to {format_clock(known.closes)}"
    lines = [f"shift: {shift}, {format_duration(known.closes - known.opens)}"]
    for title, entries in (("orders", known.orders), ("people", known.people)):
        more = [f"and {len(entries) - _MOST_NAMED} more"] if len(entries) > _MOST_NAMED else []
        lines.append(f"{title}: {'; '.join([*entries[:_MOST_NAMED], *more])}")
    return [line for text in lines for line in wrap(clean(text, unicode), width, "  ")]


def _hours(minutes: int) -> str:
    """Work is counted in hours, however many: 35 h of work are not a day and 11 hours."""
    hours, rest = divmod(minutes, 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * (bool(rest) or not hours))


def _share(row: BusyRow) -> str:
    """Rounded up: 100 % must not hide that it is too much."""
    return "-" if row.available <= 0 else f"{-(-100 * row.busy // row.available)} %"


def _verdict(known: Preview, width: int, unicode: bool) -> list[str]:
    if known.against and not known.bound:
        return []  # no bound could be worked out
    finish = known.opens + known.bound
    spare = known.closes - finish
    lines = [f"no plan can finish before {format_clock(finish)}, {format_duration(known.bound)} after opening"]
    if known.because:
        lines.append(f"because of {known.because}")
    if spare < 0:
        lines.append(f"! that is {format_duration(-spare)} after closing at {format_clock(known.closes)}")
    return [line for text in lines for line in wrap(clean(text, unicode), width, "  ")]


def titled(
    title: str,
    header: tuple[str, ...],
    rows: Sequence[tuple[str, ...]],
    sides: str,
    width: int,
    unicode: bool,
) -> list[str]:
    """A table under its title, as in :func:`table`; nothing without rows."""
    return [title, *table(header, rows, sides, width, unicode)] if rows else []


def table(
    header: tuple[str, ...], rows: Sequence[tuple[str, ...]], sides: str, width: int, unicode: bool = True
) -> list[str]:
    """A table of text; the columns on the left give way when the width is small.

    Args:
        header: the column titles.
        rows: one text a column.
        sides: ``l`` or ``r`` for each column: which side its texts keep to.
        width: most columns of a line.
        unicode: whether texts may hold more than ASCII.

    Returns:
        The header, a rule, and a line a row.
    """
    texts = [tuple(clean(text, unicode) for text in row) for row in (header, *rows)]
    widths = [max(columns(text) for text in column) for column in zip(*texts, strict=True)]
    spare = width - _GAP * (len(widths) - 1)
    while sum(widths) > spare:
        widest = max((at for at, side in enumerate(sides) if side == "l"), key=lambda at: widths[at])
        if widths[widest] <= _LEAST_NAME:
            break
        widths[widest] -= 1
    lines = [_line(row, widths, sides, unicode) for row in texts]
    lines.insert(1, ("─" if unicode else "-") * min(sum(widths) + _GAP * (len(widths) - 1), width))
    return lines


def _line(row: tuple[str, ...], widths: list[int], sides: str, unicode: bool) -> str:
    found = []
    for text, width, side in zip(row, widths, sides, strict=True):
        short = shorten(text, width, unicode)
        found.append(pad(short, width) if side == "l" else " " * (width - columns(short)) + short)
    return (" " * _GAP).join(found).rstrip()
