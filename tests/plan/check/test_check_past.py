"""Plans of which part had happened: nothing of that may be changed, and nothing else may come before."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

from stationplan.network import build
from stationplan.plan.check import FaultKind, check_plan
from stationplan.plan.document import Plan
from stationplan.plan.produce import produce
from stationplan.plan.so_far import so_far_of
from stationplan.scenario import from_plain
from tests.live.shifts import LITTLE, SHIFT, as_planned, batches, failed, planned, went_on

from .spoiling import add, batch, move, put

Change = Callable[[dict[str, Any]], object]


@cache
def lost_in_the_oven() -> Plan:
    """The second load of the oven is burnt, and made again."""
    plan = planned()
    now = batches(plan)["Ab2"].end - 3
    runs = as_planned(plan, now)
    runs["Ab2"] = failed(runs["Ab2"], now)
    return went_on(plan, runs, now)


def found(change: Change) -> set[FaultKind]:
    plan = deepcopy(lost_in_the_oven().model_dump(mode="json"))
    change(plan)
    return {fault.kind for fault in check_plan(Plan.model_validate(plan))}


def begun(plan: dict[str, Any], label: str) -> Any:
    return next(entry for entry in plan["past"]["began"] if entry["label"] == label)


def move_to_the_past(plan: dict[str, Any]) -> None:
    """Start the first batch to come a minute before now."""
    known = {entry["label"] for entry in plan["past"]["began"]}
    first = min((entry for entry in plan["batches"] if entry["label"] not in known), key=lambda entry: entry["start"])
    move(plan, first["label"], plan["past"]["now"] - 1 - first["start"])


def drop_last(plan: dict[str, Any], item: str, step: str) -> None:
    """Leave out the last batch of a step, and count the others without it."""
    mine = [entry for entry in plan["batches"] if (entry["item"], entry["step"]) == (item, step)]
    plan["batches"].remove(max(mine, key=lambda entry: entry["number"]))
    for entry in mine:
        entry["of"] -= 1


def test_the_plan_as_it_is_has_no_fault() -> None:
    assert found(lambda plan: None) == set()


@pytest.mark.parametrize(
    ("change", "kind"),
    [
        (lambda plan: move(plan, "Ab1", 1), FaultKind.PAST_DIFFERS),
        (lambda plan: move(plan, "Aa1", -2), FaultKind.PAST_DIFFERS),
        (lambda plan: plan["batches"].remove(batch(plan, "Aa1")), FaultKind.PAST_DIFFERS),
        (lambda plan: put(batch(plan, "Ab1")["seats"][0], station="rack"), FaultKind.PAST_DIFFERS),
        (lambda plan: put(batch(plan, "Aa1")["hands"][0], person="somebody"), FaultKind.PAST_DIFFERS),
        (lambda plan: put(batch(plan, "Ab2"), lost=False), FaultKind.PAST_DIFFERS),
        (lambda plan: put(batch(plan, "Ab1"), lost=True), FaultKind.PAST_DIFFERS),
        (lambda plan: put(batch(plan, "Ab4"), lost=True), FaultKind.PAST_DIFFERS),
        (lambda plan: put(begun(plan, "Ab1"), size="3"), FaultKind.PAST_DIFFERS),
        (lambda plan: add(plan["past"], now=-9), FaultKind.PAST_DIFFERS),
        (lambda plan: plan["past"]["began"].append(begun(plan, "Ab1")), FaultKind.PAST_DIFFERS),
        (lambda plan: plan["past"]["began"].remove(begun(plan, "Ab1")), FaultKind.BEFORE_NOW),
        (lambda plan: put(plan, past=None), FaultKind.PAST_DIFFERS),
        (move_to_the_past, FaultKind.BEFORE_NOW),
        (lambda plan: drop_last(plan, "shell", "bake"), FaultKind.BATCH_RANGE),
        (lambda plan: drop_last(plan, "shell", "line"), FaultKind.BATCH_RANGE),
        (lambda plan: drop_last(plan, "tart", "fill"), FaultKind.BATCH_RANGE),
        (lambda plan: put(batch(plan, "Ab4"), last="9"), FaultKind.AMOUNT_SURPLUS),
        (lambda plan: put(plan["legend"][0], letters="B"), FaultKind.LEGEND_WRONG),
        (
            lambda plan: plan["past"]["lifted"].append(
                {"before": "Ab4", "after": "Ca4", "position": 0, "rule": "most"},
            ),
            FaultKind.PAST_DIFFERS,
        ),
    ],
)
def test_a_fault_is_found(change: Change, kind: FaultKind) -> None:
    assert kind in found(change)


def test_a_wait_that_is_too_long_is_a_fault_unless_it_was_lifted() -> None:
    plan = planned()
    now = max(batch.end for batch in plan.batches if batch.step == "whip") + 45
    runs = {label: run for label, run in as_planned(plan, now).items() if not label.startswith("C")}
    late = went_on(plan, runs, now).model_dump(mode="json")
    assert late["past"]["lifted"]
    put(late["past"], lifted=[])

    assert {fault.kind for fault in check_plan(Plan.model_validate(late))} == {FaultKind.WAIT_TOO_LONG}


def test_an_oven_has_to_get_hot_from_what_it_was_at() -> None:
    plan = planned()
    [heating] = (change for change in plan.changes if change.kind == "heat")
    now = heating.start + 1
    again = went_on(plan, as_planned(plan, now), now).model_dump(mode="json")
    put(again["past"]["ovens"][0], celsius="20")

    kinds = {fault.kind for fault in check_plan(Plan.model_validate(again))}
    assert kinds & {FaultKind.OVEN_COLD, FaultKind.CHANGE_MISSING}


@cache
def left_over() -> Plan:
    """Six trays of shells in stock: two past their use-by, of two more one is counted on, two have none."""
    raw = deepcopy(SHIFT)
    entries: list[dict[str, Any]] = [{"use_by": "06:20"}, {"use_by": "10:00"}, {}]
    raw["stock"] = [{"item": "shell", "quantity": "2 trays", **entry} for entry in entries]
    so_far = replace(so_far_of(planned(), (), 390), counted={1: Fraction(1)})
    return produce(build(from_plain(raw), so_far=so_far), raw, LITTLE)


def test_stock_is_counted_on_as_long_as_it_can_be_used() -> None:
    assert check_plan(left_over()) == ()
    assert [stock.quantity for stock in left_over().stock] == ["1", "2"]


@pytest.mark.parametrize(
    "change",
    [
        lambda plan: put(plan["past"], left_over=[]),
        lambda plan: put(plan["past"]["left_over"][0], counted="2"),
        lambda plan: put(plan["past"]["left_over"][0], stock=3),
        lambda plan: put(plan["past"]["left_over"][0], stock=4),
        lambda plan: put(plan["past"], now=375),
        lambda plan: put(plan["stock"][0], quantity="2"),
        lambda plan: put(plan["scenario"]["stock"][2], use_by="06:20"),
    ],
)
def test_stock_that_is_or_is_not_counted_on_wrongly_is_found(change: Change) -> None:
    plan = deepcopy(left_over().model_dump(mode="json"))
    change(plan)
    assert FaultKind.STOCK_DIFFERS in {fault.kind for fault in check_plan(Plan.model_validate(plan))}
