"""A plan to work from, and a shift that works from it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from stationplan.live.events import Recorded
from stationplan.live.record import Log, add_event, create, read
from stationplan.live.recording import understood
from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import load

DAY = date(2026, 11, 26)
MOMENT = "2026-11-26T06:00:00+01:00"
FIRST_SHIFT = Path(__file__).parents[2] / "scenarios" / "first-shift"


@pytest.fixture(scope="session")
def plan() -> Plan:
    """A plan of the first shift: 25 batches, one oven, one mixer, Tamsin and Odo."""
    loaded = load(FIRST_SHIFT)
    return produce(build(loaded.scenario), loaded.raw, Effort(effort=2, workers=1))


@pytest.fixture
def shift(plan: Plan, tmp_path: Path) -> Path:
    """The record of a shift in which nothing has happened yet."""
    path = tmp_path / "morning.shift"
    create(path, plan, DAY, MOMENT)
    return path


Tell = Callable[..., Recorded]


@pytest.fixture
def tell(shift: Path) -> Tell:
    """Records what somebody types at a time, such as ``tell("started Aa1", now=360)``."""

    def record(words: str, *, now: int) -> Recorded:
        return add_event(shift, lambda log: understood(log, [words], now=now, who="Ida"), MOMENT)

    return record


@pytest.fixture
def log(shift: Path) -> Callable[[], Log]:
    """Reads the record."""
    return lambda: read(shift)
