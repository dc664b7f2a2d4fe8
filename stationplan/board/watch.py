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

from stationplan.board.planning import Planner, Status
from stationplan.live.errors import LiveError
from stationplan.live.moment import moment_of
from stationplan.live.proposed import proposed_in
from stationplan.live.record import Log, last_number, read
from stationplan.live.standing import as_it_stands
from stationplan.render.board import glance
from stationplan.render.board_choices import choices
from stationplan.render.board_plan import news

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
        choices: what can go wrong just now, as a part of the page.
        news: of the plan, in a sentence to be read out; '' when it holds and none is proposed.
        planning: whether the rest is being planned anew.
        trouble: why it may not be up to date; '' when it is.
    """

    shift: str
    last: int
    chart: str
    minute: int
    standings: Mapping[str, str]
    html: str
    choices: str
    news: str
    planning: Status
    trouble: str = ""


class Watch:
    """Looks at the record of a shift, and wakes whoever waits for news; ``stands`` is the plan as it stands, to draw.

    Args:
        path: the record.
        clock: tells the time of the shift.
        planner: plans the rest of it anew.

    Raises:
        OSError: when the file cannot be read.
        RecordFileError: when it is no record, a newer one, or damaged.
    """

    def __init__(self, path: Path, clock: Clock, planner: Planner) -> None:
        self.path, self.clock, self.planner = path, clock, planner
        self.log: Log = read(path)
        self.sight = self._sight()
        self.closed = False
        self._looking = asyncio.Lock()
        self._news = asyncio.Condition()

    @property
    def now(self) -> float:
        """Seconds since midnight of the first day."""
        return self.clock(self.log.day)

    @property
    def minute(self) -> int:
        """Minutes since midnight of the first day."""
        return int(self.now // 60)

    async def plan_anew(self) -> bool:
        """Begin to plan the rest anew, unless that goes on already; says whether it was begun."""
        begun = self.planner.begin(lambda: self.minute)
        await self.look()
        return begun

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
                await run_in_threadpool(self._read)
                self.planner.heed(self.log, lambda: self.minute)
                sight = await run_in_threadpool(self._seen)
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
        """Wake everybody who waits: there will be no more news, and no plan."""
        await self.planner.close()
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

    def _read(self) -> None:
        if last_number(self.path) != self.log.last:
            self.log = read(self.path)

    def _seen(self) -> Sight:
        seen = (self.sight.last, self.sight.minute, self.sight.planning)
        same = (self.log.last, self.minute, self.planner.status) == seen
        return replace(self.sight, trouble="") if same else self._sight()

    def _sight(self) -> Sight:
        minute, planning = self.minute, self.planner.status
        moment, proposed = moment_of(self.log, minute), proposed_in(self.log)
        self.stands = as_it_stands(moment)
        drawn = self.stands.model_dump_json(exclude={"scenario"})
        return Sight(
            shift=self.log.identity,
            last=self.log.last,
            chart=hashlib.sha256(drawn.encode()).hexdigest(),
            minute=minute,
            standings={label: outlook.standing for label, outlook in moment.forecast.outlooks.items()},
            html=glance(moment, self.log.events, proposed, planning.since, planning.why),
            choices=choices(moment),
            news=news(moment, proposed),
            planning=planning,
        )
