"""What exactly makes a scenario impossible, found for the whole and told with what would help."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NoReturn

import pytest
from planned import step, wait
from readable import raw

from stationplan.engine.core import Core
from stationplan.engine.feasibility import Verdict, decide
from stationplan.engine.limits import Limits
from stationplan.engine.requirements import without
from stationplan.engine.solver import Settings
from stationplan.network import build
from stationplan.plan import explanation as explaining
from stationplan.plan.demands import demands_of
from stationplan.plan.explanation import Explanation, explain
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import from_plain, load
from stationplan.scenario.units import format_clock

DOCS = Path(__file__).parents[2] / "docs"
# Where something is due, the shortest of the least late plans may not be the shortest of all.
EXAMPLES = [
    folder
    for folder in sorted(path.parent for path in (DOCS / "examples").glob("*/scenario.yaml"))
    if not any("due" in file.read_text(encoding="utf-8") for file in folder.iterdir())
]
IMPOSSIBLE = sorted(path.parent for path in (DOCS / "impossible").glob("*/scenario.yaml"))


def explained(data: dict[str, Any], effort: float = 100) -> Explanation:
    scenario = from_plain(data)
    return explain(build(scenario), scenario, data, time_limit=None, effort=effort)


def circle() -> dict[str, Any]:
    late = step("fill", after=["roll", {"step": "mix", "at_most": "20 min"}])
    return raw(step("mix"), wait("rest", "30 min"), step("roll"), late)


@pytest.mark.parametrize("folder", IMPOSSIBLE, ids=lambda folder: folder.name)
def test_the_demands_told_cannot_all_be_kept_and_all_but_any_one_can(
    monkeypatch: pytest.MonkeyPatch, folder: Path
) -> None:
    monkeypatch.setattr(explaining, "repairs", lambda *_: ())  # they have tests of their own
    scenario = load(folder).scenario
    network = build(scenario)
    found = explained(load(folder).raw)
    assert found.doubtful == ()
    told = {demand.sentence for demand in found.together}
    demands = demands_of(network, scenario)

    def verdict(kept: set[str]) -> Verdict:
        left_out = [demand.requirement for demand in demands if demand.sentence not in kept]
        still = [demand.requirement for demand in demands if demand.sentence in kept]
        return decide(without(network.problem, left_out, still), Limits(None, None), Settings(1, 1), effort=60)[0]

    assert verdict(told) is Verdict.IMPOSSIBLE
    assert {verdict(told - {sentence}) for sentence in told} == {Verdict.POSSIBLE}


def test_a_circle_is_told_with_both_of_its_waits() -> None:
    assert [demand.sentence for demand in explained(circle()).together] == [
        "tart: fill at most 20 min after mix",
        "tart: rest at least 30 min",
        "1 tray of tart is ordered",
    ]


def test_an_order_is_in_conflict_by_what_is_made_for_it_of_a_component_that_others_take_up_too() -> None:
    # Ten batches of one pastry on one hob take 10 h, of which eight are for the tarts; there are 8.
    steps = [step("cook", "1 h", equipment="hob", batch="1 tray")]
    data = raw(
        step("fill"),
        uses={"custard": "1 tray"},
        components={"custard": {"makes": "1 tray", "steps": steps}},
        equipment=[{"name": "hob", "kind": "hob", "holds": "1 tray"}],
        orders=[{"product": "tart", "quantity": 8}, {"product": "bun", "quantity": 2}],
    )
    data["products"]["bun"] = {"makes": "1 tray", "uses": {"custard": "1 tray"}, "steps": [step("shape")]}
    data["shift"] = {"opens": "06:00", "closes": "14:00"}
    found = explained(data)
    assert "8 trays of tart are ordered" in {demand.sentence for demand in found.together}
    assert "5 trays of tart instead of 8" in {repair.sentence for repair in found.repairs if repair.enough}


def test_the_same_effort_gives_the_same_explanation() -> None:
    assert explained(circle(), 3) == explained(circle(), 3)


def test_an_interruption_leaves_what_is_known_by_then(monkeypatch: pytest.MonkeyPatch) -> None:
    def one_and_then(*_: object) -> Any:
        yield "the first"
        raise KeyboardInterrupt

    monkeypatch.setattr(explaining, "repairs", one_and_then)
    found = explained(circle())
    assert len(found.together) == 3
    assert found.repairs == ("the first",)


def test_an_interruption_while_the_conflict_is_looked_for_leaves_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr(explaining, "find_core", interrupted)
    assert explained(circle()) == Explanation()


def test_nothing_is_tried_after_an_interruption_that_the_solver_has_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_problem: object, _requirements: object, limits: Limits, _settings: object) -> Core:
        limits.interrupted = True
        return Core((0,), (0,))

    monkeypatch.setattr(explaining, "find_core", interrupted)
    assert {repair.enough for repair in explained(circle()).repairs} == {None}


@pytest.mark.parametrize("folder", EXAMPLES, ids=lambda folder: folder.name)
def test_a_kitchen_that_closes_a_minute_before_the_shortest_plan_ends_must_close_a_minute_later(folder: Path) -> None:
    loaded = load(folder)
    plan = produce(build(loaded.scenario), loaded.raw, Effort(effort=5, workers=1))
    assert plan.status == "proved"
    short = loaded.raw | {"shift": {"opens": format_clock(plan.opens), "closes": format_clock(plan.finish - 1)}}
    found = explained(short)
    assert found.doubtful == ()
    assert f"close 1 min later, at {format_clock(plan.finish)}" in {
        repair.sentence for repair in found.repairs if repair.enough and repair.least
    }
