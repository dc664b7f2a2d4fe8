"""The one way to a plan: it is always checked."""

from __future__ import annotations

from typing import Any, NoReturn

import pytest
from planned import raw, step

from stationplan.engine import Progress, Result, Status, solving
from stationplan.network import Network, build
from stationplan.plan import produce as producing
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.plan.errors import CheckFailedError, ImpossibleError, NothingFoundError
from stationplan.plan.make import make
from stationplan.plan.produce import Effort, produce, search, write_down
from stationplan.plan.store import to_json
from stationplan.scenario.models import Scenario

SCENARIO: dict[str, Any] = raw(step("bake", "20 min", equipment="oven at 180 C"), step("box", people="1"), quantity=5)
LIMITS = Effort(effort=5, seed=3, workers=1)


@pytest.fixture
def network() -> Network:
    return build(Scenario.model_validate(SCENARIO))


def test_a_plan_carries_its_scenario_and_seed_and_passes_the_check(network: Network) -> None:
    plan = produce(network, SCENARIO, LIMITS)
    assert (plan.scenario, plan.seed, plan.status) == (SCENARIO, 3, "proved")
    assert check_plan(plan) == ()


def test_the_same_limits_give_the_same_plan(network: Network) -> None:
    assert to_json(produce(network, SCENARIO, LIMITS)) == to_json(produce(network, SCENARIO, LIMITS))


def test_its_halves_together_are_the_whole(network: Network) -> None:
    result = search(network, LIMITS)
    assert write_down(network, result, SCENARIO, LIMITS.seed) == produce(network, SCENARIO, LIMITS)


def test_progress_is_passed_on(network: Network) -> None:
    moments: list[Progress] = []
    plan = produce(network, SCENARIO, LIMITS, moments.append)
    assert moments[-1].value is not None
    assert min(moment.value for moment in moments if moment.tier == "makespan" and moment.value) == (
        plan.finish - plan.opens
    )


def test_an_impossible_scenario_has_reasons() -> None:
    scenario = raw(step("dry", "15 h"))
    with pytest.raises(ImpossibleError, match="dry cannot be done between 06:00 and 20:00") as caught:
        produce(build(Scenario.model_validate(scenario)), scenario, LIMITS)
    assert caught.value.reasons[0].path == ("products", "tart", "steps", 0)


@pytest.mark.parametrize(("interrupted", "why"), [(True, "was interrupted"), (False, "the time ran out")])
def test_a_search_that_finds_nothing_is_no_proof(
    network: Network, monkeypatch: pytest.MonkeyPatch, interrupted: bool, why: str
) -> None:
    nothing = Result(Status.UNKNOWN, None, (), (), interrupted=interrupted)
    monkeypatch.setattr(solving, "solve", lambda *_, **__: nothing)
    with pytest.raises(NothingFoundError, match=why) as caught:
        produce(network, SCENARIO, LIMITS)
    assert caught.value.interrupted is interrupted


def test_an_interruption_before_the_search_has_begun_finds_nothing(
    network: Network, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupted(*_: object, **__: object) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr(solving, "solve", interrupted)
    with pytest.raises(NothingFoundError, match="the search was interrupted before any plan"):
        produce(network, SCENARIO, LIMITS)


def test_a_plan_that_fails_the_check_is_never_handed_out(network: Network, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*arguments: Any, **named: Any) -> Plan:
        plan = make(*arguments, **named)
        return plan.model_copy(update={"batches": plan.batches[1:]})

    monkeypatch.setattr(producing, "make", broken)
    with pytest.raises(CheckFailedError) as caught:
        produce(network, SCENARIO, LIMITS)
    assert any("bake" in fault for fault in caught.value.faults)
