"""Small plans: solved, or written down by hand from the starts of their batches."""

from __future__ import annotations

from typing import Any

from stationplan.engine import Assignment, Result, Schedule, Status, Tier, TierName, solve
from stationplan.engine.verify import evaluate, verify
from stationplan.network import Network, build
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.plan.make import make
from stationplan.plan.timeline import Timeline
from stationplan.scenario.models import Scenario

PEOPLE: list[dict[str, Any]] = [
    {"name": "Ines", "skills": ["pastry"]},
    {"name": "Odo", "skills": ["pastry"]},
    {"name": "Ada"},
]
EQUIPMENT: list[dict[str, Any]] = [
    {"name": "oven", "kind": "oven", "count": 2, "holds": "2 trays", "cools": "5 C/min", "settings": ["fan"]},
    {"name": "mixer", "kind": "mixer", "count": 2, "holds": "10 l"},
    {"name": "washed mixer", "kind": "mixer", "holds": "10 l", "wash": "5 min"},
    {"name": "rack", "kind": "rack", "holds": "4 trays"},
    {"name": "freezer", "kind": "freezer", "holds": "2 trays"},
]  # fmt: skip


def raw(
    *steps: dict[str, Any],
    quantity: int = 1,
    people: list[dict[str, Any]] | None = None,
    components: dict[str, Any] | None = None,
    **more: Any,
) -> dict[str, Any]:
    """A scenario from 06:00 to 20:00 that makes trays of 'tart'; ``more`` is of the product or the scenario."""
    orders = more.pop("orders", [{"product": "tart", "quantity": quantity}])
    equipment = more.pop("equipment", EQUIPMENT)
    return {
        "name": "test",
        "shift": {"opens": "06:00", "closes": "20:00"},
        "kitchen": {"people": people or PEOPLE, "equipment": equipment},
        "components": components or {},
        "products": {"tart": {"makes": "1 tray", "steps": list(steps), **more}},
        "orders": orders,
    }


def step(name: str, takes: str = "10 min", **more: Any) -> dict[str, Any]:
    return {"name": name, "takes": takes, **more}


def wait(name: str, at_least: str = "0 min", **more: Any) -> dict[str, Any]:
    return {"wait": name, "at_least": at_least, **more}


def by_hand(scenario: dict[str, Any], on: dict[str, tuple[str, ...]] | None = None, **starts: int) -> Timeline:
    """A schedule by the starts of its tasks, in minutes after opening.

    Each task is on the first resource it may use, or on those named in ``on``. The engine's own
    verification has passed it. A move is named by its label with ``_`` for everything but letters and digits.
    """
    network = build(Scenario.model_validate(scenario))
    names = [resource.name for resource in network.problem.resources]
    assignments = []
    for task in network.problem.tasks:
        key = "".join(letter if letter.isalnum() else "_" for letter in task.name)
        wanted = [names.index(name) for name in (on or {}).get(task.name, ())]
        mode, resources = next(
            (number, tuple(next((w for w in wanted if w in use.resources), use.resources[0]) for use in mode.uses))
            for number, mode in enumerate(task.modes)
            if not wanted or any(set(wanted) & set(use.resources) for use in mode.uses)
        )
        assignments.append(Assignment(starts[key], mode, resources))
    schedule = Schedule(tuple(assignments), tuple(hold.resources[0] for hold in network.problem.holds))
    assert verify(network.problem, schedule) == ()
    return Timeline(network, schedule)


def result_of(timeline: Timeline, proved: bool = True) -> Result:
    """A result with this schedule; unless proved, every bound but that of the lateness is 0."""
    cost = evaluate(timeline.network.problem, timeline.schedule)
    values = (cost.lateness, cost.makespan, cost.tidiness)
    tiers = tuple(Tier(name, value, value if proved else 0) for name, value in zip(TierName, values, strict=True))
    return Result(Status.OPTIMAL if proved else Status.FEASIBLE, timeline.schedule, tiers, ())


def plan_by_hand(scenario: dict[str, Any], on: dict[str, tuple[str, ...]] | None = None, **starts: int) -> Plan:
    timeline = by_hand(scenario, on, **starts)
    return checked(make(timeline.network, result_of(timeline), scenario, durations="longest", seed=0))


def solved(scenario: dict[str, Any]) -> tuple[Network, Plan]:
    network = build(Scenario.model_validate(scenario))
    result = solve(network.problem, effort=5, seed=1, workers=1)
    return network, checked(make(network, result, scenario, durations="longest", seed=1))


def checked(plan: Plan) -> Plan:
    """The plan, once the independent check has passed it."""
    assert [fault.sentence for fault in check_plan(plan)] == []
    return plan
