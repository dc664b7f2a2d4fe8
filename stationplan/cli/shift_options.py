"""What the commands for a shift that runs have in common."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import click

from stationplan.cli.options import Clock

shift_argument = click.argument("shift", type=click.Path(path_type=Path))
now_option = click.option(
    "--now",
    type=Clock(),
    help="For trying out: take this for the time, such as 09:40 or 'day 2 06:30', instead of the clock on the wall.",
)


def now_of(day: date, told: int | None) -> int:
    """The time, as minutes since midnight of a shift's first day.

    Args:
        day: the first day.
        told: what was given as ``--now``.
    """
    from stationplan.live.moment import minutes_since

    return minutes_since(day, datetime.now()) if told is None else told


def moment() -> str:
    """The wall clock in ISO 8601, with its offset from universal time."""
    return datetime.now().astimezone().isoformat(timespec="seconds")
