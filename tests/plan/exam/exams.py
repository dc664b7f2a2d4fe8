"""Small exams, as plain data that a test changes in one place, and as scenarios."""

from __future__ import annotations

from typing import Any

from stationplan.plan.document import Plan
from stationplan.plan.exam.hold import hold
from stationplan.plan.produce import Effort
from stationplan.scenario.loader import from_plain
from stationplan.scenario.models import Scenario

EFFORT = Effort(effort=4.0, workers=1)


def raw(*, equipment: list[dict[str, Any]] | None = None, people: Any = (), **exam: Any) -> dict[str, Any]:
    """Candidates who each mix for 5 minutes, bake one tray for 20 in a shared oven and plate for 10.

    ``exam`` changes keys of the exam; None takes one away.
    """
    keys: dict[str, Any] = {
        "candidates": 4,
        "own": ["bench"],
        "menu": [{"product": "tart", "quantity": 1}],
        "time_allowed": "60 min",
        **exam,
    }
    return {
        "name": "Small exam",
        "shift": {"opens": "08:00", "closes": "16:00"},
        "kitchen": {
            "people": list(people),
            "equipment": equipment
            or [
                {"name": "oven", "kind": "oven", "holds": "1 tray", "heats": "100 C/min"},
                {"name": "bench", "kind": "bench"},
            ],
        },
        "products": {
            "tart": {
                "makes": "1 tray",
                "steps": [
                    {"name": "mix", "takes": "5 min", "also": {"bench": "1 place"}},
                    {"name": "bake", "takes": "20 min", "equipment": "oven at 200 C"},
                    {"name": "plate", "takes": "10 min"},
                ],
            }
        },
        "exam": {key: value for key, value in keys.items() if value is not None},
    }


def scenario(**changes: Any) -> Scenario:
    """The scenario of :func:`raw`, checked."""
    return from_plain(raw(**changes))


def held(plain: dict[str, Any] | None = None, *, advise: bool = False, **changes: Any) -> Plan:
    """The plan of an exam."""
    plain = raw(**changes) if plain is None else plain
    return hold(from_plain(plain), plain, EFFORT, advise=advise)


def starts(plan: Plan) -> list[int]:
    """When each candidate begins the set-up, minutes after the first."""
    assert plan.exam is not None
    return [one.begins - plan.exam.candidates[0].begins for one in plan.exam.candidates]
