"""Plans whose beginning has happened: what has begun stays, and the rest is planned around it."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from stationplan.network import build
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.plan.errors import PlanError
from stationplan.plan.produce import produce
from stationplan.plan.so_far import Recorded, so_far_of
from stationplan.scenario import from_plain

from .shifts import LITTLE, SHIFT, as_planned, batches, failed, planned, total, went_on

BAKES = ("Ab1", "Ab2", "Ab3")


def middle(plan: Plan, label: str) -> int:
    """A moment in the middle of a batch."""
    batch = batches(plan)[label]
    return (batch.start + batch.end) // 2


def late(plan: Plan, label: str, minutes: int) -> tuple[dict[str, Recorded], int]:
    """What is recorded in the middle of a batch that will end later than planned."""
    now = middle(plan, label)
    runs = as_planned(plan, now)
    runs[label] = replace(runs[label], expected_end=runs[label].expected_end + minutes)
    return runs, now


def clock(minutes: int) -> str:
    return f"{minutes // 60:02}:{minutes % 60:02}"


def with_orders(*orders: dict[str, Any]) -> dict[str, Any]:
    raw = deepcopy(SHIFT)
    raw["orders"] = list(orders)
    return raw


def test_what_goes_as_planned_is_planned_as_before() -> None:
    plan = planned()
    now = middle(plan, "Ab2")
    again = went_on(plan, as_planned(plan, now), now)

    assert again.finish <= plan.finish
    assert batches(again).keys() == batches(plan).keys()
    for label, batch in batches(again).items():
        assert batch.first == batches(plan)[label].first
        assert batch.start >= now or batch.start == batches(plan)[label].start


def test_what_has_begun_is_as_it_was_recorded() -> None:
    runs, now = late(planned(), "Ab2", 12)
    again = went_on(planned(), runs, now)

    begun = {label: (batch.start, batch.end) for label, batch in batches(again).items() if label in runs}
    assert begun == {label: (run.start, run.end or run.expected_end) for label, run in runs.items()}
    assert batches(again)["Ab3"].start >= batches(again)["Ab2"].end


def test_whoever_was_to_do_the_end_of_an_overrunning_batch_does_it_later() -> None:
    runs, now = late(planned(), "Ab2", 12)
    before, after = batches(planned())["Ab2"], batches(went_on(planned(), runs, now))["Ab2"]

    assert [(hand.start, hand.end) for hand in before.hands if hand.doing == "unload"] == [(before.end - 2, before.end)]
    assert [(hand.start, hand.end) for hand in after.hands if hand.doing == "unload"] == [(after.end - 2, after.end)]


def test_somebody_else_ends_what_somebody_has_begun_who_is_away() -> None:
    plan = planned()
    now = middle(plan, "Ab2")
    [person] = {hand.person for hand in batches(plan)["Ab2"].hands if hand.doing == "unload"}
    raw = deepcopy(SHIFT)
    (mine,) = (entry for entry in raw["kitchen"]["people"] if entry["name"] == person)
    mine["hours"] = f"06:00-{now // 60:02}:{now % 60:02}"
    again = batches(went_on(plan, as_planned(plan, now), now, raw))["Ab2"]

    assert {hand.person for hand in again.hands if hand.doing == "unload"} == {"Ines", "Odo"} - {person}


def test_work_that_is_to_come_stays_one_piece_for_each_pair_of_hands() -> None:
    """Two ovens are emptied by the same person, as recorded, and one of them a minute before the other."""
    raw = deepcopy(SHIFT)
    raw["kitchen"]["equipment"][0]["count"] = 2
    plan = produce(build(from_plain(raw)), raw, LITTLE)
    first, second = (batches(plan)[label] for label in BAKES[:2])
    now = max(first.start, second.start) + 2
    runs = as_planned(plan, now)
    for label, end in (("Ab1", now + 10), ("Ab2", now + 11)):
        runs[label] = replace(runs[label], expected_end=end, people=("Ines", "Ines"))
    again = batches(went_on(plan, runs, now))

    assert [len(again[label].hands) for label in BAKES[:2]] == [2, 2]
    assert {again[label].hands[1].person for label in BAKES[:2]} == {"Ines", "Odo"}


def test_whoever_begins_with_the_last_batch_goes_on_with_it() -> None:
    plan = went_on(planned(), {}, 360, with_orders({"product": "tart", "quantity": 5}))
    odd = batches(plan)["Aa3"]
    assert (odd.first, odd.last) == ("4", "5")
    begun = Recorded("Aa3", 360, None, 366, "running")
    again = batches(went_on(plan, {"Aa3": begun}, 362))

    assert [(again[label].first, again[label].last) for label in ("Aa3", "Ab3")] == [("0", "1"), ("0", "1")]


def test_what_is_made_again_of_a_lost_batch_is_not_mixed_with_others() -> None:
    plan = went_on(planned(), {}, 360, with_orders({"product": "tart", "quantity": 5}))
    lost, odd = Recorded("Aa1", 360, 366, 366, "lost"), Recorded("Aa3", 361, None, 367, "running")
    again = went_on(plan, {"Aa1": lost, "Aa3": odd}, 366)

    bakes = sorted((b for b in again.batches if b.step == "bake"), key=lambda batch: float(batch.first))
    assert [(batch.label, batch.first, batch.last) for batch in bakes] == [
        ("Ab3", "0", "1"),
        ("Ab2", "1", "3"),
        ("Ab1", "3", "5"),
    ]


def test_what_must_go_on_soon_is_split_like_what_was_begun() -> None:
    raw = with_orders({"product": "tart", "quantity": 5})
    raw["components"]["shell"]["steps"].insert(1, {"wait": "rest", "at_least": "0 min", "at_most": "5 min"})
    raw["kitchen"]["equipment"][0]["starts_at"] = "180 C"
    plan = produce(build(from_plain(raw)), raw, LITTLE)
    more = {**raw, "orders": [{"product": "tart", "quantity": 8}]}
    again = went_on(plan, {"Aa3": Recorded("Aa3", 360, None, 366, "running")}, 362, more)

    def spans(step: str) -> list[tuple[str, str]]:
        return sorted((batch.first, batch.last) for batch in again.batches if batch.step == step)

    assert spans("line") == spans("bake") == [("0", "1"), ("1", "3"), ("3", "5"), ("5", "7"), ("7", "8")]


def test_a_batch_has_the_size_that_it_was_to_have_where_another_is_made_once_more() -> None:
    raw = with_orders({"product": "tart", "quantity": 5})
    plan = produce(build(from_plain(raw)), raw, LITTLE)
    lost = batches(plan)["Aa1"]
    again = went_on(plan, {"Aa1": Recorded("Aa1", 360, None, 366, "running")}, 362, raw)
    assert sizes(again, "Aa") == sizes(plan, "Aa")
    failed_then = went_on(plan, {"Aa1": Recorded("Aa1", lost.start, lost.end, lost.end, "lost")}, lost.end, raw)
    found = sizes(failed_then, "Aa")
    assert {label: found[label] for label in sizes(plan, "Aa")} == sizes(plan, "Aa")
    assert sum(found.values()) == 5 + sizes(plan, "Aa")["Aa1"]


def sizes(plan: Plan, stage: str) -> dict[str, Fraction]:
    return {b.label: Fraction(b.last) - Fraction(b.first) for b in plan.batches if b.label.startswith(stage)}


def test_whoever_begins_a_batch_this_very_minute_goes_on_with_it() -> None:
    plan = planned()
    batch = batches(plan)["Aa1"]
    [hand] = batch.hands
    other = "Ines" if hand.person == "Odo" else "Odo"
    away = deepcopy(SHIFT)
    (mine,) = (entry for entry in away["kitchen"]["people"] if entry["name"] == other)
    mine["breaks"] = [f"{clock(batch.start)}-{clock(batch.start + 3)}"]
    begun = Recorded("Aa1", batch.start, None, batch.end, "running", people=(other,))

    assert batches(went_on(plan, {"Aa1": begun}, batch.start, away))["Aa1"].hands[0].person == other


def test_whoever_is_recorded_at_two_batches_at_once_is_busy_with_both() -> None:
    """Also whoever was to load the oven, once the shorter of the two is done."""
    busy = batches(planned())["Ab1"].hands[0].person
    runs = {
        "Aa2": Recorded("Aa2", 360, 366, 366, "done"),
        "Aa1": Recorded("Aa1", 367, None, 450, "running", people=(busy,)),
        "Ca1": Recorded("Ca1", 368, None, 374, "running", people=(busy,)),
    }
    again = went_on(planned(), runs, 372)

    others = [hand for batch in again.batches if batch.label not in runs for hand in batch.hands]
    assert {hand.person for hand in others if hand.start < 450} == {"Ines", "Odo"} - {busy}


def test_an_oven_that_was_out_of_use_has_further_to_heat_than_was_planned() -> None:
    raw = deepcopy(SHIFT)
    raw["products"]["bun"] = {
        "makes": "1 tray",
        "steps": [{"name": "bake", "takes": "10 min", "equipment": "oven at 200 C", "hands_on": "none"}],
    }
    raw["orders"] = [{"product": "tart", "quantity": 2, "due": "07:30"}, {"product": "bun", "quantity": 2}]
    plan = produce(build(from_plain(raw)), raw, LITTLE)
    heating = next(change for change in plan.changes if change.before == "180 C")
    assert heating.end - heating.start == 2
    now = heating.start + 1
    runs = {label: run for label, run in as_planned(plan, now).items() if not label.startswith("C")}
    raw["kitchen"]["equipment"][0]["out_of_use"] = [f"{clock(heating.start - 8)}-{clock(heating.start - 3)}"]
    so_far = so_far_of(plan, [replace(runs[label], end=heating.start - 9) for label in ("Ab1",)], now, from_plain(raw))

    # Cold since it is back, and heated by 10 degrees a minute since it was to be.
    assert so_far.ovens["oven"].celsius == 30


def test_a_batch_that_goes_on_alone_keeps_its_number() -> None:
    plan = planned()
    now = batches(plan)["Ca2"].start + 1
    runs = {label: run for label, run in as_planned(plan, now).items() if label != "Ca1"}
    again = went_on(plan, runs, now, with_orders({"product": "tart", "quantity": 2}))

    assert [(b.number, b.of) for b in again.batches if b.step == "fill"] == [(2, 2)]


def test_a_batch_that_should_have_ended_long_ago_ends_now() -> None:
    plan = planned()
    now = batches(plan)["Ab1"].end + 7
    runs = as_planned(plan, now)
    runs["Ab1"] = replace(runs["Ab1"], end=None, outcome="running")

    assert batches(went_on(plan, runs, now))["Ab1"].end == now


@pytest.mark.parametrize("label", BAKES)
def test_what_a_lost_batch_has_used_up_is_made_again_from_the_start(label: str) -> None:
    plan = planned()
    now = middle(plan, label)
    runs = as_planned(plan, now)
    runs[label] = failed(runs[label], now)
    again = went_on(plan, runs, now)

    assert batches(again)[label].lost
    assert (total(again, "shell", "line"), total(again, "shell", "bake")) == (8, 8)
    assert total(again, "shell", "bake", given=True) == 6
    assert (total(again, "tart", "fill"), total(again, "cream", "whip")) == (6, 3000)


def test_nothing_is_taken_from_a_lost_batch() -> None:
    plan = planned()
    now = middle(plan, "Aa1")
    runs = as_planned(plan, now)
    runs["Aa1"] = failed(runs["Aa1"], now)
    again = batches(went_on(plan, runs, now))

    assert again["Ab1"].start >= again["Aa2"].end
    assert (again["Aa4"].first, again["Aa4"].last) == ("6", "8")


def test_a_batch_lost_at_the_end_takes_all_its_components_again() -> None:
    plan = planned()
    now = middle(plan, "Ca1")
    runs = as_planned(plan, now)
    runs["Ca1"] = failed(runs["Ca1"], now)
    again = went_on(plan, runs, now)

    assert [batch.number for batch in again.batches if (batch.item, batch.step) == ("tart", "fill")] == [1, 2, 3, 4]
    assert (total(again, "tart", "fill"), total(again, "shell", "bake"), total(again, "cream", "whip")) == (8, 8, 4000)
    assert "Ca1" not in again.orders[0].batches


def test_more_that_is_ordered_adds_batches_and_leaves_the_labels_of_the_others() -> None:
    plan = planned()
    now = middle(plan, "Ab2")
    again = went_on(plan, as_planned(plan, now), now, with_orders({"product": "tart", "quantity": 8, "due": "10:30"}))

    assert batches(again).keys() - batches(plan).keys() == {"Aa4", "Ab4", "Ba4", "Ca4"}
    assert total(again, "tart", "fill") == 8


def test_less_that_is_ordered_leaves_out_what_has_not_begun() -> None:
    plan = planned()
    now = middle(plan, "Ab2")
    again = went_on(plan, as_planned(plan, now), now, with_orders({"product": "tart", "quantity": 4}))

    assert total(again, "shell", "bake") == 4
    assert total(again, "tart", "fill") == 4


def test_an_item_keeps_its_letters_when_another_is_not_made_any_more() -> None:
    raw = deepcopy(SHIFT)
    raw["products"]["biscuit"] = {"makes": "1 tray", "steps": [{"name": "cut", "takes": "5 min"}]}
    raw["products"] = {"biscuit": raw["products"]["biscuit"], "tart": raw["products"]["tart"]}
    both = with_orders({"product": "tart", "quantity": 4}, {"product": "biscuit", "quantity": 1})["orders"]
    plan = went_on(planned(), {}, 360, {**raw, "orders": both})
    assert {entry.item: entry.letters for entry in plan.legend}["tart"] == "C"
    again = went_on(plan, {}, 365, {**raw, "orders": both[1:]})

    assert {entry.item: entry.letters for entry in again.legend} == {"biscuit": "D"}


def test_an_oven_that_is_half_hot_takes_half_the_time() -> None:
    plan = planned()
    [heating] = (change for change in plan.changes if change.kind == "heat")
    now = heating.start + 8
    so_far = so_far_of(plan, as_planned(plan, now).values(), now)

    assert so_far.ovens["oven"].celsius == 20 + (180 - 20) / (heating.end - heating.start) * 8
    assert batches(went_on(plan, as_planned(plan, now), now))["Ab1"].start <= heating.end


def test_a_most_that_is_over_already_is_lifted_and_named() -> None:
    plan = planned()
    now = max(batch.end for batch in plan.batches if batch.step == "whip") + 45
    runs = {label: run for label, run in as_planned(plan, now).items() if not label.startswith("C")}
    again = went_on(plan, runs, now)

    assert again.past is not None
    assert {(entry.before[:2], entry.after and entry.after[:2], entry.rule) for entry in again.past.lifted} == {
        ("Ba", "Ca", "most")
    }


def test_a_batch_that_is_none_of_the_plan_is_refused() -> None:
    with pytest.raises(PlanError, match="Zz9 is no batch of this plan"):
        so_far_of(planned(), [Recorded("Zz9", 360, 370, 370, "done")], 400)


def test_a_lot_that_was_moved_later_than_it_could_be_is_planned_around() -> None:
    raw = deepcopy(SHIFT)
    raw["kitchen"]["equipment"].append({"name": "chiller", "kind": "chiller", "holds": "8 trays"})
    raw["kitchen"]["people"][1] |= {"hours": "09:00-18:00", "skills": ["filling"]}
    raw["components"]["shell"]["steps"].append({"wait": "chill", "at_least": "10 min", "in": "chiller"})
    raw["products"]["tart"]["steps"][0]["people"] = "1 filling"
    raw["orders"][0]["due"] = "12:00"
    plan = produce(build(from_plain(raw)), raw, LITTLE)
    [cool] = [stay for stay in plan.stays if (stay.name, stay.before) == ("cool", "Ab1")]
    assert cool.end - cool.start > cool.least
    again = went_on(plan, as_planned(plan, cool.end + 1), cool.end + 1)
    assert batches(again)["Ca1"].start >= 9 * 60


def test_what_is_made_once_more_takes_up_a_component_in_the_order_in_which_it_comes() -> None:
    cream = {"makes": "1 kg", "steps": [{"name": "beat", "takes": "5 min", "batch": "2 kg"}]}
    bake = {"name": "bake", "takes": "10 min", "equipment": "oven at 180 C", "fills": "1 tray per piece"}
    fill = {"name": "fill", "takes": "6 min", "uses": {"cream": "1 kg"}}
    raw: dict[str, Any] = {
        "name": "buns",
        "shift": {"opens": "06:00", "closes": "14:00"},
        "kitchen": {
            "people": [{"name": "Ines"}, {"name": "Odo"}],
            "equipment": [{"name": "oven", "kind": "oven", "holds": "2 trays", "starts_at": "180 C"}],
        },
        "components": {"cream": {**cream, "steps": [*cream["steps"], {"wait": "rest", "at_least": "10 min"}]}},
        "products": {"bun": {"makes": "1 piece", "steps": [bake, fill]}},
        "orders": [{"product": "bun", "quantity": 5}],
    }
    plan = produce(build(from_plain(raw)), raw, LITTLE)
    first = next(batch for batch in plan.batches if (batch.step, batch.number) == ("bake", 1))
    begun = {first.label: Recorded(first.label, first.start, first.end, first.end, "lost")}
    again = went_on(plan, begun, first.end, raw)
    fills = sorted((b for b in again.batches if b.step == "fill"), key=lambda batch: Fraction(batch.first))
    assert [batch.number for batch in fills] != sorted(batch.number for batch in fills)
    assert check_plan(again) == ()
