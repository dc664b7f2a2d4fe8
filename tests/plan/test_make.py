"""The plan document of a schedule."""

from __future__ import annotations

from typing import Any

import pytest
from planned import by_hand, checked, plan_by_hand, raw, result_of, solved, step, wait

from stationplan.engine import Result, Status
from stationplan.plan.document import Hand, Seat
from stationplan.plan.errors import NothingFoundError
from stationplan.plan.make import make

OPENS = 360


def test_times_are_since_midnight_and_ranges_exact() -> None:
    plan = plan_by_hand(raw(step("roll", batch="2 trays"), quantity=3), Aa1=0, Aa2=4)
    first, second = plan.batches
    assert (first.start, first.end, first.first, first.last, first.unit) == (OPENS, OPENS + 10, "0", "2", "tray")
    assert (second.start, second.number, second.of, second.first, second.last) == (OPENS + 4, 2, 2, "2", "3")
    assert (plan.opens, plan.closes, plan.finish) == (OPENS, 1200, OPENS + 14)


def test_a_load_has_its_seat_and_the_hands_at_the_door() -> None:
    bake = step("bake", "20 min", equipment="oven at 180 C fan", load="2 min", unload="1 min")
    (batch,) = plan_by_hand(raw(bake, quantity=2, people=[{"name": "Ines"}]), Aa1=16).batches
    start = OPENS + 16
    assert batch.seats == (Seat(station="oven 1", start=start, end=start + 23, amount=2, celsius=180, setting="fan"),)
    assert batch.hands == (
        Hand(person="Ines", start=start, end=start + 2, doing="load"),
        Hand(person="Ines", start=start + 22, end=start + 23, doing="unload"),
    )


def test_a_bowl_is_filled_in_millilitres_and_says_what_is_in_it() -> None:
    whip = step("whip", equipment="mixer", fills="1.5 l per tray", holding="egg white")
    (batch,) = plan_by_hand(raw(whip, quantity=2), Aa1=0).batches
    assert batch.seats == (Seat(station="mixer 1", start=OPENS, end=OPENS + 10, amount=3000, holding="egg white"),)


def test_every_chamber_bowl_and_place_is_a_station() -> None:
    plan = plan_by_hand(raw(step("fill")), Aa1=0)
    assert [(station.name, station.equipment, station.capacity, station.unit) for station in plan.stations] == [
        ("oven 1", "oven", 2, "tray"),
        ("oven 2", "oven", 2, "tray"),
        ("mixer 1", "mixer", 10_000, "ml"),
        ("mixer 2", "mixer", 10_000, "ml"),
        ("washed mixer", "washed mixer", 10_000, "ml"),
        ("rack", "rack", 4, "tray"),
        ("freezer", "freezer", 2, "tray"),
    ]
    assert plan.people == ("Ines", "Odo", "Ada")


def test_a_wait_is_a_stay_with_its_limits_and_room() -> None:
    cool = wait("cool", "20 min", at_most="1 h", **{"in": "rack"})
    plan = plan_by_hand(raw(step("bake"), cool, step("cut"), quantity=2), Aa1=0, Ab1=40)
    (stay,) = plan.stays
    assert (stay.name, stay.item, stay.before, stay.after, stay.position) == ("cool", "tart", "Aa1", "Ab1", 0)
    assert (stay.start - OPENS, stay.end - OPENS, stay.least, stay.most) == (10, 40, 20, 60)
    assert (stay.station, stay.amount) == ("rack", 2)


def test_waits_in_a_row_are_stays_in_a_row() -> None:
    waits = wait("cool", "20 min"), wait("freeze", "30 min", **{"in": "freezer"})
    plan = plan_by_hand(raw(step("bake"), *waits, step("cut")), Aa1=0, Ab1=65, Aa1___Ab1__1=35)
    found = [(stay.position, stay.name, stay.start - OPENS, stay.end - OPENS, stay.station) for stay in plan.stays]
    assert found == [(0, "cool", 10, 35, None), (1, "freeze", 35, 65, "freezer")]


def test_limits_without_a_wait_are_no_stay() -> None:
    plan = plan_by_hand(raw(step("whip"), step("fold", after={"step": "whip", "at_most": "5 min"})), Aa1=0, Ab1=12)
    assert plan.stays == ()


def test_a_wait_until_delivery_ends_when_the_order_is_ready() -> None:
    orders = [{"product": "tart", "quantity": 2, "due": "06:50", "weight": 2}]
    chill = wait("set", "45 min", **{"in": "freezer"})
    plan = plan_by_hand(raw(step("fill"), chill, orders=orders), Aa1=0, Aa1___ready__1=55)
    (stay,) = plan.stays
    assert (stay.after, stay.start - OPENS, stay.end - OPENS, stay.station) == (None, 10, 55, "freezer")
    (order,) = plan.orders
    assert (order.ready - OPENS, order.late, order.weight, order.batches) == (55, 5, 2, ("Aa1",))
    assert {tier.name: tier.value for tier in plan.tiers} == {"lateness": 10, "makespan": 55, "tidiness": 0}


