"""Whose minutes the time to the finish is."""

from __future__ import annotations

from machines import bakes
from planned import plan_by_hand, solved, step, wait
from readable import raw

from stationplan.plan.document import ChainLink, Plan
from stationplan.plan.shares_of_chain import Owner, Share, shares_of_chain

BAKE = step("bake", "20 min", equipment="oven at 180 C", load="2 min", batch="1 tray")


def one_oven() -> list[dict[str, object]]:
    return [{"name": "oven", "kind": "oven", "holds": "1 tray"}, {"name": "rack", "kind": "rack", "holds": "4 trays"}]


def with_chain(plan: Plan, *links: tuple[str, str, str]) -> Plan:
    chain = tuple(ChainLink.model_validate({"label": label, "why": why, "on": on}) for label, why, on in links)
    return plan.model_copy(update={"chain": chain})


def test_an_oven_that_bakes_one_after_the_other_owns_the_time_of_all_but_the_last() -> None:
    plan = plan_by_hand(bakes(4, 20, 1), Aa1=0, Aa2=20, Aa3=40, Aa4=60)
    # The last bake would take its 20 minutes with any number of ovens.
    assert shares_of_chain(plan) == (Share(Owner.STATION, "oven", 60), Share(Owner.STEP, "", 20))


def test_places_of_one_equipment_share() -> None:
    plan = plan_by_hand(
        bakes(4, 20, 2), {"Aa1": ("oven 1",), "Aa2": ("oven 2",), "Aa3": ("oven 1",), "Aa4": ("oven 2",)},
        Aa1=0, Aa2=0, Aa3=20, Aa4=20,
    )  # fmt: skip
    assert shares_of_chain(plan)[0] == Share(Owner.STATION, "oven", 20)


def test_the_recipe_owns_its_steps_and_its_waits_and_what_comes_before_is_told() -> None:
    data = raw(BAKE, wait("cool", "10 min", **{"in": "rack"}), step("box", "5 min"), equipment=one_oven())
    plan = plan_by_hand(data, Aa1=16, Ab1=48)
    assert shares_of_chain(plan) == (
        Share(Owner.STEP, "", 22 + 5),
        Share(Owner.BEFORE, "", 16),
        Share(Owner.WAIT, "", 10),
    )


def test_all_shares_together_are_the_time_from_opening_to_the_finish() -> None:
    data = raw(BAKE, step("box", "5 min", batch="2 trays"), wait("set", "1 h"), quantity=2, equipment=one_oven())
    plan = plan_by_hand(data, Aa1=16, Aa2=38, Ab1=60, Ab1___ready__1=125)
    shares = shares_of_chain(plan)
    assert sum(share.minutes for share in shares) == plan.finish - plan.opens
    # Ready for delivery only after it has set.
    assert Share(Owner.WAIT, "", 60) in shares


def test_a_person_and_a_break_own_what_waits_for_them() -> None:
    data = raw(step("mix", "10 min"), step("roll", "15 min"), people=[{"name": "Ines", "breaks": ["06:10-06:30"]}])
    plan = plan_by_hand(data, Aa1=0, Ab1=30)
    assert shares_of_chain(plan) == (Share(Owner.STEP, "", 25), Share(Owner.AWAY, "Ines", 20))
    busy = with_chain(plan, ("Aa1", "opening", ""), ("Ab1", "person", "Ines"))
    assert shares_of_chain(busy) == (Share(Owner.PERSON, "Ines", 30), Share(Owner.STEP, "", 15))


def test_a_break_owns_only_what_comes_after_the_wait_before_it() -> None:
    people = [{"name": "Ines", "breaks": ["06:45-07:15"]}]
    roll = step("roll", "15 min")
    plan = plan_by_hand(raw(step("mix", "10 min"), wait("rest", "30 min"), roll, people=people), Aa1=0, Ab1=75)
    # It would be ready to roll at 06:40, but not done before the break; without the break, 35 minutes less.
    assert set(shares_of_chain(plan)) == {
        Share(Owner.AWAY, "Ines", 35),
        Share(Owner.WAIT, "", 30),
        Share(Owner.STEP, "", 25),
    }


def test_a_place_that_is_emptied_after_a_break_shares_the_time_with_the_break() -> None:
    people = [{"name": "Ines", "skills": ["pastry"], "breaks": ["06:35-07:00"]}]
    fill, cut = step("fill", batch="1 tray", hands_on="none"), step("cut", batch="1 tray", people="1 pastry")
    cabinet = [{"name": "blast cabinet", "kind": "freezer", "holds": "1 tray"}]
    cold = wait("freeze", "30 min", **{"in": "blast cabinet"})
    data = raw(fill, cold, cut, quantity=2, equipment=cabinet, people=people)
    plan = plan_by_hand(data, Aa1=0, Aa2=50, Ab1=60, Ab2=90)
    assert [(link.label, link.why, link.on) for link in plan.chain] == [
        ("Aa1", "opening", ""),
        ("Ab1", "release", "Ines"),
        ("Aa2", "station", "blast cabinet"),
        ("Ab2", "waits", "freeze"),
    ]
    assert set(shares_of_chain(plan)) == {
        Share(Owner.STATION, "blast cabinet", 30),
        Share(Owner.AWAY, "Ines", 20),
        Share(Owner.WAIT, "", 30),
        Share(Owner.STEP, "", 20),
    }


