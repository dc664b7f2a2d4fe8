"""The smallest changes that make a plan possible: each is enough, and a little less is not."""

from __future__ import annotations

from copy import deepcopy
from pathlib import Path
from typing import Any

import pytest
from planned import step, wait
from readable import raw

from stationplan.engine import Status, solve
from stationplan.engine.limits import Limits
from stationplan.engine.solver import Settings
from stationplan.network import NetworkError, build
from stationplan.plan.alterations import alterations_of
from stationplan.plan.demands import demands_of
from stationplan.plan.repairs import Repair, repairs
from stationplan.scenario import InvalidScenario, from_plain, load

SETTINGS = Settings(seed=0, workers=1)
IMPOSSIBLE = sorted(path.parent for path in (Path(__file__).parents[2] / "docs" / "impossible").glob("*/scenario.yaml"))


def found(data: dict[str, Any], limits: Limits | None = None, tried: list[str] | None = None) -> list[Repair]:
    """What is found about every demand, in conflict or not."""
    scenario = from_plain(data)
    network = build(scenario)
    demands = demands_of(network, scenario)
    on_trial = [].append if tried is None else tried.append
    return list(repairs(network, scenario, data, demands, limits or Limits(None, 100), SETTINGS, on_trial))


def enough(data: dict[str, Any]) -> dict[str, bool]:
    return {repair.sentence: repair.least for repair in found(data) if repair.enough}


def has_plan(data: dict[str, Any]) -> bool:
    """Whether the engine as a whole finds a plan, without any of the short cuts of a trial."""
    try:
        network = build(from_plain(data))
    except (InvalidScenario, NetworkError):
        return False
    # Any schedule will do, however long.
    status = solve(network.problem, effort=20, workers=1, gap=0.999).status
    assert status is not Status.UNKNOWN
    return status is not Status.INFEASIBLE


@pytest.mark.parametrize("folder", IMPOSSIBLE, ids=lambda folder: folder.name)
def test_a_change_that_is_told_is_enough_and_one_less_is_not(folder: Path) -> None:
    data = load(folder).raw
    scenario = from_plain(data)
    network = build(scenario)
    changes = [
        change for demand in demands_of(network, scenario) for change in alterations_of(network, scenario, demand)
    ]
    told = {repair.sentence for repair in found(data) if repair.enough and repair.least}
    sizes = {change.tell(size): (change, size) for change in changes for size in range(1, min(change.most, 2000) + 1)}
    assert told
    for sentence in told:
        change, size = sizes[sentence]
        for less, expected in ((0, True), (1, False)):
            copy = deepcopy(data)
            if size > less:
                change.apply(copy, size - less)
            assert has_plan(copy) is expected, f"{sentence}, less {less}"


def test_a_step_of_fifteen_hours_needs_a_shift_of_fifteen() -> None:
    assert enough(raw(step("dry", "15 h"))) == {
        "close 1 h later, at 21:00": True,
        "open 1 h earlier, at 05:00": True,
    }


def test_a_circle_of_waits_needs_a_longer_most_and_nothing_else_helps() -> None:
    late = step("fill", after=["roll", {"step": "mix", "at_most": "20 min"}])
    repaired = found(raw(step("mix"), wait("rest", "30 min"), step("roll", "7 min"), late))
    assert [repair.sentence for repair in repaired if repair.enough] == [
        "tart: fill at most 37 min after mix, 17 min longer"
    ]
    assert {repair.enough for repair in repaired} == {True, False}


def test_what_is_not_enough_is_told_with_the_most_that_was_tried() -> None:
    repaired = found(raw(step("dry", "15 h", equipment="oven at 80 C"), quantity=8))
    refused = {repair.sentence for repair in repaired if repair.enough is False}
    assert {"two more ovens", "1 tray of tart instead of 8"} <= refused


def test_every_change_is_announced_before_it_is_tried() -> None:
    tried: list[str] = []
    repaired = found(raw(step("dry", "15 h")), tried=tried)
    assert len(tried) == len(repaired)
    assert "close 15 min later, at 20:15" in tried


def test_other_hours_of_the_kitchen_are_tried_last() -> None:
    tried: list[str] = []
    found(raw(step("dry", "15 h", people="1"), quantity=2), tried=tried)
    assert [sentence.split()[0] for sentence in tried[-2:]] == ["close", "open"]


def test_without_time_nothing_is_said_to_be_enough_or_not() -> None:
    tried: list[str] = []
    assert {repair.enough for repair in found(raw(step("dry", "15 h")), Limits(None, 0), tried)} == {None}
    assert tried == []


def test_an_interruption_leaves_the_rest_open() -> None:
    scenario_data = raw(step("dry", "15 h", people="1"), quantity=2)
    limits = Limits(None, 100)
    scenario = from_plain(scenario_data)
    network = build(scenario)
    looking = repairs(network, scenario, scenario_data, demands_of(network, scenario), limits, SETTINGS)
    assert next(looking).enough is not None
    limits.interrupted = True
    assert {repair.enough for repair in looking} == {None}