CREAM: dict[str, Any] = {
    "cream": {"makes": "1 kg", "steps": [step("whip"), wait("chill", **{"in": "freezer"}, fills="1 tray per 4 kg")]}
}


def test_a_lot_on_a_shared_tray_stands_where_the_tray_stands() -> None:
    fill = step("fill", batch="1 tray")
    plan = plan_by_hand(raw(fill, components=CREAM, uses={"cream": "1 kg"}, quantity=3), Aa1=0, Ba1=10, Ba2=20, Ba3=30)
    assert [(stay.after, stay.station, stay.amount) for stay in plan.stays] == [
        ("Ba1", "freezer", 0),
        ("Ba2", "freezer", 0),
        ("Ba3", "freezer", 1),
    ]


def test_amounts_are_exact() -> None:
    plan = plan_by_hand(
        raw(step("fill"), components=CREAM, uses={"cream": {"amount": "100 g", "loss": "0.7"}}), Aa1=0, Ba1=10
    )
    cream, tart = plan.amounts
    assert (cream.item, cream.quantity, cream.needed, cream.unit, cream.recipes) == (
        "cream",
        "1000/3",
        "1000/3",
        "g",
        "1/3",
    )
    assert (tart.quantity, tart.needed, tart.recipes) == ("1", "1", "1")


def test_rounds_have_labels_and_numbers_of_their_own() -> None:
    plan = plan_by_hand(raw({"repeat": 2, "steps": [step("fold")]}), Aa1_1=0, Aa1_2=10)
    assert [(batch.label, batch.round, batch.number) for batch in plan.batches] == [("Aa1.1", 1, 1), ("Aa1.2", 2, 1)]
    assert plan.legend[0].steps == (("a", "fold"),)


def test_a_plan_is_proved_when_lateness_and_makespan_are() -> None:
    scenario = raw(step("mix"), step("roll"))
    timeline = by_hand(scenario, Aa1=0, Ab1=12)
    proved, open_end = (
        make(timeline.network, result_of(timeline, proved=flag), scenario, durations="longest", seed=7)
        for flag in (True, False)
    )
    assert (proved.status, open_end.status) == ("proved", "feasible")
    assert (checked(proved).seed, checked(open_end).scenario) == (7, scenario)


def test_no_schedule_is_no_plan() -> None:
    scenario = raw(step("mix"))
    network = by_hand(scenario, Aa1=0).network
    with pytest.raises(NothingFoundError):
        make(network, Result(Status.UNKNOWN, None, (), (), interrupted=True), scenario, durations="longest", seed=0)


def test_a_solved_plan_of_everything_together_passes_the_independent_check() -> None:
    components = {
        "sponge": {
            "makes": "2 trays",
            "pieces": "12 discs per tray",
            "steps": [
                step("whip", "8..10 min", equipment="washed mixer", fills="2 l per tray", holding="egg white",
                     hands_on="first 3 min and last 1 min"),
                step("spread", "2 min + 3 min per tray", people="1 pastry", after={"step": "whip", "at_most": "5 min"}),
                step("bake", "12 min", equipment=["oven at 180 C", {"use": "oven at 165 C fan", "takes": "10 min"}],
                     load="1 min", unload="1 min"),
                wait("cool", "10 min", **{"in": "rack"}),
                wait("freeze", "30 min", at_most="8 h", **{"in": "freezer"}),
                step("cut", "3 min per tray", batch="1 tray"),
            ],
        },
        "glaze": {
            "makes": "1 kg",
            "loss": "4 %",
            "steps": [step("boil", equipment="mixer", batch="2 kg"), {"repeat": 2, "steps": [step("stir", "2 min"),
                      wait("rest", "5 min", at_most="30 min")]}],
        },
    }  # fmt: skip
    fill = step(
        "fill",
        "4 min per tray",
        batch="1 tray",
        uses={"sponge": {"amount": "8 discs", "at_least": "5 min", "in": "rack"}},
    )
    glaze = step("glaze", batch="1 tray", people="2", uses={"glaze": {"amount": "300 g", "loss": "10 %"}})
    set_hard = wait("set", "20 min", **{"in": "rack"})
    orders = [
        {"product": "tart", "quantity": 2, "due": "08:00"},
        {"product": "tart", "quantity": 3, "due": "07:30", "weight": 4},
    ]
    _, plan = solved(raw(fill, glaze, set_hard, components=components, orders=orders))
    assert plan.chain[0].why in {"opening", "release"}
    assert plan.reasons
