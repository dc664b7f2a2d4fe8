"""The critical chain: what the finish hangs on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from planned import by_hand, raw, solved, step, wait

from stationplan.plan.chain import critical_chain
from stationplan.plan.naming import name_units

if TYPE_CHECKING:
    from stationplan.plan.timeline import Timeline

ALONE: list[dict[str, Any]] = [{"name": "Ines", "skills": ["pastry"]}]


def chain(timeline: Timeline) -> list[tuple[str, str, str]]:
    return [(link.label, link.why, link.on) for link in critical_chain(timeline, name_units(timeline))]


def test_a_batch_that_starts_at_the_opening_hangs_on_it() -> None:
    assert chain(by_hand(raw(step("mix")), Aa1=0)) == [("Aa1", "opening", "")]


def test_a_step_follows_the_one_before_it() -> None:
    timeline = by_hand(raw(step("mix"), step("roll")), Aa1=0, Ab1=10)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Ab1", "follows", "mix")]


def test_a_step_waits_for_the_least_of_a_wait() -> None:
    timeline = by_hand(raw(step("mix"), wait("rest", "30 min"), step("roll")), Aa1=0, Ab1=40)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Ab1", "waits", "rest")]


def test_a_wait_without_name_is_called_after_the_step_before_it() -> None:
    timeline = by_hand(raw(step("mix"), step("roll", after={"step": "mix", "at_least": "5 min"})), Aa1=0, Ab1=15)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Ab1", "waits", "mix")]


def test_a_batch_hangs_on_the_person_who_was_busy() -> None:
    timeline = by_hand(raw(step("roll", batch="1 tray"), quantity=2, people=ALONE), Aa1=0, Aa2=10)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Aa2", "person", "Ines")]


def test_a_load_hangs_on_the_oven_that_was_full() -> None:
    bake = step("bake", "20 min", equipment="oven at 180 C")
    timeline = by_hand(raw(bake, quantity=3), Aa1=16, Aa2=36)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Aa2", "station", "oven 1")]


def test_a_load_hangs_on_the_time_an_oven_takes_to_cool() -> None:
    steps = (
        step("bake", "20 min", equipment="oven at 180 C"),
        step("dry", "20 min", equipment="oven at 160 C", after="none"),
    )
    timeline = by_hand(raw(*steps, step("pack", "0 min", after=["bake", "dry"])), Aa1=16, Ab1=40, Ac1=60)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Ab1", "station", "oven 1"), ("Ac1", "follows", "dry")]


def test_a_batch_hangs_on_a_washed_bowl() -> None:
    mixer = {"equipment": "washed mixer", "fills": "1 l per tray"}
    steps = step("whip", holding="white", **mixer), step("mix", after="none", **mixer)
    timeline = by_hand(raw(*steps, step("fold", after=["whip", "mix"])), Aa1=0, Ab1=15, Ac1=25)
    assert chain(timeline)[:2] == [("Aa1", "opening", ""), ("Ab1", "station", "washed mixer")]


def test_a_batch_that_has_nowhere_to_go_hangs_on_the_full_place() -> None:
    # The freezer holds two trays; the third batch can only come out of the mould when the first has gone on.
    cold = wait("freeze", "30 min", **{"in": "freezer"})
    fill, cut = step("fill", batch="1 tray", hands_on="none"), step("cut", batch="1 tray", hands_on="none")
    timeline = by_hand(raw(fill, cold, cut, quantity=3), Aa1=0, Aa2=0, Aa3=30, Ab1=40, Ab2=40, Ab3=70)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Aa3", "station", "freezer"), ("Ab3", "waits", "freeze")]


def test_a_lot_that_waits_for_the_next_place_hangs_on_it() -> None:
    fill, cut = step("fill", batch="1 tray", hands_on="none"), step("cut", batch="1 tray", hands_on="none")
    scenario = raw(fill, wait("cool", **{"in": "rack"}), wait("freeze", "30 min", **{"in": "freezer"}), cut, quantity=3)
    moves = {"Aa1___Ab1__1": 10, "Aa2___Ab2__1": 10, "Aa3___Ab3__1": 40}
    timeline = by_hand(scenario, Aa1=0, Aa2=0, Aa3=0, Ab1=40, Ab2=40, Ab3=70, **moves)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Ab3", "station", "freezer")]


def test_lots_that_queue_for_a_place_follow_each_other_on_the_chain() -> None:
    fill, cut = step("fill", batch="1 tray", hands_on="none"), step("cut", batch="1 tray", hands_on="none")
    places = [{"name": "blast cabinet", "kind": "freezer", "holds": "1 tray"}]
    cold = wait("freeze", "30 min", **{"in": "blast cabinet"})
    timeline = by_hand(
        raw(fill, cold, cut, quantity=3, equipment=places), Aa1=0, Aa2=30, Aa3=60, Ab1=40, Ab2=70, Ab3=100
    )
    assert chain(timeline) == [
        ("Aa1", "opening", ""),
        ("Aa2", "station", "blast cabinet"),
        ("Aa3", "station", "blast cabinet"),
        ("Ab3", "waits", "freeze"),
    ]


def test_a_full_place_comes_before_what_is_made_just_in_time_for_it() -> None:
    steps = (
        step("mix", batch="1 tray", hands_on="none"),
        step("fill", batch="1 tray", hands_on="none"),
        wait("freeze", "30 min", **{"in": "blast cabinet"}),
        step("cut", batch="1 tray", hands_on="none"),
    )
    places = [{"name": "blast cabinet", "kind": "freezer", "holds": "1 tray"}]
    starts = {"Aa1": 0, "Ab1": 10, "Ac1": 50, "Aa2": 30, "Ab2": 40, "Ac2": 80}
    timeline = by_hand(raw(*steps, quantity=2, equipment=places), **starts)
    assert chain(timeline)[2:] == [("Ab2", "station", "blast cabinet"), ("Ac2", "waits", "freeze")]


def test_a_place_that_is_emptied_late_hangs_on_who_empties_it() -> None:
    # The first tray could come out at 40, but until 60 Ines has another job that only she does.
    steps = (
        step("fill", batch="1 tray", hands_on="none"),
        wait("freeze", "30 min", **{"in": "blast cabinet"}),
        step("cut", batch="1 tray", people="1 pastry"),
    )
    places = [{"name": "blast cabinet", "kind": "freezer", "holds": "1 tray"}]
    orders = [{"product": "tart", "quantity": 2}, {"product": "bun", "quantity": 1}]
    data = raw(*steps, orders=orders, equipment=places, people=ALONE)
    data["products"]["bun"] = {"makes": "1 tray", "steps": [step("shape", "60 min", people="1 pastry")]}
    timeline = by_hand(data, Aa1=0, Aa2=50, Ab1=60, Ab2=90, Ba1=0)
    assert chain(timeline) == [
        ("Ba1", "opening", ""),
        ("Ab1", "person", "Ines"),
        ("Aa2", "station", "blast cabinet"),
        ("Ab2", "waits", "freeze"),
    ]


def test_after_a_break_the_chain_goes_on_with_what_came_too_late_before_it() -> None:
    people = [{"name": "Ines", "breaks": ["06:15-06:30"]}]
    timeline = by_hand(raw(step("mix"), step("roll"), people=people), Aa1=0, Ab1=30)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Ab1", "release", "Ines")]


def test_a_batch_may_hang_on_when_somebody_comes() -> None:
    timeline = by_hand(raw(step("mix"), people=[{"name": "Ines", "hours": "07:00-20:00"}]), Aa1=60)
    assert chain(timeline) == [("Aa1", "release", "Ines")]


def test_what_must_be_used_up_soon_hangs_on_who_uses_it() -> None:
    # Whipping could be earlier, but then the cream would stand too long until the fruit is cooked.
    steps = (
        step("cook", "30 min", hands_on="none"),
        step("whip", after="none"),
        step("fold", after=["cook", {"step": "whip", "at_most": "5 min"}]),
    )
    assert chain(by_hand(raw(*steps), Aa1=0, Ab1=15, Ac1=30)) == [("Aa1", "opening", ""), ("Ac1", "follows", "cook")]
    late = by_hand(raw(*steps), Aa1=0, Ab1=20, Ac1=30)
    assert chain(late) == [("Aa1", "opening", ""), ("Ac1", "follows", "cook")]


def test_the_chain_prefers_a_way_back_without_slack() -> None:
    # cut follows both; roll was held back, so the way over it explains nothing.
    steps = step("mix", "20 min"), step("roll", after="none"), step("cut", after=["roll", "mix"])
    assert chain(by_hand(raw(*steps), Aa1=0, Ab1=10, Ac1=20)) == [("Aa1", "opening", ""), ("Ac1", "follows", "mix")]


def test_of_two_batches_that_end_last_the_one_without_slack_ends_the_chain() -> None:
    # The bun starts later than the cutting, but could have been baked long before it.
    orders = [{"product": "tart", "quantity": 1}, {"product": "bun", "quantity": 1}]
    scenario = raw(step("mix", "20 min"), step("cut", "20 min"), orders=orders)
    scenario["products"]["bun"] = {"makes": "1 tray", "steps": [step("bake", "5 min")]}
    timeline = by_hand(scenario, Aa1=0, Ab1=20, Ba1=35)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Ab1", "follows", "mix")]


def test_a_load_that_the_oven_had_no_room_for_before_a_break_hangs_on_the_oven() -> None:
    people = [{"name": "Ines", "breaks": ["07:00-07:30"]}]
    bake = step("bake", "40 min", equipment="oven at 180 C", load="1 min", hands_on="none", batch="2 trays")
    oven = [{"name": "oven", "kind": "oven", "holds": "2 trays"}]
    timeline = by_hand(raw(bake, quantity=4, people=people, equipment=oven), Aa1=30, Aa2=90)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Aa2", "release", "Ines")]


def test_a_plan_with_idle_time_still_has_a_chain() -> None:
    timeline = by_hand(raw(step("mix"), step("roll")), Aa1=5, Ab1=100)
    assert chain(timeline) == [("Aa1", "opening", ""), ("Ab1", "follows", "mix")]


def test_a_wait_until_delivery_ends_the_chain_with_its_batch() -> None:
    timeline = by_hand(
        raw(step("fill", batch="1 tray"), wait("set", "1 h"), quantity=2, people=ALONE),
        Aa1=0, Aa2=10, Aa1___ready__1=70, Aa2___ready__1=80,
    )  # fmt: skip
    assert chain(timeline) == [("Aa1", "opening", ""), ("Aa2", "person", "Ines")]


def test_the_chain_of_a_solved_plan_is_in_the_order_of_time() -> None:
    bake = step("bake", "20 min", equipment="oven at 180 C", load="2 min", unload="1 min", batch="2 trays")
    cool = wait("cool", "15 min", **{"in": "rack"})
    _, plan = solved(raw(step("roll", "8 min", batch="1 tray"), bake, cool, step("cut", batch="1 tray"), quantity=6))
    starts = {batch.label: batch.start for batch in plan.batches}
    ends = {batch.label: batch.end for batch in plan.batches}
    found = [link.label for link in plan.chain]
    assert [starts[label] for label in found] == sorted(starts[label] for label in found)
    assert ends[found[-1]] == max(ends.values())
    assert plan.chain[0].why == "opening"
