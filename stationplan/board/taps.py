"""What a tap says, and how it is recorded: as if somebody had typed it."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from stationplan.live.events import Recorded
from stationplan.live.record import add_event
from stationplan.live.recording import understood
from stationplan.scenario.units.clock import LAST_DAY
from stationplan.scenario.units.durations import MINUTES_PER_DAY


class Tap(BaseModel):
    """A tap on a board.

    Attributes:
        key: made by the board for this tap alone, so that it can be sent again without being recorded again.
        shift: the identity of the shift that it is meant for.
        kind: what was tapped.
        of: the label of a batch; for an undo, the number of the event.
        at: when it was tapped, minutes since midnight of the first day.
        who: whose name was chosen.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    key: str = Field(pattern=r"^[0-9a-f]{32}$")
    shift: str = Field(max_length=100)
    kind: Literal["started", "finished", "+5", "undo"]
    of: str = Field(pattern=r"^\S{1,40}$")
    at: int = Field(ge=0, le=LAST_DAY * MINUTES_PER_DAY)
    who: str = Field(min_length=1, max_length=200)


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
    words = _words(tap, min(tap.at, now))
    moment = datetime.now().astimezone().isoformat(timespec="seconds")
    return add_event(path, lambda log: understood(log, words, now=now, who=tap.who), moment, key=tap.key)


def _words(tap: Tap, at: int) -> list[str]:
    """What somebody would have typed."""
    if tap.kind == "undo":
        return ["undo", tap.of]
    day, minute = divmod(at, MINUTES_PER_DAY)
    when = ["at", "day", str(day + 1), f"{minute // 60:02d}:{minute % 60:02d}"]
    return ["overrunning", tap.of, "+5", *when] if tap.kind == "+5" else [tap.kind, tap.of, *when]
