"""A shift of which a part is over, and the rest worked through many times."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from scipy.stats import triang

from stationplan.live.drawing import Chance, Shape
from stationplan.live.figures import simulate
from stationplan.live.following import course_of
from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import produce
from stationplan.plan.so_far import Recorded, so_far_of
from stationplan.scenario import from_plain
from stationplan.scenario.units import ClockSpan

from .kitchen import as_planned, bake, plan_of, runs_of, step
from .shifts import LITTLE, failed, planned, recorded, went_on
from .shifts import as_planned as gone_as_planned
from .some_shifts import some_pasts, some_shifts

RUNS = 8000


def rest_of(plan: Plan, runs: list[Recorded], now: int) -> Plan:
    """The rest of a plan after what was recorded."""
    network = build(from_plain(plan.scenario), plan.durations, so_far_of(plan, runs, now))
    return produce(network, plan.scenario, LITTLE)


@pytest.mark.parametrize("shape", ["triangular", "uniform"])
@pytest.mark.parametrize("lasted", [4, 13, 17])
def test_what_runs_takes_what_is_left_of_its_range(shape: Shape, lasted: int) -> None:
    """Closed form: the time T between 10 and 20 minutes, given that T is more than what it has lasted."""
    plan = plan_of(step("fill", "10..20 min"), due="06:18")
    rest = rest_of(plan, [Recorded("Aa1", 360, None, 375 if lasted < 15 else 360 + lasted, "running")], 360 + lasted)
    course = course_of(rest)
    [work] = course.works
    least, most = work.least, work.most
    at = runs_of(course, RUNS, Chance(shape)).finish - 360
    assert at.min() >= lasted
    whole = triang(0.5, least, most - least) if shape == "triangular" else None

    def below(minutes: float) -> float:
        if whole is not None:
            return float(whole.cdf(minutes))
        return min(max((minutes - least) / (most - least), 0.0), 1.0)

    for minutes in (14.5, 16.0, 18.0, 19.5):
        share = max(0.0, (below(minutes) - below(lasted)) / (1 - below(lasted)))
        # Three standard errors of 8000 runs are below 0.017.
        assert float(np.mean(at <= minutes)) == pytest.approx(share, abs=0.02)


def test_one_task_that_runs_has_the_mean_of_what_is_left() -> None:
    """Closed form: uniform between 10 and 20 minutes and over 14 already is uniform between 14 and 20, mean 17."""
    plan = plan_of(step("fill", "10..20 min"), step("box", "2 min"), due="06:20")
    rest = rest_of(plan, [Recorded("Aa1", 360, None, 375, "running")], 374)
    found = simulate("rest", course_of(rest, early=True), Chance("uniform"), RUNS, early=True, closes=1200)
    assert found.now == 374
    assert (found.batches, found.varying) == (2, 1)
    made = runs_of(course_of(rest, early=True), RUNS, Chance("uniform")).finish
    assert float(made.mean()) == pytest.approx(360 + 17 + 2, abs=0.1)
    assert found.in_time is not None
    # Filled within 18 minutes: 4 of the 6 that are left.
    assert found.in_time.value == pytest.approx(4 / 6, abs=0.02)


def test_what_is_over_its_range_is_expected_now() -> None:
    plan = plan_of(step("fill", "10..20 min"))
    rest = rest_of(plan, [Recorded("Aa1", 360, None, 375, "running")], 395)
    made = runs_of(course_of(rest), 50)
    assert set(made.finish.tolist()) == {395.0}


def test_what_was_done_stays_as_it_was_whatever_is_drawn() -> None:
    plan = plan_of(step("mix", "10..20 min"), bake("bake", "30..40 min"))
    rest = rest_of(plan, [Recorded("Aa1", 360, 365, 375, "done"), Recorded("Ab1", 365, None, 400, "running")], 380)
    course = course_of(rest)
    assert [work.label for work in course.works] == ["Ab1"]
    finish = runs_of(course, RUNS).finish
    assert (finish.min() >= 365 + 30, finish.max() <= 365 + 40) == (True, True)
    assert float(finish.mean()) == pytest.approx(400, abs=0.2)


@pytest.mark.parametrize("now", [365, 380, 400, 430, 460])
@pytest.mark.parametrize("early", [False, True])
def test_the_rest_is_kept_to_the_minute_when_everything_takes_as_long_as_planned(now: int, early: bool) -> None:
    plan = planned()
    rest = went_on(plan, gone_as_planned(plan, now), now)
    done = {b.label for b in plan.batches if b.end <= now}
    found = as_planned(rest, early=early)
    expected = {b.label: (b.start, b.end) for b in rest.batches if b.label not in done}
    if early:
        assert all(start <= expected[label][0] for label, (start, _) in found.items())
    else:
        assert found == expected


def test_an_oven_that_is_out_of_use_is_heated_from_cold_and_no_longer() -> None:
    plan = planned()
    first = min((b for b in plan.batches if b.step == "bake"), key=lambda b: b.start)
    now = first.start - 2
    raw = deepcopy(plan.scenario)
    raw["kitchen"]["equipment"][0]["out_of_use"] = [str(ClockSpan(now, now + 30))]
    rest = went_on(plan, gone_as_planned(plan, now), now, raw)
    found = as_planned(rest)
    baked = {b.label: (b.start, b.end) for b in rest.batches if b.step == "bake"}
    # By hand: 160 degrees at 10 a minute are 16 minutes.
    assert min(start for start, _ in baked.values()) == now + 30 + 16
    assert {label: found[label] for label in baked} == baked


def test_a_lost_batch_and_what_replaces_it_are_worked_through() -> None:
    plan = planned()
    first = min((b for b in plan.batches if b.step == "bake"), key=lambda b: b.start)
    now = first.end - 4
    runs = gone_as_planned(plan, now)
    runs[first.label] = failed(recorded(first, now), now)
    rest = went_on(plan, runs, now)
    begun = {label for label, run in runs.items() if run.outcome != "running"}
    assert as_planned(rest) == {b.label: (b.start, b.end) for b in rest.batches if b.label not in begun}


@settings(
    phases=[Phase.generate], max_examples=20, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck)
)
@given(st.data())
def test_the_rest_of_any_shift_is_kept_to_the_minute(data: st.DataObject) -> None:
    raw: dict[str, Any] = data.draw(some_shifts())
    plan = produce(build(from_plain(raw)), raw, LITTLE)
    runs, now = data.draw(some_pasts(plan))
    rest = went_on(plan, runs, now)
    over = {label for label, run in runs.items() if run.outcome != "running"}
    expected = {b.label: (float(b.start), float(b.end)) for b in rest.batches if b.label not in over}
    found = as_planned(rest)
    assert found.keys() == expected.keys()
    for label, (start, end) in found.items():
        assert (label, start, end) == (label, *expected[label])
