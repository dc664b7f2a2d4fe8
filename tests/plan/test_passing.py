"""What goes from batch to batch."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from functools import cache
from pathlib import Path

import pytest

from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.passing import passings_of
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import load

ROOT = Path(__file__).parents[2]
every_plan = pytest.mark.parametrize(
    "folder",
    ["scenarios/first-shift", "docs/examples/places", "docs/examples/repeat", "docs/examples/wait-between-items"],
)


@cache
def planned(folder: str) -> Plan:
    loaded = load(ROOT / folder)
    return produce(build(loaded.scenario), loaded.raw, Effort(effort=0.2, workers=1))


@every_plan
def test_every_wait_of_the_plan_belongs_to_one_passing(folder: str) -> None:
    plan = planned(folder)
    found = Counter(stay for passing in passings_of(plan) for stay in passing.stays)
    assert found == Counter(plan.stays)


@every_plan
def test_what_is_taken_up_has_left_the_batch_before_and_is_not_too_late(folder: str) -> None:
    plan = planned(folder)
    batches = {batch.label: batch for batch in plan.batches}
    for passing in passings_of(plan):
        if passing.after is not None:
            taken = batches[passing.after].start
            assert batches[passing.before].end <= taken
            assert passing.latest is None or taken <= passing.latest


@every_plan
def test_a_batch_gives_no_more_than_it_is(folder: str) -> None:
    plan = planned(folder)
    given: Counter[tuple[str, str]] = Counter()
    steps = {batch.label: batch.step for batch in plan.batches}
    for passing in passings_of(plan):
        # Several steps may follow one: each gets all of it.
        user = "" if passing.after is None else steps[passing.after]
        given[passing.before, user] += passing.size  # type: ignore[assignment]
    for batch in plan.batches:
        for (label, _), amount in given.items():
            assert label != batch.label or amount <= Fraction(batch.last) - Fraction(batch.first)


def test_the_first_shift_by_hand() -> None:
    passings = {(passing.before, passing.after): passing for passing in passings_of(planned("scenarios/first-shift"))}
    cream = [passing for (before, _), passing in passings.items() if before == "Ca1"]
    # 90 tartlets with 12 g of cream each, in four batches of 23, 23, 22 and 22, to be used within 30 minutes.
    assert sorted((passing.size for passing in cream), reverse=True) == [276, 276, 264, 264]
    [whipped] = [batch for batch in planned("scenarios/first-shift").batches if batch.label == "Ca1"]
    assert {passing.latest for passing in cream} == {whipped.end + 30}
    # Four trays of paste rest in the fridge and are lined one by one.
    assert [passings["Aa1", f"Ab{number}"].size for number in (1, 2, 3, 4)] == [1, 1, 1, 1]
    assert {stay.name for stay in passings["Aa1", "Ab1"].stays} == {"rest paste"}
