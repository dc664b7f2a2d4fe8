"""What a tap says, and how it is recorded: as if somebody had typed it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from stationplan.live.events import Event, Recorded
from stationplan.live.proposed import Decision, decided
from stationplan.live.record import Log, add_event
from stationplan.live.recording import understood
from stationplan.scenario.units.clock import LAST_DAY
from stationplan.scenario.units.durations import MINUTES_PER_DAY

Word = Literal["started", "finished", "failed", "out", "back", "away", "in", "undo"]
"""A word of the record that is followed by what it is about and nothing else."""


class Tap(BaseModel):
    """A tap on a board.

    Attributes:
        key: made by the board for this tap alone, so that it can be sent again without being recorded again.
        shift: the identity of the shift that it is meant for.
        kind: what was tapped; ``typed`` for what was written out.
        of: the label of a batch, the name of somebody or of equipment, the number of an event or a plan; the line that
            was typed.
        at: when it was tapped, minutes since midnight of the first day.
        who: whose name was chosen.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    key: str = Field(pattern=r"^[0-9a-f]{32}$")
    shift: str = Field(max_length=100)
    kind: Word | Decision | Literal["+5", "typed"]
    of: str = Field(min_length=1, max_length=300)
    at: int = Field(ge=0, le=LAST_DAY * MINUTES_PER_DAY)
    who: str = Field(min_length=1, max_length=200)


class Wish(BaseModel):
    """That the rest of a shift be planned anew; ``shift`` is its identity."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    shift: str = Field(max_length=100)


def record(path: Path, tap: Tap, now: int) -> Recorded:
    """Record a tap, or find it recorded already.

    Args:
        path: the record of the shift.
        tap: the tap.
        now: minutes since midnight of the first day.

    Returns:
        The event.

    Raises:
        EventError: when it cannot be.
        OSError: when the file cannot be read.
        RecordFileError: when it is no record, a newer one, or damaged.
        NotRecordedError: when it could not be written.
    """
    # However far off the tablet's idea of the time is, nothing was tapped later than it arrived.
    at = min(tap.at, now)
    moment = datetime.now().astimezone().isoformat(timespec="seconds")
    return add_event(path, lambda log: _event(log, tap, at), moment, key=tap.key)


def _event(log: Log, tap: Tap, at: int) -> Event:
    """What somebody would have recorded who had typed it at that time."""
    if tap.kind in ("accept", "leave"):
        number = int(tap.of) if tap.of.isascii() and tap.of.isdecimal() else 0
        return decided(log, tap.kind, number, at=at, who=tap.who)
    line = {"+5": f"overrunning {tap.of} +5", "typed": tap.of}.get(tap.kind, f"{tap.kind} {tap.of}")
    return understood(log, line.split(), now=at, who=tap.who)
