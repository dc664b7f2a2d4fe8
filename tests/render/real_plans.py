"""Real plans to render: made as a user's would be, but with little effort."""

from __future__ import annotations

from copy import deepcopy
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from stationplan.network import build
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import from_plain, load

if TYPE_CHECKING:
    from stationplan.plan.document import Plan

ROOT = Path(__file__).parents[2]

MORNING: dict[str, Any] = {
    "name": "Quay morning",
    "shift": {"opens": "06:00", "closes": "12:00"},
    "kitchen": {
        "people": [
            {"name": "Ada", "skills": ["pastry"], "breaks": ["06:28-06:36"]},
            {"name": "Ben", "skills": ["oven"]},
        ],
        "equipment": [
            {"name": "mixer", "kind": "mixer", "holds": "10 l", "wash": "4 min"},
            {"name": "deck oven", "kind": "oven", "holds": "2 trays", "heats": "10 C/min"},
            {"name": "fridge", "kind": "chiller", "holds": "4 trays"},
            {"name": "rack", "kind": "rack", "holds": "4 trays"},
        ],
    },
    "components": {
        "rye paste": {
            "makes": "1 tray",
            "ingredients": {"rye flour": "200 g", "butter": "100 g"},
            "steps": [
                {
                    "name": "mix paste",
                    "takes": "6 min",
                    "equipment": "mixer",
                    "fills": "1 l per tray",
                    "people": "1 pastry",
                },
                {"wait": "rest paste", "at_least": "20 min", "at_most": "3 h", "in": "fridge"},
                {
                    "name": "bake paste",
                    "takes": "10 min",
                    "equipment": "oven at 170 C",
                    "load": "1 min",
                    "unload": "1 min",
                    "people": "1 oven",
                    "hands_on": "none",
                },
                {"wait": "cool paste", "at_least": "10 min", "in": "rack"},
            ],
        },
        "plum cream": {
            "makes": "500 g",
            "ingredients": {"plums": "300 g", "cream": "200 g"},
            "steps": [
                {
                    "name": "whip plum cream",
                    "takes": "8 min",
                    "equipment": "mixer",
                    "fills": "2 l per kg",
                    "hands_on": "first 2 min and last 1 min",
                    "people": "1 pastry",
                },
            ],
        },
    },
    "products": {
        "quay slice": {
            "makes": "1 tray",
            "uses": {"rye paste": "1 tray", "plum cream": {"amount": "500 g", "at_most": "15 min"}},
            "steps": [{"name": "spread and cut", "takes": "7 min per tray", "people": "1 pastry"}],
        }
    },
    "orders": [{"product": "quay slice", "quantity": 2, "due": "08:00"}],
}
"""Invented, and so small that only one plan is as good as can be."""


def plan_of(scenario: dict[str, Any], effort: float = 1.0, seed: int = 0) -> Plan:
    """The plan of a scenario in plain data."""
    return produce(build(from_plain(scenario)), scenario, Effort(effort=effort, workers=1, seed=seed))


@cache
def morning() -> Plan:
    """The plan of :data:`MORNING`."""
    return plan_of(MORNING)


@cache
def planned(folder: str) -> Plan:
    """A plan of a scenario that comes with the project; far from the shortest, if that is hard to find."""
    return plan_of(load(ROOT / folder).raw, effort=0.2)


def renamed(scenario: dict[str, Any], names: dict[str, str]) -> dict[str, Any]:
    """The scenario with other names, wherever they stand alone."""

    def changed(part: Any) -> Any:
        if isinstance(part, dict):
            return {names.get(key, key): changed(value) for key, value in part.items()}
        if isinstance(part, list):
            return [changed(value) for value in part]
        return names.get(part, part) if isinstance(part, str) else part

    return changed(deepcopy(scenario))
