"""The closest starts with one timeline for all, and the least difference in waits, against answers known beforehand."""

from __future__ import annotations

from itertools import count
from typing import Any

import pytest
from exams import held, raw, starts

from stationplan.plan.check import check_plan
from stationplan.plan.document import Least


@pytest.mark.parametrize(
    ("ovens", "at_a_time", "every"),
    [(1, 1, 20), (2, 2, 20), (3, 3, 20), (2, 1, 10), (4, 1, 5)],
)
def test_starts_are_as_far_apart_as_the_ovens_need(ovens: int, at_a_time: int, every: int) -> None:
    """One oven, one load of 20 minutes each: m ovens take m loads in 20 minutes, and that can be evened out."""
    equipment = [
        {"name": "oven", "kind": "oven", "count": ovens, "holds": "1 tray", "heats": "100 C/min"},
        {"name": "bench", "kind": "bench"},
    ]
    candidates = ovens * 2 + 1
    plan = held(equipment=equipment, candidates=candidates, at_a_time=at_a_time)
    assert plan.exam is not None
    assert plan.exam.every == Least(value=every, bound=every)
    assert plan.exam.differ == Least(value=0, bound=0)
    assert starts(plan) == [number // at_a_time * every for number in range(candidates)]


def pipeline(marks: dict[str, list[int]], candidates: int) -> dict[str, Any]:
    """Candidates who use shared machines for a minute each, one after another without any pause, as a table says."""
    order = sorted((time, machine) for machine, times in marks.items() for time in times)
    steps: list[dict[str, Any]] = []
    for time, machine in order:
        step: dict[str, Any] = {"name": f"use {time}", "takes": "1 min", "equipment": machine, "hands_on": "all"}
        if steps:
            step["after"] = {"step": steps[-1]["name"], "at_most": "0 min"}
        steps.append(step)
    plain = raw(candidates=candidates, own=None)
    plain["kitchen"]["equipment"] = [{"name": machine, "kind": "tool"} for machine in marks]
    plain["products"]["tart"]["steps"] = steps
    return plain


# The reservation table of three stages and eight steps from Hwang, "Advanced Computer Architecture" (McGraw-Hill 1993),
# section 6.1.2, from memory: forbidden latencies 2, 4, 5 and 7; the least constant latency is 3.
TABLE = {"stage one": [1, 6, 8], "stage two": [2, 4], "stage three": [3, 5, 7]}


def constant_latency(marks: dict[str, list[int]], copies: int) -> int:
    """The same answer worked out from the table: no two copies may meet on a machine."""
    forbidden = {abs(one - other) for times in marks.values() for one in times for other in times if one != other}
    return next(every for every in count(1) if not any(every * apart in forbidden for apart in range(1, copies)))


@pytest.mark.parametrize(("candidates", "every"), [(2, 1), (3, 3), (5, 3)])
def test_starts_follow_the_latencies_of_a_pipeline(candidates: int, every: int) -> None:
    assert constant_latency(TABLE, candidates) == every
    plan = held(pipeline(TABLE, candidates))
    assert plan.exam is not None
    assert plan.exam.every == Least(value=every, bound=every)


@pytest.mark.parametrize(("candidates", "differ"), [(2, 20), (3, 40)])
def test_with_one_oven_and_one_start_the_last_waits_for_all_others(candidates: int, differ: int) -> None:
    plan = held(candidates=candidates, starts="together", may_differ="60 min", time_allowed="100 min")
    assert plan.exam is not None
    assert plan.exam.differ == Least(value=differ, bound=differ)


def test_starts_that_are_a_little_too_close_make_up_for_it_with_a_difference() -> None:
    """Every 15 minutes with loads of 20: each waits 5 minutes more than the one before."""
    plan = held(candidates=4, starts="every 15 min", may_differ="30 min")
    assert plan.exam is not None
    assert plan.exam.differ == Least(value=15, bound=15)
    assert check_plan(plan) == ()


def test_the_same_timeline_means_every_step_at_the_same_minute_after_the_start() -> None:
    plan = held(candidates=3)
    assert plan.exam is not None
    cooks = {one.name: one.cooks for one in plan.exam.candidates}
    steps = ("mix", "bake", "plate")
    lines = {
        tuple(
            next(b.start for b in plan.batches if b.item == f"tart of {name}" and b.step == step) - cooks[name]
            for step in steps
        )
        for name in cooks
    }
    assert len(lines) == 1


def test_a_choice_between_the_own_and_the_shared_oven_does_not_spoil_the_timeline() -> None:
    equipment = [
        {"name": "big oven", "kind": "oven", "holds": "1 tray", "heats": "100 C/min"},
        {"name": "small oven", "kind": "oven", "holds": "1 tray", "heats": "100 C/min"},
        {"name": "bench", "kind": "bench"},
    ]
    plain = raw(equipment=equipment, own=["bench", "small oven"], candidates=3)
    plain["products"]["tart"]["steps"][1]["equipment"] = "big oven at 200 C or small oven at 200 C"
    plan = held(plain)
    assert plan.exam is not None
    assert plan.exam.every == Least(value=0, bound=0)


def test_the_same_exam_gives_the_same_plan() -> None:
    changes: dict[str, Any] = {"candidates": 3, "starts": "every 15 min", "may_differ": "30 min"}
    assert held(**changes) == held(**changes)


@pytest.mark.parametrize(("allowed", "waves", "differ"), [("0 min", 2, 0), ("10 min", 1, 1)])
def test_ovens_of_different_speed_do_not_count_as_alike(allowed: str, waves: int, differ: int) -> None:
    """Two who start together at a slow and a fast oven can put in at the same moment, and not take out."""
    plain = raw(candidates=2, starts="together", may_differ=allowed)
    plain["kitchen"]["equipment"] = [
        {"name": name, "kind": "oven", "holds": "1 tray", "heats": "100 C/min"} for name in ("slow oven", "fast oven")
    ] + [{"name": "bench", "kind": "bench"}]
    plain["products"]["tart"]["steps"][1]["equipment"] = [
        {"use": "slow oven at 200 C", "takes": "30 min"},
        {"use": "fast oven at 200 C", "takes": "20 min"},
    ]
    plan = held(plain)
    assert plan.exam is not None
    assert plan.exam.waves.value == waves
    assert plan.exam.differ == Least(value=differ, bound=differ)
