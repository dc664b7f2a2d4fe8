"""Changes to a scenario of several sizes: what becomes of the plain data, and how each is told."""

from __future__ import annotations

import pytest
from altered import alterations, changed
from planned import step, wait
from readable import raw

from stationplan.plan.demands import Kind


def test_the_kitchen_may_close_later_or_open_earlier() -> None:
    data = raw(step("mix"))
    later, earlier = alterations(data, Kind.SHIFT)
    assert later.tell(75) == "close 1 h 15 min later, at 21:15"
    assert earlier.tell(30) == "open 30 min earlier, at 05:30"
    assert changed(data, later, 300)["shift"] == {"opens": "06:00", "closes": "day 2 01:00"}
    assert changed(data, earlier, 30)["shift"] == {"opens": "05:30", "closes": "20:00"}
    assert (later.path, earlier.path) == (("shift", "closes"), ("shift", "opens"))
    assert earlier.most == 6 * 60


def test_a_kitchen_that_opens_at_midnight_cannot_open_earlier() -> None:
    data = raw(step("mix"))
    data["shift"] = {"opens": "00:00", "closes": "04:00"}
    assert len(alterations(data, Kind.SHIFT)) == 1


def test_a_night_shift_stays_one() -> None:
    data = raw(step("mix"))
    data["shift"] = {"opens": "22:00", "closes": "04:00"}
    later, earlier = alterations(data, Kind.SHIFT)
    assert changed(data, later, 30)["shift"] == {"opens": "22:00", "closes": "day 2 04:30"}
    assert changed(data, earlier, 30)["shift"] == {"opens": "21:30", "closes": "day 2 04:00"}


def test_there_may_be_one_or_two_more_stations() -> None:
    data = raw(step("bake", equipment="oven at 180 C"))
    [change] = alterations(data, Kind.STATIONS)
    assert [change.tell(size) for size in range(1, change.most + 1)] == ["one more oven", "two more ovens"]
    assert changed(data, change, 2)["kitchen"]["equipment"][0]["count"] == 4


def test_there_may_be_one_or_two_more_people_of_the_same_hours_and_skills() -> None:
    people = [{"name": "Ines", "skills": ["pastry"], "hours": "06:00-12:00"}, {"name": "Ines 2"}]
    data = raw(step("mix", people="1 pastry"), people=people)
    change, _ = alterations(data, Kind.PEOPLE)
    assert [change.tell(size) for size in range(1, change.most + 1)] == [
        "one more person like Ines",
        "two more people like Ines",
    ]
    more = changed(data, change, 2)["kitchen"]["people"]
    assert more[:2] == people
    assert more[2:] == [{**people[0], "name": "Ines 3"}, {**people[0], "name": "Ines 4"}]


def test_an_oven_may_be_switched_on_before_opening_until_it_is_as_hot_as_ever_needed() -> None:
    data = raw(step("dry", equipment="oven at 60 C"), step("bake", equipment="oven at 195 C"))
    [change] = alterations(data, Kind.COLD)
    assert change.tell(5) == "switch the oven on 5 min before the kitchen opens"
    # From 20 C at 10 degrees a minute.
    assert changed(data, change, 5)["kitchen"]["equipment"][0]["starts_at"] == "70 C"
    assert changed(data, change, 18)["kitchen"]["equipment"][0]["starts_at"] == "195 C"
    assert (change.most, change.steady) == (18, False)


def test_an_oven_that_is_too_hot_is_not_made_hotter() -> None:
    data = raw(step("dry", equipment="oven at 60 C"))
    data["kitchen"]["equipment"][0]["starts_at"] = "90 C"
    assert alterations(data, Kind.COLD) == []


def test_the_most_of_a_wait_may_be_longer() -> None:
    data = raw(step("mix"), wait("rest", "10 min", at_most="PT1H"), step("roll"))
    [change] = alterations(data, Kind.MOST)
    assert change.tell(30) == "tart: rest at most 1 h 30 min, 30 min longer"
    assert changed(data, change, 30)["products"]["tart"]["steps"][1]["at_most"] == "90 min"


@pytest.mark.parametrize("several", [True, False])
def test_the_most_after_a_step_may_be_longer(several: bool) -> None:
    limit = {"step": "mix", "at_most": "20 min"}
    data = raw(step("mix"), step("wash"), step("fill", after=["wash", limit] if several else limit))
    if not several:
        data["products"]["tart"]["steps"][1]["after"] = "none"
        data["products"]["tart"]["steps"][2]["after"] = limit
        data["products"]["tart"]["steps"].append(step("box", after=["wash", "fill"]))
    [change] = alterations(data, Kind.MOST)
    assert change.tell(5) == "tart: fill at most 25 min after mix, 5 min longer"
    after = changed(data, change, 5)["products"]["tart"]["steps"][2]["after"]
    assert (after[1] if several else after) == {"step": "mix", "at_most": "25 min"}


def test_a_component_may_stand_longer() -> None:
    fill = step("fill", uses={"cream": {"amount": "1 kg", "at_most": "20 min"}})
    data = raw(fill, components={"cream": {"makes": "1 kg", "steps": [step("whip")]}})
    [change] = alterations(data, Kind.MOST)
    assert change.tell(40) == "tart: cream stands at most 1 h before fill, 40 min longer"
    assert changed(data, change, 40)["products"]["tart"]["steps"][0]["uses"]["cream"]["at_most"] == "60 min"


def test_of_one_order_something_must_be_left() -> None:
    data = raw(step("mix"), quantity=10)
    [change] = alterations(data, Kind.ORDER)
    assert change.tell(3) == "7 trays of tart instead of 10"
    assert changed(data, change, 3)["orders"] == [{"product": "tart", "quantity": 7}]
    assert change.most == 9
    assert alterations(raw(step("mix")), Kind.ORDER) == []


def test_one_of_several_orders_may_be_left_out() -> None:
    orders = [{"product": "tart", "quantity": 2}, {"product": "tart", "quantity": "1 tray"}]
    data = raw(step("mix"), orders=orders)
    first, second = alterations(data, Kind.ORDER)
    assert (first.tell(2), second.tell(1)) == (
        "leave out the order of 2 trays of tart",
        "leave out the order of 1 tray of tart",
    )
    assert changed(data, first, 2)["orders"] == orders[1:]
    assert changed(data, second, 1)["orders"] == orders[:1]


def test_what_is_as_it_is_has_no_alteration() -> None:
    data = raw(step("whip", equipment="oven at 90 C"), wait("set", "1 h"), step("bake", equipment="oven at 190 C"))
    assert alterations(data, Kind.LEAST) == alterations(data, Kind.CHANGING) == []
