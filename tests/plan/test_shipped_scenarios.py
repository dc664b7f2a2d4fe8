"""Every scenario that ships is planned through the pooled and the exact model, and its plan passes the check."""

from __future__ import annotations

from pathlib import Path

import pytest

from stationplan.network import build
from stationplan.plan.errors import ImpossibleError
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import load

SCENARIOS = Path(__file__).parents[2] / "scenarios"


def test_the_first_shift_is_proved() -> None:
    loaded = load(SCENARIOS / "first-shift")
    plan = produce(build(loaded.scenario), loaded.raw, Effort(effort=20))
    assert plan.status == "proved"
    assert all(tier.bound <= tier.value for tier in plan.tiers)


@pytest.mark.parametrize(("name", "fewest"), [("banquet", 150), ("pastry-counter", 300)])
def test_a_working_shift_has_a_checked_plan_and_a_bound_after_a_little_work(name: str, fewest: int) -> None:
    loaded = load(SCENARIOS / name)
    plan = produce(build(loaded.scenario), loaded.raw, Effort(effort=0.1))
    assert len(plan.batches) >= fewest
    makespan = next(tier for tier in plan.tiers if tier.name == "makespan")
    assert 0 < makespan.bound <= makespan.value <= plan.closes - plan.opens


def test_the_rented_hall_is_impossible_because_of_its_oven() -> None:
    loaded = load(SCENARIOS / "rented-hall")
    with pytest.raises(ImpossibleError, match="hall oven"):
        produce(build(loaded.scenario), loaded.raw, Effort(effort=20))
