"""Cells of tables as text."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from fractions import Fraction

from stationplan.render.files.tables import Moment


def instant(minute: int, day: date) -> datetime:
    """A moment on the kitchen's own clock.

    Args:
        minute: minutes since midnight of the first day.
        day: the first day.
    """
    return datetime.combine(day, time()) + timedelta(minutes=minute)


def moment_text(moment: Moment, day: date | None, between: str) -> str:
    """A moment as ISO 8601 writes it: ``2026-03-14T06:10``, or ``06:10`` where the day is not known.

    Args:
        moment: the moment.
        day: the first day, if it is known.
        between: what stands between date and time; RFC 3339 (section 5.6) allows a blank for ``T``.
    """
    if day is None:
        return instant(moment.minute, date.min).strftime("%H:%M")
    return instant(moment.minute, day).isoformat(between, "minutes")


def words(cell: str | bool | tuple[str, ...]) -> str:
    """Text, names with semicolons between, or yes and no."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    return cell if isinstance(cell, str) else "; ".join(cell)


def number(value: Fraction | int | float) -> int | float:
    """A number as other programs hold it: whole where it is whole, else with at most six decimals."""
    return int(value) if value == int(value) else round(float(value), 6)
