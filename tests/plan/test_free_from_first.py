"""What is declared to hold fewer allergens comes first where that makes nothing later, and only there."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from planned import step, wait
from readable import raw

from stationplan.engine import Result, Status, solve, solving
from stationplan.engine.result import Stopped, StoppedBy
from stationplan.network import build
from stationplan.plan.allergens import handovers
from stationplan.plan.document import Plan
from stationplan.plan.free_from_first import wishes_of
from stationplan.plan.produce import Effort, produce
from stationplan.plan.store import to_json
from stationplan.scenario import from_plain

MIXER = {"name": "planetary mixer", "kind": "mixer", "holds": "10 l"}
KNOWN = {"hazelnut paste": {"contains": "hazelnuts"}, "cream": {"contains": "milk"}}
LIMITS = Effort(effort=5, seed=0, workers=1)


def kitchen(*after_nut: dict[str, Any], known: dict[str, Any] | None = None, **more: Any) -> dict[str, Any]:
    """A nut cream, a plain one and a half-nutty one share a mixer; all go into the tart."""

    def cream(name: str, *later: dict[str, Any], **ingredients: str) -> dict[str, Any]:
        parts = {key.replace("_", " "): amount for key, amount in ingredients.items()}
        return {"makes": "1 kg", "ingredients": parts, "steps": [step(name, equipment="planetary mixer"), *later]}

    components = {
        "nut cream": cream("whip nut", *after_nut, cream="1 kg", hazelnut_paste="1 kg"),
        "plain cream": cream("whip plain", cream="1 kg"),
        "glaze": cream("beat glaze", water="1 kg"),
    }
    uses = dict.fromkeys(components, "1 kg")
    found = raw(step("fill"), equipment=[{**MIXER, **more}], components=components, uses=uses)
    return {**found, "ingredients": KNOWN if known is None else known}


def planned(scenario: dict[str, Any], limits: Effort = LIMITS) -> Plan:
    return produce(build(from_plain(scenario)), scenario, limits)


def in_the_mixer(plan: Plan) -> list[str]:
    loads = [(seat.start, batch.step) for batch in plan.batches for seat in batch.seats if "mixer" in seat.station]
    return [name for _, name in sorted(loads)]


def test_without_declarations_the_order_is_another_one() -> None:
    """Otherwise the next test would show nothing."""
    assert in_the_mixer(planned(kitchen(known={}))) != ["beat glaze", "whip plain", "whip nut"]


def test_fewer_allergens_come_first_where_it_costs_no_time() -> None:
    with_order, without = planned(kitchen()), planned(kitchen(known={}))
    assert in_the_mixer(with_order) == ["beat glaze", "whip plain", "whip nut"]
    assert handovers(with_order) == ()
    assert with_order.finish == without.finish
    assert with_order.status == without.status == "proved"
    assert [tier.bound for tier in with_order.tiers] == [tier.bound for tier in without.tiers]


def test_they_do_not_come_first_where_that_would_take_longer() -> None:
    """The nut cream sets for an hour: whipped last, the tart would be ready 20 minutes later."""
    with_order, without = (planned(kitchen(wait("set", "1 h"), known=known)) for known in (KNOWN, {}))
    assert in_the_mixer(with_order)[0] == "whip nut"
    assert with_order.finish == without.finish


def test_one_may_come_first_where_not_all_can() -> None:
    """The nut cream sets for an hour, and so must be whipped first; of the others the one with less comes next."""
    paste = {"hazelnut paste": {"contains": "hazelnuts"}}
    plain_first = {**paste, "cream": {"contains": "none"}, "water": {"contains": "milk"}}
    glaze_first = {**paste, "cream": {"contains": "milk"}, "water": {"contains": "none"}}
    plans = [planned(kitchen(wait("set", "1 h"), known=known)) for known in (plain_first, glaze_first)]
    assert in_the_mixer(plans[0]) == ["whip nut", "whip plain", "beat glaze"]
    assert in_the_mixer(plans[1]) == ["whip nut", "beat glaze", "whip plain"]


def test_an_order_that_is_late_gets_no_later_and_one_in_time_stays_in_time() -> None:
    def ready(known: dict[str, Any]) -> list[tuple[int, int]]:
        scenario = kitchen(known=known)
        scenario["products"]["bun"] = {"uses": {"nut cream": "1 kg"}, "steps": [step("top")]}
        scenario["orders"] = [
            {"product": "tart", "quantity": 1, "due": "06:20"},
            {"product": "bun", "quantity": 1, "due": "06:30"},
        ]
        return [(order.late, order.ready) for order in planned(scenario).orders]

    assert [late for late, _ in ready(KNOWN)] == [late for late, _ in ready({})]


def test_the_same_limits_give_the_same_plan() -> None:
    assert to_json(planned(kitchen())) == to_json(planned(kitchen()))


def test_a_tenth_of_the_budget_is_kept_for_it_and_the_whole_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[float] = []

    def ended(*arguments: Any, **named: Any) -> Result:
        asked.append(named["effort"])
        found = solve(*arguments, **named)
        open_tiers = tuple(replace(tier, bound=0) for tier in found.tiers)
        stopped = Stopped(StoppedBy.EFFORT, effort=named["effort"])
        return replace(found, status=Status.FEASIBLE, tiers=open_tiers, stopped=stopped)

    monkeypatch.setattr(solving, "solve", ended)
    plan = planned(kitchen(), Effort(effort=10, seed=0, workers=1))
    assert asked == [9, 0.25]
    assert plan.stopped is not None
    assert (plan.stopped.by, plan.stopped.effort) == ("effort", 10)


def test_an_interruption_leaves_the_plan_of_the_first_search(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[float] = []

    def interrupted(*arguments: Any, **named: Any) -> Result:
        asked.append(named["effort"])
        if len(asked) == 2:
            raise KeyboardInterrupt
        return solve(*arguments, **named)

    first = in_the_mixer(planned(kitchen(known={})))
    monkeypatch.setattr(solving, "solve", interrupted)
    assert in_the_mixer(planned(kitchen())) == first
    assert len(asked) == 2


def test_nothing_is_wished_where_nothing_or_the_same_is_declared() -> None:
    for known in (
        {},
        {"hazelnut paste": {"contains": "milk"}, "cream": {"contains": "milk"}, "water": {"contains": "milk"}},
    ):
        scenario = from_plain(kitchen(known=known))
        assert wishes_of(build(scenario), scenario) == ()


def test_of_two_batches_with_different_allergens_none_is_wished_first() -> None:
    """Milk alone and nuts alone: neither is a part of the other."""
    known = {"hazelnut paste": {"contains": "hazelnuts"}, "cream": {"contains": "none"}, "water": {"contains": "milk"}}
    scenario = from_plain(kitchen(known=known))
    network = build(scenario)
    wishes = wishes_of(network, scenario)
    labels = [[(network.tasks[link.before].label, network.tasks[link.after].label) for link in wish] for wish in wishes]
    assert labels == [[("Ba1", "Aa1")], [("Ba1", "Ca1")]]
