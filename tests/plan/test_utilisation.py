"""How busy stations and people are, against figures worked out by hand."""

from __future__ import annotations

from planned import plan_by_hand, step, wait
from readable import raw

from stationplan.plan.document import Plan
from stationplan.plan.utilisation import Slot, Utilisation, utilisation
from stationplan.scenario import from_plain

EQUIPMENT = [
    {"name": "oven", "kind": "oven", "holds": "4 trays"},
    {"name": "rack", "kind": "rack", "holds": "6 trays"},
    {"name": "bowl", "kind": "mixer", "holds": "10 l"},
    {"name": "freezer", "kind": "freezer", "holds": "2 trays"},
]
PEOPLE = [{"name": "Ines", "breaks": ["06:30-06:45"]}, {"name": "Odo", "hours": "06:40-20:00"}]


def plan(opens: str = "06:00", bake: int = 20) -> Plan:
    """Two trays: mixed 06:00-06:10, baked 06:20-06:50 (loaded for 2 minutes), on the rack until 07:10, boxed."""
    data = raw(
        step("mix", "10 min", equipment="bowl", fills="1 l per tray", people="1"),
        step("bake", "28 min", equipment="oven at 180 C", load="2 min"),
        wait("cool", "10 min", **{"in": "rack"}),
        step("box", "5 min"),
        quantity=2,
        equipment=EQUIPMENT,
        people=PEOPLE,
    )
    data["shift"]["opens"] = opens
    return plan_by_hand(data, Aa1=0, Ab1=bake, Ac1=bake + 50)


def rows(planned: Plan) -> dict[str, Utilisation]:
    return {row.name: row for row in utilisation(planned, from_plain(planned.scenario))}


def test_an_oven_is_as_busy_as_its_slots_are_taken() -> None:
    # 06:20-06:50, 2 of 4 trays; the plan ends 07:15.
    oven = rows(plan())["oven"]
    assert oven.slots == (Slot(2 * 10, 4 * 30), Slot(2 * 20, 4 * 30), Slot(0, 4 * 15))
    assert oven.total == Slot(60, 300)
    assert oven.total.percent == 20


def test_heating_is_told_apart_from_work() -> None:
    # From 20 to 180 degrees at 10 degrees a minute.
    assert rows(plan())["oven"].changing == 16


def test_a_bowl_that_is_not_full_is_busy_all_the_same() -> None:
    assert rows(plan())["bowl"].slots[0] == Slot(10, 30)


def test_what_stands_takes_room() -> None:
    # 06:50-07:10.
    assert rows(plan())["rack"].slots == (Slot(0, 180), Slot(2 * 10, 180), Slot(2 * 10, 90))


def test_people_are_only_there_in_their_hours_and_not_on_their_breaks() -> None:
    found = rows(plan())
    ines, odo = found["Ines"], found["Odo"]
    assert [slot.possible for slot in ines.slots] == [30, 15, 15]
    assert [slot.possible for slot in odo.slots] == [0, 20, 15]
    assert odo.slots[0].percent is None
    # Ten minutes of mixing and two of loading come before Odo does.
    assert ines.slots[0].work == 12
    assert ines.total.work + odo.total.work == 17


def test_half_hours_are_those_of_the_clock_and_begin_with_opening() -> None:
    found = rows(plan("06:20", bake=30))["oven"]
    # 06:50-07:20 now, and the end is 07:45.
    assert found.slots == (Slot(0, 4 * 10), Slot(2 * 10, 120), Slot(2 * 20, 120), Slot(0, 4 * 15))


def test_the_rows_are_those_of_the_plan() -> None:
    assert [(row.name, row.kind) for row in rows(plan()).values()] == [
        *[(machine["name"], "station") for machine in EQUIPMENT],
        ("Ines", "person"),
        ("Odo", "person"),
    ]


def test_a_share_is_rounded_to_the_nearest_hundredth() -> None:
    assert [Slot(work, 200).percent for work in (0, 1, 2, 3, 199, 200)] == [0, 1, 1, 2, 100, 100]
