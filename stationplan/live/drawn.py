"""A shift as a plan document to draw, with what no plan has: a present, and a past that went otherwise."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from stationplan.plan.document import Plan

Standing = Literal["done", "lost", "running", "late", "waiting", "blocked"]
"""What has become of a batch. 'late': it should have begun and nothing hinders it; 'waiting': its time has not come, or
something keeps it; 'blocked': it cannot begin until somebody does something about it."""


class Drawn(Plan):
    """A plan in which everything is where it was or is expected: to be drawn, and never checked as a plan.

    Attributes:
        now: minutes since midnight of the first day.
        standings: what has become of each batch, by label.
        planned: when each batch that has begun was to begin, by label.
        absences: when people were recorded as away, from and until.
    """

    now: int = Field(exclude=True)
    standings: dict[str, Standing]
    planned: dict[str, int]
    absences: dict[str, tuple[tuple[int, int], ...]]
