"""Small kitchens to work through: a person each, machines without hands, times as the test says."""

from __future__ import annotations

from typing import Any

from stationplan.live.course import Course
from stationplan.live.drawing import Chance, lengths, planned
from stationplan.live.following import course_of
from stationplan.live.simulation import Runs, moments, parts_of, run_all, together
from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import from_plain

EQUIPMENT: list[dict[str, Any]] = [
    {"name": "left oven", "kind": "oven", "holds": "1 tray", "starts_at": "180 C"},
    {"name": "right oven", "kind": "oven", "holds": "1 tray", "starts_at": "180 C"},
    {"name": "rack", "kind": "rack", "holds": "2 trays"},
]


def plan_of(
    *steps: dict[str, Any],
    quantity: int = 1,
    due: str | None = None,
    people: list[dict[str, Any]] | None = None,
    durations: Any = "typical",
    closes: str = "20:00",
    equipment: list[dict[str, Any]] | None = None,
) -> Plan:
    """The plan of a kitchen that opens at 06:00 and makes trays of tart."""
    raw = {
        "name": "test",
        "shift": {"opens": "06:00", "closes": closes},
        "kitchen": {"people": people or [{"name": "Ines"}], "equipment": equipment or EQUIPMENT},
        "products": {"tart": {"makes": "1 tray", "steps": list(steps)}},
        "orders": [{"product": "tart", "quantity": quantity, **({"due": due} if due else {})}],
    }
    return produce(build(from_plain(raw), durations), raw, Effort(effort=3, seed=1, workers=1))


def two_orders(due: str = "06:32") -> dict[str, Any]:
    """One person and two products: rusks dry for half an hour when they are made, tarts are due and vary."""
    return {
        "name": "two orders",
        "shift": {"opens": "06:00", "closes": "20:00"},
        "kitchen": {"people": [{"name": "Ines"}], "equipment": []},
        "products": {
            "rusk": {"makes": "1 tray", "steps": [step("cut", "15 min"), {"wait": "dry", "at_least": "30 min"}]},
            "tart": {"makes": "1 tray", "steps": [step("fill", "10..20 min")]},
        },
        "orders": [{"product": "rusk", "quantity": 1}, {"product": "tart", "quantity": 1, "due": due}],
    }


def step(name: str, takes: str, **more: Any) -> dict[str, Any]:
    return {"name": name, "takes": takes, **more}


def bake(name: str, takes: str, oven: str = "left oven", **more: Any) -> dict[str, Any]:
    return step(name, takes, equipment=f"{oven} at 180 C", hands_on="none", **more)


def runs_of(course: Course, runs: int, chance: Chance | None = None) -> Runs:
    return together(run_all(parts_of(course, chance or Chance(), runs)))


def as_planned(plan: Plan, *, early: bool = False) -> dict[str, tuple[float, float]]:
    """Start and end of each batch when everything takes as long as planned."""
    course = planned(course_of(plan, early=early))
    [*at] = moments(course, lengths(course, Chance(), 0, 1), 1)[:, 0]
    return {work.label: (at[work.begin], at[work.end]) for work in course.works}
