"""Ways to reach into the plan made by hand and spoil it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from stationplan.plan.check import FaultKind, check_plan
from stationplan.plan.document import Plan

from .hand_made import hand_made

Change = Callable[[dict[str, Any]], object]


def batch(plan: dict[str, Any], label: str) -> Any:
    return next(entry for entry in plan["batches"] if entry["label"] == label)


def stay(plan: dict[str, Any], before: str, after: str | None, position: int = 0) -> Any:
    wanted = (before, after, position)
    return next(entry for entry in plan["stays"] if (entry["before"], entry["after"], entry["position"]) == wanted)


def tier(plan: dict[str, Any], name: str) -> Any:
    return next(entry for entry in plan["tiers"] if entry["name"] == name)


def equipment(plan: dict[str, Any], name: str) -> Any:
    return next(entry for entry in plan["scenario"]["kitchen"]["equipment"] if entry["name"] == name)


def step(plan: dict[str, Any], item: str, name: str) -> Any:
    found = {**plan["scenario"]["components"], **plan["scenario"]["products"]}[item]
    return next(entry for entry in found["steps"] if name in (entry.get("name"), entry.get("wait")))


def move(plan: dict[str, Any], label: str, minutes: int) -> None:
    """Move a batch with all its seats and hands."""
    moved = batch(plan, label)
    for part in (moved, *moved["seats"], *moved["hands"]):
        part["start"] += minutes
        part["end"] += minutes


def put(entry: Any, **values: Any) -> None:
    entry.update(values)


def add(entry: Any, **values: Any) -> None:
    for name, value in values.items():
        entry[name] += value


def assert_found(change: Change, expected: set[FaultKind]) -> None:
    """The check must find these kinds of fault in the changed plan, and no other."""
    plan = hand_made()
    change(plan)

    faults = check_plan(Plan.model_validate(plan))

    assert {fault.kind for fault in faults} == expected, "\n".join(fault.sentence for fault in faults)
