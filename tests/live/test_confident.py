"""Slack that makes a plan as sure as it is wanted to be, and what it costs."""

from __future__ import annotations

from typing import Any

import pytest
from scipy.stats import triang

from stationplan.live.confident import Confident, with_slack
from stationplan.network import build
from stationplan.plan.produce import Effort, search
from stationplan.render.simulation import confidence
from stationplan.scenario import from_plain

from .kitchen import step, two_orders

LIMITS = Effort(effort=3, seed=1, workers=1)


def looked_for(raw: dict[str, Any], wanted: float) -> Confident:
    network = build(from_plain(raw), "typical")
    return with_slack(network, raw, search(network, LIMITS), wanted, lambda changed: search(changed, LIMITS))


def test_an_order_that_may_be_late_is_made_sooner_at_the_cost_of_the_finish() -> None:
    found = looked_for(two_orders(), 0.95)
    # Without slack the tart comes second, from 06:15 on: in time when it takes 17 minutes at most.
    [(_, without)] = found.without.shares
    assert without.value == pytest.approx(float(triang(0.5, 10, 10).cdf(17)), abs=0.03)
    assert found.reached
    assert [share.value for _, share in found.found.shares] == [1.0]
    assert (found.without.plan.finish, found.found.plan.finish) == (405, 420)
    assert found.found.plan.orders[1].due == 392
    # No plan that is no later ends before 06:45: that is still known, and that this one does not is told.
    [makespan] = [tier for tier in found.found.plan.tiers if tier.name == "makespan"]
    assert (makespan.value, makespan.bound, makespan.proved) == (60, 45, False)


def test_nothing_is_changed_where_it_is_sure_enough() -> None:
    found = looked_for(two_orders(), 0.7)
    assert found.reached
    assert found.found is found.without


def test_what_cannot_be_reached_is_not_claimed() -> None:
    # From opening on it takes up to 20 minutes, whatever the plan.
    found = looked_for(two_orders(due="06:17"), 0.95)
    assert not found.reached
    assert found.found.least == pytest.approx(float(triang(0.5, 10, 10).cdf(17)), abs=0.03)


def test_without_due_times_everything_is_in_time() -> None:
    raw = two_orders()
    del raw["orders"][1]["due"]
    assert looked_for(raw, 0.9).found.least == 1.0


def soaked() -> dict[str, Any]:
    """Rusks are soaked for a minute by themselves, and then must be cut within two."""
    raw = two_orders(due="06:33")
    raw["products"]["rusk"]["steps"] = [
        step("soak", "1 min", hands_on="none"),
        {"wait": "swell", "at_least": "0 min", "at_most": "2 min"},
        step("cut", "15 min"),
        {"wait": "dry", "at_least": "30 min"},
    ]
    return raw


def test_a_wait_that_slack_makes_too_long_is_told_of_with_its_chances() -> None:
    """Closed form: with slack the tart comes first, planned 06:00-06:15, and the rusks are soaked until just then.

    The wait is too long when the tart takes more than two minutes longer than planned, less what it waits as planned.
    """
    found = looked_for(soaked(), 0.95)
    batches = {batch.step: batch for batch in found.found.plan.batches}
    assert batches["fill"].end <= batches["cut"].start
    [wait] = found.waits
    assert (wait.now.item, wait.now.name, wait.now.allowed, wait.before.value) == ("rusk", "swell", 2, 0)
    longest = batches["soak"].end + 2 - batches["fill"].start
    assert wait.now.share.value == pytest.approx(1 - float(triang(0.5, 10, 10).cdf(longest)), abs=0.03)
    told = confidence(found, 200)
    assert "! with slack rusk: swell (" in told
    assert "lasts longer than its most of 2 min in " in told
    assert "of the runs; without it in 0 %" in told


def test_no_wait_is_told_of_where_there_is_no_slack() -> None:
    found = looked_for(soaked(), 0.5)
    assert (found.found.slack, found.waits) == ((0,), ())
