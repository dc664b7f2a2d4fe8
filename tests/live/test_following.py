"""People follow the order of a plan: what each batch waits for, and what is left alone."""

from __future__ import annotations

import random
from itertools import count

import pytest

from stationplan.live.course import Course
from stationplan.live.errors import FollowingError
from stationplan.live.following import course_of
from stationplan.live.order_of_use import Taking, handed_on
from stationplan.live.simulation import moments
from stationplan.network import build
from stationplan.plan.document import Plan
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import from_plain

from .kitchen import as_planned, bake, plan_of, step


def starts_of(course: Course, **minutes: float) -> dict[str, tuple[float, float]]:
    """Start and end of each batch, by its label, when the batches of these steps take so long."""
    import numpy as np

    drawn = []
    for work in course.works:
        takes = minutes.get(work.step, work.planned)
        first = min(work.first, takes)
        last = min(work.last, takes - first)
        drawn.append((np.array([first]), np.array([takes - first - last]), np.array([last])))
    at = moments(course, drawn, 1)[:, 0]
    return {work.label: (at[work.begin], at[work.end]) for work in course.works}


def busy() -> Plan:
    """A plan in which ovens change their temperature, breaks are taken and trays wait on a full rack."""
    people = [{"name": "Ines", "breaks": ["07:00-07:20"]}, {"name": "Odo", "hours": "06:30-12:00"}]
    return plan_of(
        step("mix", "4..6 min", hands_on="first 2 min and last 1 min", batch="1 tray"),
        step("bake", "11..13 min", equipment="left oven at 180 C or right oven at 160 C", load="2 min", unload="1 min"),
        {"wait": "cool", "at_least": "9 min", "at_most": "2 h", "in": "rack", "fills": "1 tray per tray"},
        step("fill", "5..9 min", batch="1 tray"),
        step("glaze", "3 min", batch="1 tray"),
        step("brown", "2..4 min", equipment="left oven at 220 C", load="1 min", unload="1 min"),
        quantity=5,
        people=people,
    )


@pytest.mark.parametrize("early", [False, True])
def test_a_plan_in_which_everything_takes_as_long_as_planned_is_kept_to_the_minute(early: bool) -> None:
    plan = busy()
    assert len(plan.changes) >= 2
    kept = as_planned(plan, early=early)
    if not early:
        assert kept == {batch.label: (batch.start, batch.end) for batch in plan.batches}
    assert all(kept[batch.label][1] <= batch.end for batch in plan.batches)


def test_a_batch_that_is_done_sooner_brings_nothing_forward_unless_people_work_ahead() -> None:
    plan = plan_of(step("mix", "10 min"), step("fill", "10 min"))
    assert starts_of(course_of(plan), mix=6)["Ab1"] == (370, 380)
    assert starts_of(course_of(plan, early=True), mix=6)["Ab1"] == (366, 376)


def test_a_late_batch_makes_late_what_needs_it_and_what_its_person_does_next() -> None:
    plan = plan_of(step("mix", "10 min", batch="1 tray"), step("fill", "10 min", batch="1 tray"), quantity=2)
    late = starts_of(course_of(plan), mix=13)
    # Four times ten minutes by one person; the two times of mixing are three minutes longer each.
    assert max(end for _, end in late.values()) == 406


def test_what_must_be_taken_up_soon_is_when_it_is_ready_too_early() -> None:
    whipped = step("fold", "5 min", after={"step": "whip", "at_most": "1 min"})
    plan = plan_of(step("whip", "10 min"), whipped)
    assert starts_of(course_of(plan), whip=6)["Ab1"] == (367, 372)


def test_people_who_work_ahead_do_not_make_too_early_what_must_be_taken_up_soon() -> None:
    people = [{"name": "Ines"}, {"name": "Odo"}]
    steps = (
        step("roast", "40 min", equipment="left oven at 180 C", hands_on="none"),
        step("whip", "10 min", after="none"),
        step("fold", "5 min", after=["roast", {"step": "whip", "at_most": "2 min"}]),
    )
    plan = plan_of(*steps, people=people)
    kept = starts_of(course_of(plan, early=True), roast=40)
    assert kept["Ac1"][0] - kept["Ab1"][1] <= 2


def test_a_break_that_begins_late_is_as_long_as_it_should_be() -> None:
    people = [{"name": "Ines", "breaks": ["06:10-06:30"]}]
    plan = plan_of(step("mix", "10 min"), step("fill", "10 min"), people=people)
    assert starts_of(course_of(plan), mix=14)["Ab1"] == (394, 404)


