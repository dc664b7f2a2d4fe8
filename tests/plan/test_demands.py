"""What a scenario demands, as sentences, places and requirements."""

from __future__ import annotations

from typing import Any

import pytest
from planned import PEOPLE, raw, step, wait

from stationplan.engine.requirements import without
from stationplan.engine.result import Conflict
from stationplan.network import Network, build
from stationplan.network.network import BatchTask
from stationplan.plan.demands import Demand, Kind, demands_of
from stationplan.scenario.models import Scenario

INES: dict[str, Any] = {"name": "Ines", "skills": ["pastry"]}
OVEN: dict[str, Any] = {"name": "oven", "kind": "oven", "holds": "2 trays"}


def demands(data: dict[str, Any]) -> tuple[Network, list[Demand]]:
    scenario = Scenario.model_validate(data)
    network = build(scenario)
    return network, list(demands_of(network, scenario))


def told(data: dict[str, Any], *kinds: Kind) -> list[tuple[str, tuple[str | int, ...]]]:
    _, found = demands(data)
    return [(demand.sentence, demand.path) for demand in found if demand.kind in kinds]


def test_the_hours_of_the_kitchen() -> None:
    assert told(raw(step("mix")), Kind.SHIFT) == [("the kitchen is open from 06:00 to 20:00", ("shift",))]


def test_the_least_and_the_most_of_a_wait_stand_at_the_wait() -> None:
    path = ("products", "tart", "steps", 1)
    steps = [step("mix"), wait("rest", "30 min", at_most="1 h"), step("roll")]
    assert told(raw(*steps), Kind.LEAST, Kind.MOST) == [
        ("tart: rest at most 1 h", path),
        ("tart: rest at least 30 min", path),
    ]


def test_limits_between_two_steps_stand_at_the_later_one_with_both_names() -> None:
    fill = step("fill", after=[{"step": "mix", "at_most": "20 min"}, {"step": "roll", "at_most": "5 min"}])
    steps = [step("mix"), step("roll", after="none"), fill]
    path = ("products", "tart", "steps", 2)
    assert told(raw(*steps), Kind.MOST) == [
        ("tart: fill at most 20 min after mix", path),
        ("tart: fill at most 5 min after roll", path),
    ]


def test_how_long_a_component_may_stand_is_told_with_the_step_that_takes_it_up() -> None:
    fill = step("fill", uses={"cream": {"amount": "1 kg", "at_least": "5 min", "at_most": "20 min"}})
    data = raw(fill, components={"cream": {"makes": "1 kg", "steps": [step("whip")]}})
    path = ("products", "tart", "steps", 0, "uses", "cream")
    assert told(data, Kind.LEAST, Kind.MOST) == [
        ("tart: cream stands at most 20 min before fill", path),
        ("tart: cream stands at least 5 min before fill", path),
    ]


def test_a_limit_covers_every_batch_and_round() -> None:
    fold = {"repeat": 3, "steps": [step("fold", batch="1 tray"), wait("rest", "5 min", at_most="9 min")]}
    network, found = demands(raw(fold, step("box"), quantity=2))
    [most] = [demand for demand in found if demand.kind is Kind.MOST]
    relaxed = without(network.problem, [most.requirement])
    assert any(link.most is not None for link in network.problem.links)
    assert all(link.most is None for link in relaxed.links)


def test_the_last_wait_of_a_product_can_be_left_out() -> None:
    network, found = demands(raw(step("mix"), wait("set", "3 h")))
    [least] = [demand for demand in found if demand.kind is Kind.LEAST]
    [link] = without(network.problem, [least.requirement]).links
    assert (link.least, link.most) == (0, None)


@pytest.mark.parametrize(
    ("machine", "sentence"),
    [
        ({}, "there is one oven of 2 trays"),
        ({"count": 2}, "there are 2 ovens of 2 trays each"),
        ({"chambers": 2}, "there is one oven with 2 chambers of 2 trays each"),
        ({"holds": None}, "there is one oven"),
    ],
)
def test_the_number_of_stations_and_what_they_hold(machine: dict[str, Any], sentence: str) -> None:
    data = raw(step("bake", equipment="oven at 180 C"), equipment=[{**OVEN, **machine}])
    assert told(data, Kind.STATIONS) == [(sentence, ("kitchen", "equipment", 0))]


def test_stations_that_nothing_uses_demand_nothing() -> None:
    assert told(raw(step("mix")), Kind.STATIONS, Kind.COLD, Kind.CHANGING) == []


def test_cold_ovens_changes_of_temperature_and_washing() -> None:
    steps = [
        step("bake", equipment="oven at 180 C"),
        step("dry", equipment="oven at 90 C"),
        step("whip", equipment="bowl", holding="whites"),
        step("beat", equipment="bowl", holding="yolks"),
    ]
    bowl = {"name": "bowl", "kind": "mixer", "count": 2, "wash": "5 min"}
    assert told(raw(*steps, equipment=[OVEN, bowl]), Kind.COLD, Kind.CHANGING) == [
        ("the oven is at 20 C when the kitchen opens", ("kitchen", "equipment", 0)),
        ("the oven takes time to change temperature", ("kitchen", "equipment", 0)),
        ("every bowl must be washed between contents", ("kitchen", "equipment", 1)),
    ]


