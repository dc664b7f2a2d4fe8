"""The check of an exam finds whatever is not alike, out of time, or not what the exam says."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest
from exams import held

from stationplan.plan.check import FaultKind, check_plan
from stationplan.plan.document import Plan
from stationplan.scenario.loader import from_plain

Spoil = Callable[[dict[str, Any]], None]


@pytest.fixture(scope="module", name="good")
def a_plan() -> dict[str, Any]:
    menu = [{"product": "tart", "quantity": 1, "hand_in": "35..60 min", "stands": "20 min"}]
    plan = held(candidates=3, menu=menu, set_up="5 min", clean_down="5 min", may_differ="30 min", starts="every 15 min")
    return plan.model_dump(mode="json")


@pytest.fixture(scope="module", name="alike")
def a_plan_with_one_timeline() -> dict[str, Any]:
    return held(candidates=2).model_dump(mode="json")


def kinds(document: dict[str, Any]) -> set[FaultKind]:
    return {fault.kind for fault in check_plan(Plan.model_validate(document))}


def test_plans_of_exams_are_without_fault(good: dict[str, Any], alike: dict[str, Any]) -> None:
    assert kinds(good) == kinds(alike) == set()


def in_exam(*path: Any, value: Any) -> Spoil:
    """Change a value in the part of the exam."""

    def spoil(document: dict[str, Any]) -> None:
        around: Any = document["exam"]
        for key in path[:-1]:
            around = around[key]
        around[path[-1]] = value

    return spoil


def in_kitchen(document_path: tuple[Any, ...], value: Any) -> Spoil:
    """Change a value in the scenario of the one kitchen."""

    def spoil(document: dict[str, Any]) -> None:
        around: Any = document["scenario"]
        for key in document_path[:-1]:
            around = around[key]
        around[document_path[-1]] = value

    return spoil


SPOILT: dict[str, tuple[Spoil, FaultKind]] = {
    "no exam": (in_exam("scenario", value={}), FaultKind.EXAM_UNCLEAR),
    "a stranger": (in_exam("candidates", 0, "name", value="Nobody"), FaultKind.EXAM_CANDIDATES),
    "no set-up": (in_exam("candidates", 0, "begins", value=485), FaultKind.EXAM_TIMES),
    "longer cooking": (in_exam("candidates", 1, "stops", value=600), FaultKind.EXAM_TIMES),
    "no clean-down": (in_exam("candidates", 2, "leaves", value=575), FaultKind.EXAM_TIMES),
    "another rule for starts": (in_exam("every", "value", value=14), FaultKind.EXAM_STARTS),
    "another number of waves": (in_exam("waves", "value", value=2), FaultKind.EXAM_WAVES),
    "a smaller difference": (in_exam("differ", value={"value": 5, "bound": 0}), FaultKind.EXAM_DIFFERS),
    "a difference that is not allowed": (
        in_exam("scenario", "exam", "may_differ", value="5 min"),
        FaultKind.EXAM_DIFFERS,
    ),
    "the same timeline": (in_exam("differ", value={"value": 0, "bound": 0}), FaultKind.EXAM_DIFFERS),
    "a shorter timeline": (in_exam("timeline", value={"value": 36, "bound": 0}), FaultKind.EXAM_CLAIM),
    "points": (in_exam("points", value={"value": 3, "bound": 0}), FaultKind.EXAM_CLAIM),
    "a bound above its value": (in_exam("every", "bound", value=16), FaultKind.EXAM_CLAIM),
    "helpers who come and go": (in_exam("unproved", value="helpers"), FaultKind.EXAM_CLAIM),
    "fewer workplaces": (in_exam("scenario", "exam", "workplaces", value=2), FaultKind.EXAM_WAVES),
    "an earlier closing": (in_exam("scenario", "shift", "closes", value="09:00"), FaultKind.EXAM_WAVES),
    "a fresher dish": (in_exam("scenario", "exam", "menu", 0, "hand_in", value="59..60 min"), FaultKind.EXAM_HAND_IN),
    "an earlier hand-in": (
        in_exam("scenario", "exam", "menu", 0, "hand_in", value="10..20 min"),
        FaultKind.EXAM_HAND_IN,
    ),
    "another recipe": (
        in_exam("scenario", "products", "tart", "steps", 2, "takes", value="9 min"),
        FaultKind.EXAM_KITCHEN,
    ),
    "another quantity": (in_exam("scenario", "exam", "menu", 0, "quantity", value=2), FaultKind.EXAM_KITCHEN),
    "a shared bench": (in_exam("scenario", "exam", "own", value=[]), FaultKind.EXAM_KITCHEN),
    "a faster oven": (
        in_exam("scenario", "kitchen", "equipment", 0, "heats", value="9 C/min"),
        FaultKind.EXAM_KITCHEN,
    ),
    "a helper": (
        in_exam("scenario", "kitchen", "people", value=[{"name": "Bram"}]),
        FaultKind.EXAM_KITCHEN,
    ),
    "everybody may do everything": (
        in_kitchen(("kitchen", "people", 0, "skills"), ["candidate 2"]),
        FaultKind.EXAM_KITCHEN,
    ),
    "longer hours": (in_kitchen(("kitchen", "people", 0, "hours"), ["08:00-16:00"]), FaultKind.EXAM_KITCHEN),
    "somebody else's bench": (
        in_kitchen(("products", "tart of candidate 1", "steps", 0, "also"), {"bench of candidate 2": "1 place"}),
        FaultKind.EXAM_KITCHEN,
    ),
}  # fmt: skip


@pytest.mark.parametrize(("spoil", "kind"), SPOILT.values(), ids=SPOILT.keys())
def test_what_is_wrong_is_found(good: dict[str, Any], spoil: Spoil, kind: FaultKind) -> None:
    document = copy.deepcopy(good)
    spoil(document)
    assert kind in kinds(document)


def test_a_step_of_ones_own_at_another_minute_is_no_longer_the_same_timeline(alike: dict[str, Any]) -> None:
    document = copy.deepcopy(alike)
    batch = next(b for b in document["batches"] if b["step"] == "plate" and b["item"] == "tart of candidate 2")
    for part in (batch, *batch["hands"]):
        part["start"] += 1
        part["end"] += 1
    assert FaultKind.EXAM_DIFFERS in kinds(document)


def test_a_batch_outside_the_time_of_cooking_is_found(alike: dict[str, Any]) -> None:
    document = copy.deepcopy(alike)
    batch = next(b for b in document["batches"] if b["step"] == "mix")
    batch["start"] = document["exam"]["candidates"][0]["cooks"] - 1
    assert FaultKind.EXAM_TIMES in kinds(document)


def test_an_ordinary_plan_of_the_same_kitchen_makes_no_claim(alike: dict[str, Any]) -> None:
    assert kinds({**alike, "exam": None}) == set()


def test_a_plan_holds_against_the_exam_it_was_made_for(good: dict[str, Any], alike: dict[str, Any]) -> None:
    for document in (good, alike):
        plan = Plan.model_validate(document)
        assert check_plan(plan, from_plain(document["exam"]["scenario"])) == ()


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        (("exam", "set_up"), "6 min", "exam: set_up"),
        (("exam", "late"), {"points": 3}, "exam: late"),
        (("exam", "candidates"), 4, "exam: candidates"),
        (("products", "tart", "steps", 2, "takes"), "9 min", "products"),
        (("shift", "closes"), "17:00", "shift"),
    ],
)
def test_a_changed_exam_is_told_by_what_differs(
    good: dict[str, Any], path: tuple[Any, ...], value: Any, said: str
) -> None:
    changed = copy.deepcopy(good["exam"]["scenario"])
    around: Any = changed
    for key in path[:-1]:
        around = around[key]
    around[path[-1]] = value
    faults = check_plan(Plan.model_validate(good), from_plain(changed))
    assert faults[0].sentence.endswith(f"what differs: {said}.")


def test_an_ordinary_plan_is_none_of_an_exam(alike: dict[str, Any]) -> None:
    plan = Plan.model_validate({**alike, "exam": None})
    assert [fault.kind for fault in check_plan(plan, from_plain(alike["exam"]["scenario"]))] == [FaultKind.EXAM_UNCLEAR]


def test_turns_are_not_said_to_differ_where_only_a_step_of_ones_own_does(alike: dict[str, Any]) -> None:
    document = copy.deepcopy(alike)
    for claim in (0, 1):
        document["exam"]["differ"] = {"value": claim, "bound": 0}
        batch = next(b for b in document["batches"] if b["step"] == "plate" and b["item"] == "tart of candidate 2")
        batch["start"] += 1
        sentences = [fault.sentence for fault in check_plan(Plan.model_validate(document))]
        assert any("of their own" in sentence or "the same timeline" in sentence for sentence in sentences)
        assert not any("Waits for one turn" in sentence for sentence in sentences)
