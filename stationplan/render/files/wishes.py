"""What somebody who exports a plan may wish for, whatever the format."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    from stationplan.render.rows import RowKind

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Wishes:
    """How to write a plan; a format says which of these it heeds.

    Attributes:
        date: the day on which the plan's first day falls; without it, there are only times of day.
        timezone: where the kitchen is; without it, times are those of the kitchen's own clock.
        person: for this person only.
        table: this table only.
        rows: what a chart has a row for.
        revised: when the plan was last changed. Files that must tell when they were made tell this, so that the same
            plan gives the same bytes at any time.
    """

    date: date | None = None
    timezone: ZoneInfo | None = None
    person: str | None = None
    table: str | None = None
    rows: RowKind | None = None
    revised: datetime = EPOCH