def test_nobody_comes_before_their_hours() -> None:
    people = [{"name": "Ines", "hours": "06:30-12:00"}]
    plan = plan_of(step("mix", "10 min"), people=people)
    assert starts_of(course_of(plan, early=True))["Aa1"] == (390, 400)


def test_a_tray_stays_in_the_oven_until_somebody_takes_it_out() -> None:
    plan = plan_of(
        step("bake", "10 min", equipment="left oven at 180 C", load="1 min", unload="1 min"),
        step("whip", "9..11 min", after="none"),
        step("fill", "5 min", after=["bake", "whip"]),
    )
    # Loading, then ten minutes of whipping beside the oven.
    assert starts_of(course_of(plan), whip=10)["Aa1"] == (360, 372)
    assert starts_of(course_of(plan), whip=14)["Aa1"] == (360, 376)


def test_a_batch_waits_for_its_oven() -> None:
    plan = plan_of(bake("bake", "20 min", batch="1 tray"), quantity=2)
    assert starts_of(course_of(plan), bake=25) == {"Aa1": (360, 385), "Aa2": (385, 410)}


def test_an_oven_is_heated_when_it_is_free() -> None:
    plan = plan_of(bake("bake", "20 min"), step("brown", "5 min", equipment="left oven at 200 C", hands_on="none"))
    # Two minutes from 180 to 200 C.
    assert starts_of(course_of(plan), bake=24)["Ab1"] == (386, 391)


def test_nothing_begins_in_an_oven_that_would_be_out_of_use_before_it_is_done() -> None:
    oven = {"name": "left oven", "kind": "oven", "holds": "1 tray", "starts_at": "180 C", "out_of_use": ["06:40-07:00"]}
    plan = plan_of(bake("bake", "15..20 min", batch="1 tray"), quantity=3, durations="longest", equipment=[oven])
    assert [(batch.start, batch.end) for batch in plan.batches] == [(360, 380), (380, 400), (420, 440)]
    assert as_planned(plan) == {batch.label: (batch.start, batch.end) for batch in plan.batches}
    late = starts_of(course_of(plan), bake=25)
    assert [late[batch.label] for batch in plan.batches] == [(360, 385), (420, 445), (445, 470)]


def test_stock_is_taken_up_as_planned_and_must_not_be_waited_for_too_long() -> None:
    raw = {
        "name": "stock",
        "shift": {"opens": "06:00", "closes": "20:00"},
        "kitchen": {"people": [{"name": "Ines"}], "equipment": []},
        "stock": [{"item": "cream", "quantity": "500 g", "from": "06:30", "use_by": "06:45"}],
        "components": {"cream": {"makes": "500 g", "steps": [step("cook", "10 min")]}},
        "products": {
            "tart": {"makes": "1 tray", "steps": [step("fill", "5 min", batch="1 tray", uses={"cream": "500 g"})]}
        },
        "orders": [{"product": "tart", "quantity": 2}],
    }
    plan = produce(build(from_plain(raw)), raw, Effort(effort=3, seed=1, workers=1))
    assert as_planned(plan) == {batch.label: (batch.start, batch.end) for batch in plan.batches}
    [stocked] = plan.stock
    [limit] = [one for one in course_of(plan).limits if one.before == stocked.label]
    assert (limit.name, limit.most) == ("stock", 15)


def test_a_plan_with_other_batches_than_its_scenario_is_refused() -> None:
    plan = plan_of(step("mix", "10 min", batch="1 tray"), quantity=2)
    with pytest.raises(FollowingError, match="not those that its scenario asks for"):
        course_of(plan.model_copy(update={"batches": plan.batches[:1]}))


def test_room_that_is_handed_on_is_never_taken_twice() -> None:
    chance = random.Random(3)
    for _ in range(60):
        capacity, takings, number = chance.randint(1, 5), [], count()
        for _ in range(25):
            start, amount = chance.randint(0, 40), chance.randint(1, capacity)
            end = start + chance.randint(1, 9)
            taken = [sum(one.amount for one in takings if one.start <= at < one.end) for at in range(start, end)]
            if max(taken) + amount <= capacity:
                takings.append(Taking(start, end, amount, next(number), next(number)))
        arcs = list(handed_on(takings, capacity))
        begins: dict[int, float] = {}
        ends: dict[int, float] = {}
        for one in sorted(takings, key=lambda one: (one.start, one.end, one.taken)):
            begins[one.taken] = max([0.0, *(ends[before] for before, after in arcs if after == one.taken)])
            ends[one.given_back] = begins[one.taken] + chance.uniform(0.1, 20)
        for moment in begins.values():
            present = [one for one in takings if begins[one.taken] <= moment < ends[one.given_back]]
            assert sum(one.amount for one in present) <= capacity
