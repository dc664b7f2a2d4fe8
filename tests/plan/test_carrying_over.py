"""Whether a plan holds in another kitchen, just as it is."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from machines import bakes
from planned import plan_by_hand, step, wait
from readable import raw

from stationplan.network import build
from stationplan.plan.carrying_over import holds_in, same_batches
from stationplan.scenario import from_plain

SHIFT = raw(
    step("bake", "20 min", equipment="oven at 180 C", load="2 min", unload="1 min"),
    wait("cool", "10 min", **{"in": "rack"}),
    step("box", "5 min", people="1 pastry"),
    quantity=2,
)
SHIFT["kitchen"]["equipment"][0]["count"] = 1
PLAN = plan_by_hand(SHIFT, Aa1=16, Ab1=49)


def changed(**counts: int) -> dict[str, Any]:
    data = deepcopy(SHIFT)
    for machine in data["kitchen"]["equipment"]:
        machine["count"] = counts.get(machine["name"], machine.get("count", 1))
    return data


def holds(data: dict[str, Any]) -> bool:
    return holds_in(PLAN, build(from_plain(data)), data)


def test_with_a_second_oven_the_first_has_another_name_and_the_plan_still_holds() -> None:
    data = changed(oven=2)
    assert PLAN.stations[0].name == "oven"
    assert "oven 1" in [resource.name for resource in build(from_plain(data)).problem.resources]
    assert holds(data)


def test_with_more_room_and_more_people_and_a_later_closing_time_the_plan_still_holds() -> None:
    data = changed(rack=2, freezer=3)
    data["kitchen"]["people"].append({"name": "Bo"})
    data["shift"]["closes"] = "23:00"
    assert holds(data)


def test_without_somebody_who_works_the_plan_does_not_hold() -> None:
    workers = {hand.person for batch in PLAN.batches for hand in batch.hands}
    data = deepcopy(SHIFT)
    data["kitchen"]["people"] = [person for person in data["kitchen"]["people"] if person["name"] not in workers]
    data["kitchen"]["people"].append({"name": "Bo", "skills": ["pastry"]})
    assert not holds(data)


def test_with_fewer_ovens_than_the_plan_has_it_does_not_hold() -> None:
    two = plan_by_hand(changed(oven=2), Aa1=16, Ab1=49)
    assert not holds_in(two, build(from_plain(SHIFT)), SHIFT)


def test_with_another_order_it_does_not_hold() -> None:
    data = deepcopy(SHIFT)
    data["orders"][0]["quantity"] = 3
    assert not holds(data)


@pytest.mark.parametrize(("holds_now", "same"), [("2 trays", True), ("1 tray", False), ("4 trays", True)])
def test_batches_are_the_same_where_they_cover_the_same_quantities(holds_now: str, same: bool) -> None:
    data = deepcopy(SHIFT)
    data["kitchen"]["equipment"][0]["holds"] = holds_now
    assert same_batches(PLAN, build(from_plain(data))) is same


def test_other_times_make_no_other_batches_but_another_number_of_them_does() -> None:
    plan = plan_by_hand(bakes(2, 20, 2), {"Aa1": ("oven 1",), "Aa2": ("oven 2",)}, Aa1=0, Aa2=0)
    assert same_batches(plan, build(from_plain(bakes(2, 30, 1))))
    assert not same_batches(plan, build(from_plain(bakes(3, 20, 2))))