def test_people_their_hours_and_their_breaks() -> None:
    people = [
        {**INES, "hours": "06:00-12:00", "breaks": ["08:00-08:30", "10:00-10:15"]},
        {"name": "Odo", "breaks": "09:00-09:30"},
        {"name": "Ada", "breaks": "09:00-09:30"},
    ]
    assert told(raw(step("mix", people="1"), people=people), Kind.PEOPLE, Kind.HOURS) == [
        ("Ines can do one thing at a time", ("kitchen", "people", 0)),
        ("Odo and Ada can do one thing at a time each", ("kitchen", "people", 1)),
        ("Ines is in 06:00-12:00 and has a break 08:00-08:30 and 10:00-10:15", ("kitchen", "people", 0)),
        ("Odo and Ada have a break 09:00-09:30", ("kitchen", "people", 1)),
    ]


def test_an_order_is_left_out_with_what_is_made_for_it_only() -> None:
    """The paste is for both, the cream for the tart alone, and the milk for the cream alone."""
    cook = {"makes": "1 kg", "steps": [step("cook")]}
    components = {"paste": cook, "milk": cook, "cream": {**cook, "uses": {"milk": "1 kg"}}}
    data = raw(
        step("fill"),
        uses={"paste": "1 kg", "cream": "1 kg"},
        components=components,
        orders=[
            {"product": "bun", "quantity": 1},
            {"product": "tart", "quantity": 2},
            {"product": "tart", "quantity": 3},
        ],
    )
    data["products"]["bun"] = {
        "makes": "1 tray",
        "uses": {"paste": "1 kg"},
        "steps": [step("shape"), wait("set", "1 h")],
    }
    network, found = demands(data)
    orders = {demand.about: demand for demand in found if demand.kind is Kind.ORDER}
    assert [(orders[name].sentence, orders[name].path) for name in ("bun", "tart")] == [
        ("1 tray of bun is ordered", ("orders", 0)),
        ("5 trays of tart are ordered", ("orders", 1)),
    ]

    def gone(name: str) -> set[str]:
        others = [demand.requirement for other, demand in orders.items() if other != name]
        left = {task.name for task in without(network.problem, [orders[name].requirement], others).tasks}
        return {task.name[0] for task in network.problem.tasks} - {name[0] for name in left}

    letters = {entry.item: entry.letters for entry in network.legend}
    assert gone("tart") == {letters[name] for name in ("tart", "cream", "milk")}
    assert gone("bun") == {letters["bun"]}


def test_batches_of_a_shared_component_are_left_out_with_the_last_order_that_takes_them_up() -> None:
    """Three batches of paste: the first for the tart, the last for the bun, and one for both."""
    data = raw(
        step("fill"),
        uses={"paste": "1500 g"},
        components={"paste": {"makes": "1 kg", "steps": [step("cook", batch="1 kg")]}},
        orders=[{"product": "tart", "quantity": 1}, {"product": "bun", "quantity": 1}],
    )
    data["products"]["bun"] = {"makes": "1 tray", "uses": {"paste": "1500 g"}, "steps": [step("shape")]}
    network, found = demands(data)
    tart, bun = (demand.requirement for demand in found if demand.kind is Kind.ORDER)
    paste = {
        number
        for number, meaning in enumerate(network.tasks)
        if isinstance(meaning, BatchTask) and meaning.item == "paste"
    }
    assert len(paste) == 3
    for_tart, for_bun = (paste & set(order.tasks) for order in (tart, bun))
    assert (len(for_tart), len(for_bun), len(for_tart & for_bun)) == (2, 2, 1)
    assert set(tart.tasks) | set(bun.tasks) == set(range(len(network.tasks)))


def test_what_nothing_takes_up_is_left_out_with_all_that_take_up_the_rest() -> None:
    """A mixer that must be half full makes more cream than is asked for."""
    mixer = {"name": "mixer", "kind": "mixer", "holds": "10 kg", "least_fill": "50 %"}
    cream = {"makes": "1 kg", "steps": [step("whip", equipment="mixer"), step("weigh", batch="1 kg")]}
    data = raw(step("fill"), uses={"cream": "1 kg"}, components={"cream": cream}, equipment=[mixer])
    network, found = demands(data)
    [tart] = (demand.requirement for demand in found if demand.kind is Kind.ORDER)
    assert set(tart.tasks) == set(range(len(network.tasks)))


def kinds(conflict: Conflict | None) -> list[Kind]:
    steps = [step("mix", people="1 pastry"), wait("rest", "30 min"), step("bake", equipment="oven at 180 C")]
    scenario = Scenario.model_validate(raw(*steps, people=PEOPLE))
    network = build(scenario)
    return [demand.kind for demand in demands_of(network, scenario, conflict)]


def test_where_time_is_short_waits_are_named_rather_than_stations() -> None:
    in_time, in_work = kinds(Conflict("task", tasks=(0,))), kinds(None)
    assert in_time.index(Kind.LEAST) < in_time.index(Kind.STATIONS)
    assert in_work.index(Kind.STATIONS) < in_work.index(Kind.LEAST)


def test_what_is_known_to_be_scarce_is_named_rather_than_other_stations_and_people() -> None:
    scenario = Scenario.model_validate(raw(step("bake", equipment="oven at 180 C", load="1 min")))
    network = build(scenario)
    crew = next(index for index, group in enumerate(network.resources) if "Ines" in group.names)
    found = demands_of(network, scenario, Conflict("resource", tasks=(0,), resources=(crew,), minutes=5))
    limited = [demand.about for demand in found if demand.requirement.limits]
    assert limited[0] == "Ines"
    assert [demand.about for demand in found][-1] != "Ines"
