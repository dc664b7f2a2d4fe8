"""How long steps take, from the records of shifts, and what their times should be."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stationplan.live.events import Event, Finished, Overrunning, Slower
from stationplan.live.record import Log
from stationplan.live.report import report_of
from stationplan.live.report_times import LEAST_RUNS, StepTimes, ninetieth
from stationplan.plan.document import Plan
from stationplan.scenario.units import parse_step_time

from .working import DAY, log_of, worked


@pytest.fixture(scope="module")
def ordinary(plan: Plan) -> Log:
    """A shift in which everything takes as long as planned."""
    return worked(plan)


def shifts(ordinary: Log, *longer: Mapping[str, int], also: tuple[Event, ...] = ()) -> list[Log]:
    """Shifts, each with its batches ending so many minutes later; what comes after is written down as if it had not."""
    logs = []
    for day, minutes in enumerate(longer):
        events: list[Event] = []
        for entry in ordinary.events:
            event = entry.event
            if isinstance(event, Finished) and event.label in minutes:
                event = event.model_copy(update={"at": event.at + minutes[event.label]})
            if not isinstance(event, Overrunning):
                events.append(event)
        logs.append(log_of(ordinary.plan, [*events, *also], DAY + timedelta(days=day)))
    return logs


def times(logs: list[Log], step: str) -> StepTimes:
    [found] = [times for times in report_of(logs).times if times.time.step == step]
    return found


# Resistivity of twelve wafers, NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.2 (from memory): the 90th
# percentile stands at 0.9 * 13 = 11.7 in order, between 95.1959 and 95.1990.
WAFERS = "95.1772 95.1567 95.1937 95.1959 95.1442 95.0610 95.1591 95.1195 95.1065 95.0925 95.1990 95.1682"  #


def test_the_ninetieth_percentile_is_that_of_the_handbook() -> None:
    found = ninetieth([Fraction(value) for value in WAFERS.split()])
    assert found == Fraction("95.1959") + Fraction(7, 10) * Fraction("0.0031")
    assert round(found, 4) == Fraction("95.1981")


@settings(max_examples=60, deadline=None, derandomize=True)
@given(st.lists(st.integers(0, 300), min_size=1, max_size=40))
def test_the_ninetieth_percentile_is_that_of_numpy(values: list[int]) -> None:
    # numpy calls the definition of the handbook after Weibull.
    assert float(ninetieth([Fraction(value) for value in values])) == pytest.approx(
        float(np.percentile(values, 90, method="weibull"))
    )


def test_what_took_as_long_as_planned_needs_no_correction(ordinary: Log) -> None:
    every = report_of(shifts(ordinary, {}, {}, {}, {}, {})).times
    assert all(times.runs >= LEAST_RUNS for times in every)
    # Ranges that are planned at their long end and always last as long are no ranges.
    assert {times.time.step: str(times.advice) for times in every if times.differs} == {
        "bake shells": "18 min",
        "cook lemon cream": "18 min",
    }


def test_a_fixed_time_goes_from_its_median_to_its_ninetieth_percentile(ordinary: Log) -> None:
    # Whip cream is planned at 6 min. Five shifts: 6, 7, 7, 8 and 11; the middle one is 7, and the ninth in ten of so
    # few is the longest.
    [label] = [batch.label for batch in ordinary.plan.batches if batch.step == "whip cream"]
    found = times(shifts(ordinary, *({label: minutes} for minutes in (0, 1, 1, 2, 5))), "whip cream")
    assert (found.runs, found.median, found.ninth, str(found.advice)) == (5, 7, 11, "7..11 min")


def test_loading_and_unloading_are_no_part_of_the_time(ordinary: Log) -> None:
    # Bake shells: 18 minutes, and a minute each to load and unload. Two batches a shift, three shifts.
    labels = [batch.label for batch in ordinary.plan.batches if batch.step == "bake shells"]
    found = times(shifts(ordinary, *[dict.fromkeys(labels, 4)] * 3), "bake shells")
    assert (found.runs, found.median, str(found.advice)) == (6, 22, "22 min")
    assert found.time.path == ("components", "tartlet shell", "steps", 4, "takes")


def test_a_time_that_grows_is_corrected_by_shares(ordinary: Log) -> None:
    # Mix paste: 5 min + 1 min per tray, 4 trays, so 9 min. It takes 9, 12, 12, 12 and 18: a median of 12/9, and the
    # longest 18/9. 5 min becomes 6 min 40 s to 10 min, 1 min becomes 80 s to 2 min.
    [label] = [batch.label for batch in ordinary.plan.batches if batch.step == "mix paste"]
    found = times(shifts(ordinary, *({label: minutes} for minutes in (0, 3, 3, 3, 9))), "mix paste")
    assert (found.median, found.ninth) == (Fraction(12, 9), 2)
    assert str(found.advice) == "6 min 40 s..10 min + 1 min 20 s..2 min per tray"
    assert parse_step_time(str(found.advice)) == found.advice


def test_a_handful_is_needed(ordinary: Log) -> None:
    [label] = [batch.label for batch in ordinary.plan.batches if batch.step == "whip cream"]
    found = times(shifts(ordinary, *[{label: 5}] * (LEAST_RUNS - 1)), "whip cream")
    assert (found.runs, found.advice, found.differs) == (LEAST_RUNS - 1, None, False)
    # Of a sample of n, all lie on one side of the median with a chance of 2 * 0.5^n.
    assert 2 * Fraction(1, 2) ** LEAST_RUNS == 1 - Fraction(15, 16)


def test_slower_equipment_corrects_no_recipe(ordinary: Log) -> None:
    slow = Slower(at=ordinary.plan.opens, who="Ida", equipment="deck oven", percent=30)
    labels = [batch.label for batch in ordinary.plan.batches if batch.step == "bake shells"]
    found = times(shifts(ordinary, *[dict.fromkeys(labels, 6)] * 3, also=(slow,)), "bake shells")
    assert (found.runs, found.hindered, found.median, found.advice) == (0, 6, None, None)


def test_equipment_that_the_scenario_says_is_slower_corrects_no_recipe(ordinary: Log) -> None:
    raw: dict[str, Any] = ordinary.plan.model_dump(mode="json")
    [oven] = [machine for machine in raw["scenario"]["kitchen"]["equipment"] if machine["name"] == "deck oven"]
    oven["slower"] = "20 %"
    slow = log_of(Plan.model_validate(raw), [entry.event for entry in ordinary.events])
    found = times([slow], "bake shells")
    assert (found.runs, found.hindered) == (0, 2)


def test_what_was_written_down_afterwards_corrects_nothing(ordinary: Log) -> None:
    [label] = [batch.label for batch in ordinary.plan.batches if batch.step == "whip cream"]
    found = times(shifts(ordinary, *[{label: -6}] * 5), "whip cream")
    assert (found.runs, found.median, found.advice) == (5, 0, None)


def test_a_step_written_in_another_way_is_another_one(ordinary: Log) -> None:
    raw: dict[str, Any] = ordinary.plan.model_dump(mode="json")
    raw["scenario"]["components"]["whipped cream"]["steps"][0]["takes"] = "5..6 min"
    other = log_of(Plan.model_validate(raw), [entry.event for entry in ordinary.events])
    found = [times for times in report_of([ordinary, other]).times if times.time.step == "whip cream"]
    assert [(str(times.time.takes), times.runs) for times in found] == [("6 min", 1), ("5..6 min", 1)]


def test_a_time_of_one_kind_of_equipment_is_its_own(ordinary: Log) -> None:
    raw: dict[str, Any] = ordinary.plan.model_dump(mode="json")
    step = raw["scenario"]["components"]["lemon cream"]["steps"][0]
    step["equipment"] = [{"use": "mixer", "fills": "1 l per kg"}, {"use": "ring", "takes": "16..18 min"}]
    step["takes"] = "30 min"
    other = log_of(Plan.model_validate(raw), [entry.event for entry in ordinary.events])
    time = times([other], "cook lemon cream").time
    assert (time.on, str(time.takes)) == ("ring", "16..18 min")
    assert time.path == ("components", "lemon cream", "steps", 0, "equipment", 1, "takes")
    step["equipment"] = {"use": "ring", "takes": "16..18 min"}
    other = log_of(Plan.model_validate(raw), [entry.event for entry in ordinary.events])
    assert times([other], "cook lemon cream").time.path[-3:] == (0, "equipment", "takes")
