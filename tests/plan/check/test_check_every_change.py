"""No small change of a valid plan slips through, but for those that leave it valid."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from stationplan.plan.check import Fault, check_plan
from stationplan.plan.document import Plan
from stationplan.scenario.models import Scenario

from .hand_made import OPENS, SCENARIO, hand_made

Path = tuple[str | int, ...]

SCENARIO_READ = Scenario.model_validate(SCENARIO)
# Not claims about the plan: the scenario it was made from, notes to the reader, and how it was found.
NOT_CHECKED = {"scenario", "warnings", "seed", "format", "version", "durations"}
SKILL_NEEDED = {"spread", "mix", "assemble", "fill"}


def leaves(part: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Every value of a document with the way to it."""
    if isinstance(part, dict):
        for name, inner in part.items():
            if path or name not in NOT_CHECKED:
                yield from leaves(inner, (*path, name))
    elif isinstance(part, list | tuple):
        for place, inner in enumerate(part):
            yield from leaves(inner, (*path, place))
    else:
        yield path, part


# The scenario is handed over beside the plan, so that the plan is quickly copied.
PLAN = {**Plan.model_validate(hand_made()).model_dump(mode="json"), "scenario": {}}
LEAVES = list(leaves(PLAN))
TEXTS = sorted({value for _, value in LEAVES if isinstance(value, str) and value})


def changed(path: Path, value: Any) -> dict[str, Any]:
    """The plan with one value replaced."""
    plan = deepcopy(PLAN)
    spoil(plan, path, value)
    return plan


def is_harmless(path: Path, value: Any) -> bool:
    """Whether the plan is as good after the change as before it.

    - A station may get ready earlier or take longer over it, as long as it stands empty.
    - A bound that is not met may be any number below the value: no plan can show that it is one. The same goes for the
      reasons given for it.
    - What the critical chain hangs on is told to the reader, and not checked.
    - A station that nothing stands on may have any name.
    - Work that asks for no skill may be done by somebody else who is free.
    """
    match path:
        case ("changes", int(place), "start" | "end"):
            change = {**PLAN["changes"][place], path[2]: value}
            begin, end, least = [(OPENS, OPENS + 16, 16), (OPENS + 33, OPENS + 83, 4), (OPENS + 10, OPENS + 16, 6)][
                place
            ]
            return begin <= change["start"] and change["end"] <= end and change["end"] - change["start"] >= least
        case ("tiers", 1, "bound"):
            return bool(value < PLAN["tiers"][1]["value"])
        case ("reasons", 0, "minutes"):
            return bool(value <= PLAN["tiers"][1]["value"])
        case ("reasons", 0, "because") | ("chain", 0, "why" | "on"):
            return True
        case ("chain", 0, "label"):
            return value in {batch["label"] for batch in PLAN["batches"]}
        case ("stations", 1, "name"):
            return value not in {station["name"] for station in PLAN["stations"]}
        case ("batches", int(place), "hands", int(number), "person"):
            hand = PLAN["batches"][place]["hands"][number]
            return PLAN["batches"][place]["step"] not in SKILL_NEEDED and value in free_people(hand)
        case _:
            return False


def free_people(wanted: Any) -> set[str]:
    """Who has nothing to do in the minutes of a hand."""
    hands = [hand for batch in PLAN["batches"] for hand in batch["hands"]]
    busy = {hand["person"] for hand in hands if hand["start"] < wanted["end"] and wanted["start"] < hand["end"]}
    return {"Ada", "Bo"} - busy


def faults_after(path: Path, value: Any) -> tuple[Fault, ...] | None:
    """What the check says of the changed plan, None when it is no plan any more."""
    try:
        plan = Plan.model_validate(changed(path, value))
    except ValidationError:
        return None
    return check_plan(plan, SCENARIO_READ)


@pytest.mark.parametrize("step", [-1, 1])
def test_one_more_or_less_anywhere_is_found(step: int) -> None:
    missed = []
    for path, value in LEAVES:
        if isinstance(value, bool) or not isinstance(value, int | float):
            continue
        faults = faults_after(path, value + step)
        if faults is not None and bool(faults) == is_harmless(path, value + step):
            missed.append((path, value + step, [fault.sentence for fault in faults]))

    assert missed == []


other_values = st.one_of(
    st.integers(-2000, 2000),
    st.sampled_from(TEXTS),
    st.text(max_size=5),
    st.booleans(),
    st.none(),
    st.floats(-50, 300, allow_nan=False).map(lambda number: round(number, 1)),
)


@given(leaf=st.sampled_from(LEAVES), value=other_values)
@settings(max_examples=300, deadline=None, derandomize=True)
def test_another_value_anywhere_is_found(leaf: tuple[Path, Any], value: Any) -> None:
    path, before = leaf
    if value == before:
        return
    faults = faults_after(path, value)
    if faults is not None and Plan.model_validate(changed(path, value)) != Plan.model_validate(PLAN):
        assert bool(faults) != is_harmless(path, value), [fault.sentence for fault in faults]


@given(data=st.data())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_no_document_that_reads_as_a_plan_stops_the_check(data: st.DataObject) -> None:
    plan = deepcopy(PLAN)
    wild = st.one_of(
        st.integers(-(10**12), 10**12),
        st.sampled_from(["", "0", "-1", "1/0", "1e99", "7/2", "x" * 50, *TEXTS]),
        st.sampled_from([float("nan"), float("inf"), None, True, [], {}]),
    )
    for path, _ in data.draw(st.lists(st.sampled_from(LEAVES), min_size=1, max_size=8)):
        spoil(plan, path, data.draw(wild))
    for name in data.draw(st.lists(st.sampled_from(["batches", "stays", "changes", "orders", "tiers", "stations"]))):
        lose_or_double(plan[name], data.draw(st.integers(0, 30)), double=data.draw(st.booleans()))
    try:
        document = Plan.model_validate(plan)
    except ValidationError:
        return

    assert isinstance(check_plan(document, SCENARIO_READ), tuple)


def spoil(plan: dict[str, Any], path: Path, value: Any) -> None:
    part: Any = plan
    for name in path[:-1]:
        part = part[name]
        if not isinstance(part, dict | list):
            return
    part[path[-1]] = value


def lose_or_double(entries: Any, place: int, *, double: bool) -> None:
    if not isinstance(entries, list) or not entries:
        return
    place %= len(entries)
    if double:
        entries.append(entries[place])
    else:
        entries.pop(place)


def scenario_leaves() -> list[tuple[Path, Any]]:
    return list(leaves({"": SCENARIO}))


@given(data=st.data())
@settings(max_examples=150, deadline=None, derandomize=True)
def test_no_scenario_in_a_plan_stops_the_check(data: st.DataObject) -> None:
    plan = {"": deepcopy(SCENARIO)}
    words = [
        "",
        "none",
        "0 g",
        "1 tray",
        "5 min",
        "rack",
        "oven",
        "mixer",
        "cream",
        "slice",
        "nut base",
        "100 %",
        "cut",
    ]
    for path, _ in data.draw(st.lists(st.sampled_from(scenario_leaves()), min_size=1, max_size=3)):
        spoil(plan, path, data.draw(st.one_of(st.integers(0, 1000), st.sampled_from([*words, [], {}, None]))))

    document = Plan.model_validate({**hand_made(), "scenario": plan[""] if isinstance(plan[""], dict) else {}})

    assert isinstance(check_plan(document), tuple)
