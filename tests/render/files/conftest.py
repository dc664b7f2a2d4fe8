"""Plans to export: real ones, so that what is worked out from their scenarios is there as well."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import from_plain, load

ROOT = Path(__file__).parents[3]
LIMITS = Effort(effort=2, seed=1, workers=1)
AWKWARD = (
    "=HYPERLINK(\"http://x\";'y')",
    "@Zoé, 李; \\Ωmega",
    "+1 crème brûlée à l'“eau” 冷蔵庫 🍐",
    '-2 "fold", spread',
)
"""Names that separators, quotes, formulas, folding or encoding may spoil: a product, a person, a station, a step."""


def awkward() -> dict[str, Any]:
    """A scenario over midnight with such names, waits of three kinds, load, unload and an unattended end."""
    product, person, station, step = AWKWARD
    return {
        "name": 'a,b;"c" ' + "ä" * 40,
        "shift": {"opens": "22:00", "closes": "day 3 06:00"},
        "kitchen": {
            "people": [{"name": person, "breaks": "23:00-23:15"}, {"name": "Odo"}],
            "equipment": [
                {"name": station, "kind": "oven", "holds": "2 trays"},
                {"name": "=rack", "kind": "rack", "holds": "4 trays"},
                {"name": "ring", "kind": "hob"},
            ],
        },
        "ingredients": {"=cream": {"contains": "milk"}, "salt": {"contains": "none"}},
        "components": {
            "-cream": {
                "makes": "1 kg",
                "ingredients": {"=cream": "1 l", "sugar": "1/3 kg", "Salt": "2 g"},
                "steps": [{"name": "boil", "takes": "30 min", "equipment": "ring", "hands_on": "first 5 min"}],
            }
        },
        "products": {
            product: {
                "makes": "1 tray",
                "uses": {"-cream": {"amount": "1/3 kg", "at_most": "10 min"}},
                "steps": [
                    {"name": step, "takes": "10 min"},
                    {
                        "wait": "rest; long", "at_least": "90 min", "at_most": "2 h", "in": "rack",
                        "fills": "1 tray per tray",
                    },
                    {
                        "name": "bake", "takes": "20 min", "equipment": "oven at 180 C", "fills": "1 tray per tray",
                        "load": "1 min", "unload": "1 min",
                    },
                ],
            }
        },
        "orders": [{"product": product, "quantity": 3, "due": "day 2 09:00"}],
    }  # fmt: skip


def days() -> dict[str, Any]:
    """A scenario over three days: nobody works at night, and a dough rests from one day to the next but one."""
    return {
        "name": "three days",
        "shift": {"opens": "06:00", "closes": "day 3 12:00"},
        "kitchen": {
            "people": [{"name": "Ida", "hours": ["06:00-12:00", "day 3 06:00-12:00"], "breaks": ["day 3 06:00-06:10"]}],
            "equipment": [{"name": "cold room", "kind": "chiller", "holds": "4 trays"}],
        },
        "products": {
            "stollen": {
                "makes": "1 tray",
                "ingredients": {"flour": "1 kg"},
                "steps": [
                    {"name": "knead", "takes": "20 min"},
                    {"wait": "rest", "at_least": "30 h", "in": "chiller", "fills": "1 tray per tray"},
                    {"name": "shape", "takes": "10 min"},
                ],
            }
        },
        "orders": [{"product": "stollen", "quantity": 1}],
    }


MADE_HERE = {"awkward": awkward, "days": days}


@cache
def plan_of(name: str) -> Plan:
    """A plan that has passed the check."""
    if name in MADE_HERE:
        raw = MADE_HERE[name]()
        return produce(build(from_plain(raw)), raw, LIMITS)
    loaded = load(ROOT / name)
    return produce(build(loaded.scenario), loaded.raw, LIMITS)


@pytest.fixture(params=["scenarios/first-shift", "docs/examples/shift-overnight", "days", "awkward"])
def plan(request: pytest.FixtureRequest) -> Plan:
    return plan_of(request.param)


@pytest.fixture(name="awkward_plan")
def awkward_one() -> Plan:
    return plan_of("awkward")
