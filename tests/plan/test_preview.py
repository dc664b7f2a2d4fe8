"""What is known before any solving."""

from __future__ import annotations

from typing import Any

import pytest
from planned import EQUIPMENT, raw, solved, step, wait

from stationplan.network import build
from stationplan.plan.preview import BusyRow, ItemRow, LoadRow, Preview, preview
from stationplan.scenario.models import Scenario


def known(scenario: dict[str, Any], closes: str = "20:00") -> Preview:
    scenario["shift"]["closes"] = closes
    read = Scenario.model_validate(scenario)
    return preview(build(read), read)


def test_items_are_told_with_what_is_needed_and_made() -> None:
    cream = {"makes": "500 g", "loss": "10 %", "steps": [step("whip", batch="1 kg"), step("fold", batch="2 kg")]}
    scenario = raw(step("fill", uses={"cream": "300 g"}), quantity=6, components={"cream": cream})
    assert known(scenario).items == (
        ItemRow("cream", "2 kg", "2 kg", "1 to 2"),
        ItemRow("tart", "6 trays", "6 trays", "1"),
    )


def test_orders_and_people_are_told_with_the_times_that_were_understood() -> None:
    people = [{"name": "Ines", "hours": "06:00-12:00", "breaks": ["09:00-09:15", "11:00-11:30"]}, {"name": "Odo"}]
    orders = [{"product": "tart", "quantity": 2, "due": "15:00"}, {"product": "tart", "quantity": 1}]
    found = known(raw(step("roll"), people=people, orders=orders))
    assert found.orders == ("2 trays of tart due 15:00", "1 tray of tart")
    assert found.people == ("Ines 06:00-12:00, break 09:00-09:15 and 11:00-11:30", "Odo")


def test_a_surplus_for_the_least_fill_of_a_mixer_is_seen() -> None:
    mixer = [{"name": "mixer", "kind": "mixer", "holds": "10 l", "least_fill": "20 %"}]
    row = known(raw(step("whip", equipment="mixer", fills="1/2 l per tray"), equipment=mixer)).items[0]
    assert (row.needed, row.made) == ("1 tray", "4 trays")


@pytest.mark.parametrize(
    ("quantity", "more", "loads", "filled"),
    [
        (4, {"equipment": "oven at 180 C"}, 2, "2 of 2 trays"),
        (3, {"equipment": "oven at 180 C"}, 2, "1 to 2 of 2 trays"),
        (3, {"equipment": "mixer", "fills": "1.5 l per tray"}, 1, "4.5 l of 10 l"),
        (3, {"equipment": "mixer", "fills": "0.3 l per tray", "batch": "2 trays"}, 2, "300 ml to 600 ml of 10 l"),
        (1, {"equipment": "ring"}, 1, "1 of 3 places"),
        (1, {"equipment": "small oven at 180 C"}, 1, "1 batch"),
    ],
)
def test_loads_are_counted_with_how_full_they_are(quantity: int, more: dict[str, Any], loads: int, filled: str) -> None:
    equipment = [*EQUIPMENT, {"name": "ring", "kind": "hob", "count": 3}, {"name": "small oven", "kind": "oven"}]
    (row,) = known(raw(step("work", **more), quantity=quantity, equipment=equipment)).loads
    assert row == LoadRow(more["equipment"].removesuffix(" at 180 C"), "tart: work", loads, filled)


def test_busy_minutes_and_the_time_there_is_for_them() -> None:
    """Three batches of 20 minutes for Ines alone, who is away for 4 of the 14 hours."""
    people = [
        {"name": "Ines", "skills": ["pastry"], "hours": "06:00-17:00", "breaks": ["10:00-11:00"]},
        {"name": "Odo"},
    ]
    found = known(raw(step("pipe", "20 min", people="1 pastry", batch="1 tray"), quantity=3, people=people))
    assert found.busy == (BusyRow("Ines", 60, 600, 60),)
    assert (found.bound, found.because) == (60, "Ines: 3 batches, 60 minutes of work: cannot end before 07:00")


def test_no_plan_is_better_than_the_bound() -> None:
    scenario = raw(step("bake", "20 min", equipment="oven at 180 C", batch="2 trays"), step("box"), quantity=10)
    _, plan = solved(scenario)
    found = known(scenario)
    assert 0 < found.bound <= plan.finish - plan.opens
    assert found.against == ()


def test_a_chain_of_steps_is_told_by_their_names_since_there_are_no_labels_yet() -> None:
    found = known(raw(step("mix", "20 min"), wait("rest", "1 h"), step("roll", "10 min")))
    assert found.bound == 90
    assert found.because == (
        "one step after the other without delay: tart: mix, 20 min > rest, at least 1 h > roll, 10 min"
    )


def test_too_much_work_is_known_at_once() -> None:
    found = known(raw(step("pipe", "2 h", people="1 pastry", batch="1 tray"), quantity=6), closes="10:00")
    assert [against.sentence[:22] for against in found.against] == ["too much for Ines and "]
    assert found.bound == 360


def test_a_contradiction_leaves_nothing_but_quantities_and_loads() -> None:
    found = known(raw(step("dry", "9 h", equipment="oven at 60 C")), closes="12:00")
    assert (found.busy, found.bound, found.because) == ((), 0, "")
    assert "it takes 9 h" in found.against[0].sentence
    assert [row.work for row in found.loads] == ["tart: dry"]
