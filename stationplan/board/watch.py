"""Keeping what every screen shows up to date, whoever records: taps, a terminal, another program."""

from __future__ import annotations

import asyncio
import hashlib
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from datetime import date
from pathlib import Path

from starlette.concurrency import run_in_threadpool

from stationplan.live.errors import LiveError
from stationplan.live.moment import moment_of
from stationplan.live.record import Log, last_number, read
from stationplan.live.standing import as_it_stands
from stationplan.render.board import glance

Clock = Callable[[date], float]
"""Seconds since midnight of a shift's first day."""
_EVERY = 0.5
"""Seconds between looks at the file."""


@dataclass(frozen=True)
class Sight:
    """What a screen shows.

    Attributes:
        shift: the identity of the shift.
        last: number of the last entry in its record.
        chart: what of the chart can change, in short, so that it is fetched only when it has.
        minute: for which it was made, since midnight of the first day.
        standings: how each batch stands, by label.
        html: what changes, as a part of the page.
        trouble: why it may not be up to date; '' when it is.
    """

    shift: str
    last: int
    chart: str
    minute: int
    standings: Mapping[str, str]
    html: str
    trouble: str = ""


class Watch:
    """Looks at the record of a shift, and wakes whoever waits for news; ``stands`` is the plan as it stands, to draw.

    Args:
        path: the record.
        clock: tells the time of the shift.

    Raises:
        OSError: when the file cannot be read.
        RecordFileError: when it is no record, a newer one, or damaged.
    """

    def __init__(self, path: Path, clock: Clock) -> None:
        self.path, self.clock = path, clock
        self.log: Log = read(path)
        self.sight = self._sight()
        self.closed = False
        self._looking = asyncio.Lock()
        self._news = asyncio.Condition()

    @property
    def now(self) -> float:
        """Seconds since midnight of the first day."""
        return self.clock(self.log.day)

    def message(self) -> dict[str, object]:
        """What there is to see and what time it is, as data."""
        return {**asdict(self.sight), "now": self.now}

    async def keep(self) -> None:
        """Look again and again, until cancelled."""
        while True:
            await self.look()
            await asyncio.sleep(_EVERY)

    async def look(self) -> None:
        """Look now; what is seen is then up to date, or says why not."""
        async with self._looking:
            try:
                sight = await run_in_threadpool(self._look)
            except (LiveError, OSError) as error:
                sight = replace(self.sight, trouble=f"not up to date: {error}")
            except Exception as error:
                # Whatever it is, no screen may go on as if it were up to date.
                sight = replace(self.sight, trouble=f"not up to date, by an error of this program: {error!r}")
        if sight != self.sight:
            async with self._news:
                self.sight = sight
                self._news.notify_all()

    async def close(self) -> None:
        """Wake everybody who waits: there will be no more news."""
        async with self._news:
            self.closed = True
            self._news.notify_all()

    async def after(self, seen: Sight, seconds: float) -> Sight:
        """Wait for news.

        Args:
            seen: what is known already.
            seconds: how long to wait at most.

        Returns:
            What there is to see now, new or not.
        """
        async with self._news:
            with suppress(TimeoutError):
                async with asyncio.timeout(seconds):
                    await self._news.wait_for(lambda: self.closed or self.sight is not seen)
            return self.sight

    def _look(self) -> Sight:
        if last_number(self.path) != self.log.last:
            self.log = read(self.path)
        same = (self.log.last, int(self.now // 60)) == (self.sight.last, self.sight.minute)
        return replace(self.sight, trouble="") if same else self._sight()

    def _sight(self) -> Sight:
        minute = int(self.now // 60)
        moment = moment_of(self.log, minute)
        self.stands = as_it_stands(moment)
        drawn = self.stands.model_dump_json(exclude={"scenario"})
        return Sight(
            shift=self.log.identity,
            last=self.log.last,
            chart=hashlib.sha256(drawn.encode()).hexdigest(),
            minute=minute,
            standings={label: outlook.standing for label, outlook in moment.forecast.outlooks.items()},
            html=glance(moment, self.log.events),
        )
