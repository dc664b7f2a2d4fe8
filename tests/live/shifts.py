"""A small shift, and what may have happened of it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from stationplan.network import build
from stationplan.plan.document import Batch, Plan
from stationplan.plan.produce import Effort, produce
from stationplan.plan.so_far import Recorded, so_far_of
from stationplan.scenario import from_plain

LITTLE = Effort(effort=1, seed=1)

SHIFT: dict[str, Any] = {
    "name": "tarts",
    "shift": {"opens": "06:00", "closes": "18:00"},
    "kitchen": {
        "people": [{"name": "Ines"}, {"name": "Odo"}],
        "equipment": [
            {"name": "oven", "kind": "oven", "holds": "2 trays", "heats": "10 C/min"},
            {"name": "mixer", "kind": "mixer", "holds": "10 l", "wash": "5 min"},
            {"name": "rack", "kind": "rack", "holds": "8 trays"},
        ],
    },
    "components": {
        "shell": {
            "makes": "1 tray",
            "steps": [
                {"name": "line", "takes": "6 min", "batch": "2 trays"},
                {"name": "bake", "takes": "16 min", "equipment": "oven at 180 C", "load": "1 min", "unload": "2 min"},
                {"wait": "cool", "at_least": "10 min", "in": "rack"},
            ],
        },
        "cream": {
            "makes": "1 kg",
            "steps": [
                {"name": "whip", "takes": "8 min", "equipment": "mixer", "fills": "4 l per kg", "batch": "1 kg"},
                {"wait": "stand", "at_least": "0 min", "at_most": "40 min"},
            ],
        },
    },
    "products": {
        "tart": {
            "makes": "1 tray",
            "uses": {"shell": "1 tray", "cream": "500 g"},
            "steps": [{"name": "fill", "takes": "5 min", "batch": "2 trays"}],
        }
    },
    "orders": [{"product": "tart", "quantity": 6, "due": "10:00"}],
}


@cache
def planned() -> Plan:
    """A plan of the shift."""
    return produce(build(from_plain(SHIFT)), SHIFT, LITTLE)


def as_planned(plan: Plan, now: int) -> dict[str, Recorded]:
    """What is recorded at some time when everything has gone as planned."""
    return {batch.label: recorded(batch, now) for batch in plan.batches if batch.start <= now}


def recorded(batch: Batch, now: int) -> Recorded:
    """A batch that went as planned."""
    if batch.end <= now:
        return Recorded(batch.label, batch.start, batch.end, batch.end, "lost" if batch.lost else "done")
    return Recorded(batch.label, batch.start, None, batch.end, "running")


def failed(run: Recorded, now: int) -> Recorded:
    """The same batch, lost."""
    return replace(run, end=min(now, run.expected_end), outcome="lost")


def went_on(plan: Plan, runs: dict[str, Recorded], now: int, raw: dict[str, Any] | None = None) -> Plan:
    """The rest of the shift planned anew; the check has passed it."""
    raw = plan.scenario if raw is None else raw
    return produce(build(from_plain(raw), plan.durations, so_far_of(plan, runs.values(), now)), raw, LITTLE)


def batches(plan: Plan) -> dict[str, Batch]:
    """The batches of a plan by label."""
    return {batch.label: batch for batch in plan.batches}


def total(plan: Plan, item: str, step: str, *, given: bool = False) -> float:
    """What all batches of a step take, or give, in the item's base unit."""
    found = [batch for batch in plan.batches if (batch.item, batch.step) == (item, step)]
    return sum(float(b.last) - float(b.first) for b in found if not (given and b.lost))
