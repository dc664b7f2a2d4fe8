"""The rest of a shift planned anew, around whatever has happened."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from stationplan.engine.pushing import Pushed, push
from stationplan.live import pushed
from stationplan.live import replan as replan_module
from stationplan.live.replan import Replanned, replan
from stationplan.network import build
from stationplan.network.errors import NetworkError
from stationplan.plan.check import check_plan
from stationplan.plan.document import Plan
from stationplan.plan.errors import ImpossibleError, NothingFoundError
from stationplan.plan.passing import passings_of
from stationplan.plan.produce import Effort, produce
from stationplan.plan.so_far import Recorded, so_far_of
from stationplan.scenario import from_plain

from .shifts import SHIFT, as_planned, batches, failed, planned
from .some_shifts import some_pasts, some_shifts

NO_SEARCH = Effort(effort=0)
SOME = Effort(effort=0.5, seed=1)


def replanned(
    runs: Any, now: int, *, raw: dict[str, Any] = SHIFT, limits: Effort = SOME, plan: Plan | None = None, worth: int = 5
) -> Replanned:
    plan = plan or planned()
    return replan(plan, raw, so_far_of(plan, runs.values(), now), limits, worth=worth)


def with_person_away(name: str, since: str) -> dict[str, Any]:
    raw = deepcopy(SHIFT)
    (person,) = (entry for entry in raw["kitchen"]["people"] if entry["name"] == name)
    person["hours"] = f"06:00-{since}"
    return raw


def test_nothing_changes_where_all_goes_as_planned() -> None:
    now = batches(planned())["Ab2"].start + 1
    found = replanned(as_planned(planned(), now), now)

    assert found.stands
    assert (found.differences.moved, found.differences.hands_changed, found.differences.new) == ((), (), ())
    assert found.plan.finish == planned().finish


def test_whoever_was_to_begin_a_batch_and_whoever_was_to_end_it_still_do() -> None:
    plan = planned()
    hands = [hand for batch in plan.batches for hand in batch.hands]
    pauses = [at for at in range(plan.opens, plan.finish) if not any(hand.start < at < hand.end for hand in hands)]
    other = {"Ines": "Odo", "Odo": "Ines"}
    for pause in pauses:
        # From then on each does the work of the other, who can do the same: a plan as good.
        swapped = plan.model_copy(
            update={
                "batches": tuple(
                    batch.model_copy(
                        update={
                            "hands": tuple(
                                hand.model_copy(update={"person": other[hand.person]}) if hand.start >= pause else hand
                                for hand in batch.hands
                            )
                        }
                    )
                    for batch in plan.batches
                )
            }
        )
        again = replanned({}, plan.opens, limits=NO_SEARCH, plan=swapped).plan
        assert {label: batch.hands for label, batch in batches(again).items()} == {
            label: batch.hands for label, batch in batches(swapped).items()
        }


def test_a_delay_pushes_only_what_hangs_on_it() -> None:
    now = batches(planned())["Ab3"].start + 5
    runs = as_planned(planned(), now)
    runs["Ab3"] = replace(runs["Ab3"], expected_end=runs["Ab3"].expected_end + 20)
    found = replanned(runs, now, limits=NO_SEARCH)

    assert found.stands
    assert found.differences.finish == (planned().finish, planned().finish + 20)
    for moved in found.differences.moved:
        assert moved.before < moved.after <= moved.before + 20
    assert (found.differences.hands_changed, found.differences.ovens_reordered) == ((), ())


def test_a_plan_that_is_not_worth_learning_does_not_take_the_place_of_the_old_one() -> None:
    now = batches(planned())["Ab1"].start + 5
    runs = as_planned(planned(), now)
    runs["Ab1"] = replace(runs["Ab1"], expected_end=runs["Ab1"].expected_end + 30)

    assert replanned(runs, now, worth=1000).stands


def test_a_lost_batch_brings_new_ones_and_says_so() -> None:
    now = batches(planned())["Ab1"].end
    runs = as_planned(planned(), now)
    runs["Ab1"] = failed(runs["Ab1"], now)
    found = replanned(runs, now)

    assert set(found.differences.new) == {"Aa4", "Ab4"}
    assert found.differences.gone == ()
    assert batches(found.plan)["Ab1"].lost
    [order] = found.differences.orders
    assert (order.quantity, order.before, order.after) == (6, planned().orders[0].ready, found.plan.orders[0].ready)


def test_whoever_is_away_hands_over_and_nobody_else_does() -> None:
    now = batches(planned())["Ab1"].start + 5
    away = f"{now // 60:02}:{now % 60:02}"
    found = replanned(as_planned(planned(), now), now, raw=with_person_away("Odo", away))

    assert all(hand.person == "Ines" for batch in found.plan.batches for hand in batch.hands if hand.start > now)
    had_odo = {b.label for b in planned().batches if b.start > now and any(hand.person == "Odo" for hand in b.hands)}
    assert set(found.differences.hands_changed) <= had_odo


def test_the_same_again_is_the_same_plan() -> None:
    now = batches(planned())["Ab1"].start + 5
    runs = as_planned(planned(), now)
    runs["Ab1"] = replace(runs["Ab1"], expected_end=runs["Ab1"].expected_end + 30)

    assert replanned(runs, now).plan == replanned(runs, now).plan


def test_a_plan_can_be_replanned_again_and_again() -> None:
    plan, runs = planned(), {}
    for minutes in (20, 40, 60):
        now = plan.opens + minutes
        runs = {**as_planned(plan, now), **runs}
        last = max(runs, key=lambda label: runs[label].start)
        runs[last] = failed(runs[last], now)
        plan = replanned(runs, now, plan=plan, limits=NO_SEARCH).plan
        runs = {label: run for label, run in runs.items() if run.outcome == "lost"}

    assert sum(batch.lost for batch in plan.batches) == len(runs)
    assert {order.quantity for order in plan.orders} == {6}


def first_plan(raw: dict[str, Any]) -> Plan:
    try:
        return produce(build(from_plain(raw)), raw, Effort(effort=0.02, seed=1))
    except (NetworkError, ImpossibleError, NothingFoundError):
        assume(False)
        raise


@given(data=st.data())
@settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
def test_whatever_happens_the_rest_can_be_planned(data: st.DataObject) -> None:
    raw = data.draw(some_shifts())
    plan = first_plan(raw)
    runs, now = data.draw(some_pasts(plan))
    try:
        found = replanned(runs, now, raw=raw, plan=plan, limits=NO_SEARCH)
    except NothingFoundError:
        found = replanned(runs, now, raw=raw, plan=plan, limits=Effort(effort=0.3, seed=1))

    assert check_plan(found.plan) == ()
    delivered = dict.fromkeys(("slab", "block"), 0.0)
    for batch in found.plan.batches:
        run = runs.get(batch.label)
        if run is not None:
            assert (batch.start, batch.lost) == (run.start, run.outcome == "lost")
            assert batch.end == (max(now, run.expected_end) if run.end is None else run.end)
        else:
            assert batch.start >= now
        last = [
            entry["name"] for entry in {**raw["components"], **raw["products"]}[batch.item]["steps"] if "name" in entry
        ][-1]
        if batch.item in delivered and batch.step == last and not batch.lost:
            delivered[batch.item] += float(batch.last) - float(batch.first)
    for order in raw["orders"]:
        assert delivered[order["product"]] >= order["quantity"]


def test_what_cannot_be_done_any_more_is_told_from_now_on() -> None:
    now = 17 * 60
    with pytest.raises(ImpossibleError) as caught:
        replanned({}, now)
    [reason] = caught.value.reasons
    assert "between 17:00 and 18:00" in reason.sentence
    assert "comes only" not in reason.sentence


def test_no_rule_is_given_up_where_only_pushing_finds_no_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pushed, "push", lambda *_: Pushed(None))
    now = batches(planned())["Ab2"].start + 1
    found = replanned(as_planned(planned(), now), now)
    assert found.pushed is None
    assert found.differences.lifted == ()


def test_a_plan_that_keeps_to_every_rule_takes_the_place_of_one_that_does_not(monkeypatch: pytest.MonkeyPatch) -> None:
    tries = []

    def only_at_last(*arguments: Any) -> Pushed:
        tries.append(arguments)
        return Pushed(None) if len(tries) < 3 else push(*arguments)

    monkeypatch.setattr(pushed, "push", only_at_last)
    monkeypatch.setattr(pushed, "quick_schedule", lambda *_: None)
    now = batches(planned())["Ab2"].end + 1
    found = replanned(as_planned(planned(), now), now, worth=1000)
    assert found.pushed is not None
    assert found.pushed.past is not None
    assert {rule.rule for rule in found.pushed.past.lifted} == {"place"}
    assert found.differences.lifted == ()


def test_batches_are_placed_in_another_order_before_a_rule_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pushed, "push", lambda *_: Pushed(None))
    now = batches(planned())["Ab2"].start + 1
    first: list[tuple[Plan, bool]] = []
    so_far = so_far_of(planned(), as_planned(planned(), now).values(), now)
    found = replan(planned(), SHIFT, so_far, NO_SEARCH, on_first=lambda plan, kept: first.append((plan, kept)))
    assert [(plan is found.plan, kept) for plan, kept in first] == [(True, False)]
    assert (found.pushed, found.stands, found.differences.lifted) == (None, False, ())


def test_only_what_stands_in_a_place_that_is_out_of_use_has_no_room_any_more() -> None:
    raw = deepcopy(SHIFT)
    raw["kitchen"]["equipment"].append({"name": "chiller", "kind": "chiller", "holds": "8 trays"})
    raw["kitchen"]["people"] = [{"name": "Ines", "hours": "06:00-09:00"}, {"name": "Odo", "hours": "06:00-18:00"}]
    raw["components"]["shell"]["steps"].append({"wait": "chill", "at_least": "60 min", "in": "chiller"})
    raw["orders"][0]["due"] = "12:00"
    plan = produce(build(from_plain(raw)), raw, SOME)
    [chill] = [stay for stay in plan.stays if (stay.name, stay.before) == ("chill", "Ab1")]
    now = chill.start + 1
    begun = {batch.label for batch in plan.batches if batch.start < now}
    in_rack = [stay for stay in plan.stays if stay.station == "rack" and stay.before in begun and stay.end > now]
    out = {"between": f"{now // 60:02}:{now % 60:02}-{now // 60 + 1:02}:{now % 60:02}"}
    raw["kitchen"]["equipment"][2]["out_of_use"] = [out]
    found = replanned(as_planned(plan, now), now, raw=raw, plan=plan, limits=NO_SEARCH)
    assert {(rule.before, rule.position) for rule in found.differences.lifted} == {(stay.before, 0) for stay in in_rack}
    assert in_rack


def creams() -> dict[str, Any]:
    """Three who each fill a tart with a cream of their own that keeps for an hour; one of them shapes a bun as well."""
    people, components, products = [], {}, {}
    for name in ("Ines", "Odo", "Eva"):
        skill = f"{name}'s hand"
        people.append({"name": name, "skills": [skill]})
        whip = {"name": f"whip for {name}", "takes": "10 min", "people": f"1 {skill}"}
        fill = {"name": f"fill by {name}", "takes": "20 min", "people": f"1 {skill}"}
        components[f"cream of {name}"] = {"makes": "1 tray", "shelf_life": "60 min", "steps": [whip]}
        products[f"tart of {name}"] = {"makes": "1 tray", "uses": {f"cream of {name}": "1 tray"}, "steps": [fill]}
    shape = {"name": "shape", "takes": "90 min", "people": "1 Eva's hand"}
    orders: list[dict[str, Any]] = [{"product": product, "quantity": 1, "due": "12:00"} for product in products]
    return {
        "name": "creams",
        "shift": {"opens": "06:00", "closes": "18:00"},
        "kitchen": {"people": people, "equipment": []},
        "components": components,
        "products": {**products, "bun": {"makes": "1 tray", "steps": [shape]}},
        "orders": [*orders, {"product": "bun", "quantity": 1, "due": "08:00"}],
    }


@pytest.mark.parametrize("limits", [NO_SEARCH, SOME])
def test_what_keeps_too_short_for_one_is_still_kept_to_for_another(limits: Effort) -> None:
    raw = creams()
    plan = produce(build(from_plain(raw)), raw, SOME)
    runs = {b.label: Recorded(b.label, 360, 370, 370, "done") for b in plan.batches if b.step.startswith("whip")}
    for person in raw["kitchen"]["people"][:2]:
        person["breaks"] = ["06:10-08:30"]
    found = replanned(runs, 372, raw=raw, plan=plan, limits=limits)
    starts = {batch.step: batch.start for batch in found.plan.batches}
    assert starts["fill by Eva"] <= 370 + 60
    assert found.plan.past is not None
    items = {batch.label: batch.item for batch in found.plan.batches}
    # What is past keeping still tells by when it should have been taken up.
    limits = {passing.item: passing.latest for passing in passings_of(found.plan) if passing.after is not None}
    assert set(limits.values()) == {370 + 60}
    assert sorted((items[rule.before], rule.rule) for rule in found.plan.past.lifted) == [
        ("cream of Ines", "shelf life"),
        ("cream of Odo", "shelf life"),
    ]


def test_whoever_interrupts_the_search_has_the_first_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: Any, **__: Any) -> None:
        raise NothingFoundError(interrupted=True)

    monkeypatch.setattr(replan_module, "search", interrupted)
    now = batches(planned())["Ab2"].start + 1
    found = replanned(as_planned(planned(), now), now)
    assert found.plan is found.pushed
