"""A batch that went into another oven or bowl than the recipe says: the rest reckons with what that is left at."""

from __future__ import annotations

from typing import Any

from stationplan.live.record import Log
from stationplan.live.replanning import proposal
from stationplan.network import build
from stationplan.plan.document import Batch, Plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import from_plain

from .shifts import batches
from .test_chambers import after

LITTLE = Effort(effort=1, workers=1)


def kitchen(**steps: dict[str, Any]) -> Plan:
    """A tray of each: rusk belongs on the left, wafer on the right."""
    raw = {
        "name": "two sides",
        "shift": {"opens": "06:00", "closes": "12:00"},
        "kitchen": {
            "people": [{"name": "Ada"}],
            "equipment": [
                {"name": "left oven", "kind": "oven", "holds": "1 tray", "starts_at": "200 C", "cools": "4 C/min"},
                {"name": "right oven", "kind": "oven", "holds": "1 tray", "starts_at": "160 C", "cools": "4 C/min"},
                {"name": "left mixer", "kind": "mixer", "holds": "10 l", "wash": "7 min"},
                {"name": "right mixer", "kind": "mixer", "holds": "10 l", "wash": "7 min"},
            ],
        },
        "products": {name: {"makes": "1 tray", "steps": [step]} for name, step in steps.items()},
        "orders": [{"product": name, "quantity": 1} for name in steps],
    }
    return produce(build(from_plain(raw)), raw, LITTLE)


def step(name: str, takes: str, equipment: str, **more: Any) -> dict[str, Any]:
    return {"name": name, "takes": takes, "equipment": equipment, "hands_on": "none", **more}


def replanned(log: Log, now: int) -> dict[str, Batch]:
    return batches(proposal(log, now, LITTLE).replanned.plan)


BAKED = {
    "rusk": step("bake", "20 min", "left oven at 200 C"),
    "wafer": step("dry", "20 min", "right oven at 160 C", load="1 min", unload="1 min"),
}
WHISKED = {
    "rusk": step("beat", "20 min", "left mixer", fills="3 l per tray"),
    "wafer": step("whisk", "20 min", "right mixer", fills="3 l per tray"),
}


def test_an_oven_with_a_batch_of_another_one_has_to_come_to_its_own_temperature_again() -> None:
    plan = kitchen(**BAKED)
    log = after(plan, "started Aa1 on right oven", now=360)
    # 200 C until 06:20, and 40 degrees down at 4 a minute.
    assert replanned(log, 361)["Ba1"].start == 380 + 10


def test_a_bowl_with_a_batch_of_another_one_has_to_be_washed() -> None:
    plan = kitchen(**WHISKED)
    log = after(plan, "started Aa1 on right mixer", now=360)
    assert replanned(log, 361)["Ba1"].start == 380 + 7