def test_what_found_no_room_before_a_break_hangs_on_the_break_and_on_the_place() -> None:
    # The second tray could be filled before 07:10, but until 07:30 it would have nowhere to go.
    people = [{"name": "Ines", "skills": ["pastry"], "breaks": ["07:10-08:00"]}, {"name": "Odo"}]
    fill, cut = step("fill", batch="1 tray", people="1 pastry"), step("cut", batch="1 tray", hands_on="none")
    cabinet = [{"name": "blast cabinet", "kind": "freezer", "holds": "1 tray"}]
    cold = wait("freeze", "80 min", **{"in": "blast cabinet"})
    data = raw(fill, cold, cut, quantity=2, equipment=cabinet, people=people)
    plan = plan_by_hand(data, Aa1=0, Aa2=120, Ab1=90, Ab2=210)
    assert [(link.label, link.why, link.on) for link in plan.chain] == [
        ("Aa1", "opening", ""),
        ("Aa2", "release", "Ines"),
        ("Ab2", "waits", "freeze"),
    ]
    assert set(shares_of_chain(plan)) == {
        Share(Owner.STATION, "blast cabinet", 80),
        Share(Owner.AWAY, "Ines", 30),
        Share(Owner.WAIT, "", 80),
        Share(Owner.STEP, "", 30),
    }


def test_where_the_chain_goes_back_in_time_the_stretch_counts_once() -> None:
    plan = plan_by_hand(bakes(3, 20, 1), Aa1=0, Aa2=20, Aa3=40)
    back = with_chain(plan, ("Aa2", "opening", ""), ("Aa1", "waits", "cool"), ("Aa3", "station", "oven"))
    shares = shares_of_chain(back)
    assert sum(share.minutes for share in shares) == 60
    assert {share.owner: share.minutes for share in shares} == {Owner.BEFORE: 20, Owner.STATION: 20, Owner.STEP: 20}


def queue(holds: int) -> dict[str, object]:
    """Three trays, each 10 minutes to fill, 30 in a cabinet and 10 to cut, without hands."""
    fill, cut = step("fill", batch="1 tray", hands_on="none"), step("cut", batch="1 tray", hands_on="none")
    cabinet = [{"name": "blast cabinet", "kind": "freezer", "holds": f"{holds} trays"}]
    return raw(fill, wait("freeze", "30 min", **{"in": "blast cabinet"}), cut, quantity=3, equipment=cabinet)


def test_a_full_place_owns_the_time_that_more_room_in_it_would_save() -> None:
    plan = plan_by_hand(queue(1), Aa1=0, Aa2=30, Aa3=60, Ab1=40, Ab2=70, Ab3=100)
    full = Share(Owner.STATION, "blast cabinet", 60)
    # The first filling, the last cutting, and the freezing of the last tray, which would take as long in any kitchen.
    assert shares_of_chain(plan) == (full, Share(Owner.WAIT, "", 30), Share(Owner.STEP, "", 20))
    _, roomy = solved(queue(3))
    assert plan.finish - roomy.finish == full.minutes


def test_a_tray_that_could_not_be_moved_into_a_full_place_hangs_on_it() -> None:
    fill, cut = step("fill", batch="1 tray", hands_on="none"), step("cut", batch="1 tray", hands_on="none")
    places = [
        {"name": "rack", "kind": "rack", "holds": "4 trays"},
        {"name": "blast cabinet", "kind": "freezer", "holds": "1 tray"},
    ]
    waits = wait("cool", "5 min", **{"in": "rack"}), wait("freeze", "30 min", **{"in": "blast cabinet"})
    plan = plan_by_hand(
        raw(fill, *waits, cut, quantity=3, equipment=places),
        Aa1=0, Aa2=0, Aa3=0, Ab1=45, Ab2=75, Ab3=105, Aa1___Ab1__1=15, Aa2___Ab2__1=45, Aa3___Ab3__1=75,
    )  # fmt: skip
    assert shares_of_chain(plan) == (
        Share(Owner.STATION, "blast cabinet", 60),
        Share(Owner.WAIT, "", 5 + 30),
        Share(Owner.STEP, "", 20),
    )


def test_without_a_chain_there_is_nothing_to_share() -> None:
    assert shares_of_chain(with_chain(plan_by_hand(bakes(1, 20, 1), Aa1=0))) == ()
