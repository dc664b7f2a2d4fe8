"""The banquet at half time: a plan that has been followed to the minute until then."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from stationplan.live.events import Event, Finished, Started
from stationplan.live.record import add_event, create
from stationplan.network import build
from stationplan.plan.document import Batch, Plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import load
from stationplan.scenario.units import format_clock

from .conftest import SCENARIOS

DAY, MOMENT = date(2026, 11, 26), "2026-11-26T10:00:00+01:00"


@dataclass(frozen=True)
class HalfTime:
    """A shift about half time: its record, the time, and the batches by how far they are."""

    path: Path
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


def half_time(folder: Path) -> HalfTime:
    """Plan the banquet with little effort, and work through the first half of the plan."""
    loaded = load(SCENARIOS / "banquet")
    plan = produce(build(loaded.scenario), loaded.raw, Effort(effort=0.1, seed=1, workers=1, gap=0.2))
    now = busiest(plan)
    path = folder / "banquet.shift"
    create(path, plan, DAY, MOMENT)
    events: list[Event] = []
    for batch in plan.batches:
        stations, people = tuple(seat.station for seat in batch.seats), tuple(hand.person for hand in batch.hands)
        if batch.start < now:
            events.append(Started(at=batch.start, who="Ida", label=batch.label, stations=stations, people=people))
        if batch.end <= now:
            events.append(Finished(at=batch.end, who="Ida", label=batch.label))
    for event in sorted(events, key=lambda event: (event.at, event.kind == "started")):
        add_event(path, lambda _, event=event: event, MOMENT)  # type: ignore[misc]
    return HalfTime(path, plan, now)


def busiest(plan: Plan) -> int:
    """The moment within an hour of half time at which most batches run."""
    middle = (plan.opens + plan.finish) // 2
    return max(range(middle - 60, middle + 60), key=lambda now: sum(b.start < now < b.end for b in plan.batches))
