"""A shift at half time: a plan that has been followed to the minute until then, and what may happen to it then."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from stationplan.live import record
from stationplan.live.events import Event, Finished, Recorded, Started
from stationplan.live.record import Log
from stationplan.plan.document import Batch, Plan
from stationplan.scenario.units import format_clock

DAY, MOMENT = date(2026, 11, 26), "2026-11-26T10:00:00+01:00"

EVENTS = {
    "started": ["started {next}"],
    "finished": ["finished {running}"],
    "overrunning": ["overrunning {running} +15"],
    "failed": ["failed {running}"],
    "failed after it ended": ["failed {ended}"],
    "out": ["out {idle oven} until +60"],
    "back": ["out {idle oven}", "back {idle oven}"],
    "slower": ["slower convection oven 20%"],
    "away": ["away Corwin until +60"],
    "in": ["away Maude", "in Maude"],
    "late": ["late cocoa butter until +30"],
    "order add": ["order add 24 Weldermere dome", "order cancel 1"],
    "order change": ["order change 1 200 due 16:30"],
    "order cancel": ["order add 20 Weldermere dome", "order cancel {added}"],
    "stock": ["stock 1 tray oat crisp until +120"],
    "note": ["note the flour is damp"],
    "undo": ["overrunning {running} +15", "undo"],
}
"""What may be typed at half time of the banquet, by kind; what stands in braces is in :attr:`HalfTime.names`."""


@dataclass(frozen=True)
class HalfTime:
    """A plan about half time, and the batches by how far they are."""

    plan: Plan
    now: int

    @property
    def clock(self) -> str:
        """The time as it is typed."""
        return format_clock(self.now)

    @property
    def running(self) -> list[Batch]:
        """The batches that run, those in an oven or on a hob first."""
        found = [batch for batch in self.plan.batches if batch.start < self.now < batch.end]
        return sorted(found, key=lambda batch: (not batch.seats, batch.start))

    @property
    def ended(self) -> list[Batch]:
        """The batches that have ended, the last one first."""
        return sorted((b for b in self.plan.batches if b.end <= self.now), key=lambda batch: -batch.end)

    @property
    def to_come(self) -> list[Batch]:
        """The batches that have not begun, the next one first."""
        return sorted((b for b in self.plan.batches if b.start >= self.now), key=lambda batch: batch.start)

    @property
    def names(self) -> dict[str, str]:
        """What the events are about: that depends on the plan, which the solver's version may change."""
        busy = {seat.station for batch in self.running for seat in batch.seats}
        ovens = [station.name for station in self.plan.stations if station.kind == "oven"]
        return {
            "running": self.running[0].label,
            "ended": self.ended[0].label,
            "next": self.to_come[0].label,
            "idle oven": next(oven for oven in ovens if oven not in busy),
            "added": str(len(self.plan.orders) + 1),
        }

    @property
    def events(self) -> tuple[Recorded, ...]:
        """What has happened: everything as planned."""
        found: list[Event] = []
        for batch in self.plan.batches:
            stations, people = tuple(seat.station for seat in batch.seats), tuple(hand.person for hand in batch.hands)
            if batch.start < self.now:
                found.append(Started(at=batch.start, who="Ida", label=batch.label, stations=stations, people=people))
            if batch.end <= self.now:
                found.append(Finished(at=batch.end, who="Ida", label=batch.label))
        found.sort(key=lambda event: (event.at, event.kind == "started"))
        return tuple(Recorded(number, MOMENT, event) for number, event in enumerate(found, 1))

    def log(self, more: Sequence[Event] = ()) -> Log:
        """The record, in memory."""
        events = self.events
        events += tuple(Recorded(number, MOMENT, event) for number, event in enumerate(more, len(events) + 1))
        return Log(DAY, self.plan, self.plan, None, 0, 0, events, len(events), "")

    def write(self, path: Path) -> None:
        """The record as a file, all events at once: one by one, the many of them take long."""
        record.create(path, self.plan, DAY, MOMENT)
        with closing(record._connect(path)) as file:
            [seal] = file.execute("SELECT seal FROM entry").fetchone()
            file.execute("BEGIN")
            for entry in self.events:
                sealed = record._sealed(entry.number, MOMENT, "event", entry.event.model_dump_json(), seal)
                record._insert(file, sealed)
                seal = sealed.seal
            file.execute("COMMIT")


def half_time(plan: Plan) -> HalfTime:
    """The moment within an hour of half time at which most batches run."""
    middle = (plan.opens + plan.finish) // 2
    now = max(range(middle - 60, middle + 60), key=lambda now: sum(b.start < now < b.end for b in plan.batches))
    return HalfTime(plan, now)
