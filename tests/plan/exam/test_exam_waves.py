"""Waves, hand-ins and late points, on the figures of published exams."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from exams import held, raw

from stationplan.engine.result import Result
from stationplan.plan.document import Least, Stopped
from stationplan.plan.exam import fairness
from stationplan.plan.exam.budget import Budget
from stationplan.plan.exam.errors import ExamImpossibleError
from stationplan.plan.exam.fairness import solved

ROOMY = [
    {"name": "oven", "kind": "oven", "holds": "99 trays", "heats": "100 C/min"},
    {"name": "bench", "kind": "bench"},
]


def test_fifty_six_candidates_take_turns_in_four_waves() -> None:
    """A Paris school's basic certificate, 2011: 56 candidates, sessions of 2 h 30 at 8:30, 12:30, 15:30 and 18:30."""
    plain = raw(
        equipment=ROOMY,
        candidates=56,
        workplaces=14,
        time_allowed="2 h 30 min",
        waves=["08:30", "12:30", "15:30", "18:30"],
    )
    plain["shift"] = {"opens": "08:30", "closes": "21:00"}
    plan = held(plain)
    assert plan.exam is not None
    assert plan.exam.waves == Least(value=4, bound=4)
    begins = [(one.wave, one.begins, one.stops - one.cooks) for one in plan.exam.candidates[::14]]
    assert begins == [(1, 510, 150), (2, 750, 150), (3, 930, 150), (4, 1110, 150)]
    assert [sum(one.wave == wave for one in plan.exam.candidates) for wave in (1, 2, 3, 4)] == [14] * 4


def test_an_apprentice_has_set_up_cooking_windows_and_clean_down() -> None:
    """An Australian competition: 60 min set-up, 150 min cooking, 10-minute windows at 100 and 140 min, 60 min after."""
    plain = raw(
        equipment=ROOMY,
        candidates=2,
        set_up="60 min",
        time_allowed="150 min",
        clean_down="60 min",
        menu=[
            {"product": "tart", "quantity": 1, "hand_in": "100..110 min", "stands": "5 min"},
            {"product": "flan", "quantity": 1, "hand_in": "140..150 min", "stands": "0 min"},
        ],
    )
    plain["products"]["flan"] = plain["products"]["tart"]
    plan = held(plain)
    assert plan.exam is not None
    one = plan.exam.candidates[0]
    assert (one.begins, one.cooks, one.stops, one.leaves) == (480, 540, 690, 750)
    ready = {
        order.product: order.ready - one.cooks for order in plan.orders if order.product.endswith(" of candidate 1")
    }
    assert 95 <= ready["tart of candidate 1"] <= 110
    assert 140 <= ready["flan of candidate 1"] <= 150


def test_up_to_four_in_the_kitchen_at_a_time_make_five_come_in_two_waves() -> None:
    """A US federation's sous-chef exam: 30 min set-up before the own start, 2 h exam, up to 3 others in the kitchen."""
    plan = held(equipment=ROOMY, candidates=5, workplaces=4, set_up="30 min", time_allowed="2 h")
    assert plan.exam is not None
    assert plan.exam.waves == Least(value=2, bound=2)
    assert [one.wave for one in plan.exam.candidates] == [1, 1, 1, 2, 2]
    assert plan.exam.candidates[3].begins == plan.exam.candidates[0].leaves


def test_waves_are_as_few_as_the_hours_and_the_ovens_allow() -> None:
    """Nine candidates start every 20 minutes: eight times 20 and an hour are more than three hours."""
    plain = raw(candidates=9)
    plain["shift"] = {"opens": "08:00", "closes": "12:30"}
    plain["exam"]["break"] = "10 min"
    plan = held(plain)
    assert plan.exam is not None
    assert plan.exam.waves == Least(value=1, bound=1)
    plain["shift"] = {"opens": "08:00", "closes": "11:00"}
    plain["exam"]["days"] = 2
    plan = held(plain)
    assert plan.exam is not None
    assert plan.exam.waves == Least(value=2, bound=2)
    assert next(one.begins for one in plan.exam.candidates if one.wave == 2) == 480 + 24 * 60


def test_too_many_candidates_for_the_hours_are_told_of() -> None:
    plain = raw(candidates=9)
    plain["shift"] = {"opens": "08:00", "closes": "09:30"}
    with pytest.raises(ExamImpossibleError, match="no plan for 9 candidates; in 1 wave, with starts at most"):
        held(plain)


def test_one_more_oven_is_said_to_shorten_the_exam() -> None:
    plain = raw(candidates=4)
    plain["shift"]["closes"] = "10:10"  # so that few starts have to be ruled out for two candidates at a time
    plan = held(plain, advise=True)
    assert plan.exam is not None
    best = plan.exam.advice[0]
    assert (best.change, best.every, best.proved) == ("one more oven, 2 in all", 10, True)


def test_one_more_workplace_is_said_to_save_a_wave() -> None:
    """Three in two waves at two workplaces; how soon waves could be over is not proved."""
    plan = held(equipment=ROOMY, candidates=3, workplaces=2, starts="together", advise=True)
    assert plan.exam is not None
    advice = [(one.change, one.waves, one.proved) for one in plan.exam.advice]
    assert ("one more workplace, 3 in all", 1, False) in advice


def test_a_smaller_wave_takes_less_of_the_day() -> None:
    """Five candidates start every 20 minutes: waves of three and two, 100 and 80 minutes, and 10 between them."""
    plain = raw(candidates=5, workplaces=3)
    plain["exam"]["break"] = "10 min"
    plain["shift"] = {"opens": "08:00", "closes": "11:10"}
    plan = held(plain)
    assert plan.exam is not None
    assert [one.begins for one in plan.exam.candidates] == [480, 500, 520, 590, 610]
    plain["shift"]["closes"] = "11:09"
    with pytest.raises(ExamImpossibleError):
        held(plain)


def test_starts_that_are_given_may_take_too_long() -> None:
    plain = raw(candidates=3, starts="every 40 min")
    plain["shift"] = {"opens": "08:00", "closes": "10:19"}
    with pytest.raises(ExamImpossibleError, match="starts every 40 min would take longer than there is time") as caught:
        held(plain)
    assert caught.value.proved


def test_waves_leave_an_oven_the_time_to_come_back_to_its_first_temperature() -> None:
    """Bakes at 200 C and then at 100 C, heating 1 C a minute: the next wave finds the oven hot only after 100 min."""
    oven = {
        "name": "oven",
        "kind": "oven",
        "holds": "1 tray",
        "heats": "1 C/min",
        "cools": "100 C/min",
        "starts_at": "200 C",
    }
    plain = raw(equipment=[oven, {"name": "bench", "kind": "bench"}], candidates=2, workplaces=1)
    plain["products"]["tart"]["steps"][2] = {"name": "dry", "takes": "5 min", "equipment": "oven at 100 C"}
    plan = held(plain)
    assert plan.exam is not None
    first, second = plan.exam.candidates
    dried, baked = (
        next(batch for batch in plan.batches if batch.step == step and batch.item == f"tart of {name}")
        for step, name in (("dry", first.name), ("bake", second.name))
    )
    assert second.begins > first.leaves
    assert baked.start - dried.end == 100


def test_ovens_are_cold_again_on_the_second_day() -> None:
    """18 minutes at 10 C a minute from 20 C to 200 C, on each day once."""
    plain = raw(candidates=2, workplaces=1, days=2)
    plain["kitchen"]["equipment"][0]["heats"] = "10 C/min"
    plain["shift"]["closes"] = "09:30"
    plan = held(plain)
    bakes = [batch.start for batch in plan.batches if batch.step == "bake"]
    assert [(change.start, change.end) for change in plan.changes] == [(start - 18, start) for start in bakes]
    assert bakes[1] - bakes[0] == 24 * 60


def test_a_dish_of_several_batches_stands_from_its_last_one_on() -> None:
    """Two batches of 20 minutes by one pair of hands: only the last can be ready after 60."""
    plain = raw(
        candidates=1,
        equipment=ROOMY,
        menu=[{"product": "tart", "quantity": 2, "hand_in": "60..70 min", "stands": "0 min"}],
        time_allowed="70 min",
    )
    plain["products"]["tart"]["steps"] = [{"name": "shape", "takes": "20 min", "hands_on": "all", "batch": "1 tray"}]
    plan = held(plain)
    assert plan.exam is not None
    assert sorted(batch.end - plan.exam.candidates[0].cooks for batch in plan.batches)[-1] >= 60
    assert len(plan.batches) == 2


def test_late_dishes_pinned_for_one_candidate_prove_nothing_for_all() -> None:
    """What one candidate alone cannot do in time, two may share out otherwise: here the one oven is too small."""
    late = {"points": 1, "fails_after": "15 min"}
    menu = [{"product": "tart", "quantity": 1, "hand_in": "25 min"}]
    with pytest.raises(ExamImpossibleError) as caught:
        held(
            candidates=2, menu=menu, late=late, time_allowed="30 min", starts="together", workplaces=2, waves=["08:00"]
        )
    assert not caught.value.proved
    plan = held(candidates=2, menu=menu, late=late, time_allowed="30 min")
    assert plan.exam is not None
    assert (plan.exam.every, plan.exam.timeline) == (Least(value=20, bound=0), Least(value=35, bound=0))


def test_a_dish_is_ready_with_time_to_spare_where_that_costs_nothing() -> None:
    """Two dishes of 30 minutes by hand, over by 60 in either order: that comes first whose window opens first."""
    menu = [
        {"product": "tart", "quantity": 1, "hand_in": "60 min"},
        {"product": "cream", "quantity": 1, "hand_in": "30..60 min"},
    ]
    plain = raw(candidates=2, menu=menu)
    for name in ("tart", "cream"):
        steps = [{"name": "make", "takes": "30 min", "hands_on": "all"}]
        plain["products"][name] = {"makes": "1 tray", "steps": steps}
    plan = held(plain)
    assert plan.exam is not None
    cooks = {f"cream of {one.name}": one.cooks for one in plan.exam.candidates}
    assert {order.ready - cooks[order.product] for order in plan.orders if order.product in cooks} == {30}


def test_a_dish_whose_last_batch_need_not_end_last_is_ready_no_sooner_than_it_may() -> None:
    """Trays in a slow oven or a fast one: which ends last is open, and none of the dish may stand before 60."""
    plain = raw(
        candidates=1,
        menu=[{"product": "tart", "quantity": 2, "hand_in": "60..90 min", "stands": "0 min"}],
        time_allowed="90 min",
    )
    plain["kitchen"]["equipment"] = [
        {"name": name, "kind": "oven", "holds": "1 tray", "heats": "100 C/min"} for name in ("slow oven", "fast oven")
    ]
    plain["exam"]["own"] = []
    bake = {
        "name": "bake",
        "takes": "30 min",
        "batch": "1 tray",
        "hands_on": "none",
        "equipment": [
            {"use": "slow oven at 200 C"},
            {"use": "fast oven at 200 C", "takes": "20 min"},
        ],
    }
    plain["products"]["tart"]["steps"] = [bake]
    plan = held(plain)
    assert plan.exam is not None
    ends = [batch.end - plan.exam.candidates[0].cooks for batch in plan.batches]
    assert len(ends) == 2
    assert max(ends) >= 60
    assert plan.exam.timeline.bound == 0


def test_an_interrupted_search_is_told_of_and_looks_for_no_advice(monkeypatch: pytest.MonkeyPatch) -> None:
    def cut_short(*arguments: Any) -> Result:
        return replace(solved(*arguments), interrupted=True)

    monkeypatch.setattr(fairness, "solved", cut_short)
    plan = held(candidates=2, starts="every 20 min", advise=True)
    assert plan.exam is not None
    assert (plan.exam.stopped, plan.exam.advice) == (Stopped(by="interruption"), ())


def test_a_search_whose_time_is_used_up_is_told_of(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Budget, "used_up", property(lambda budget: True))
    plan = held(candidates=2, starts="every 20 min", advise=True)
    assert plan.exam is not None
    assert plan.exam.stopped is not None
    assert (plan.exam.stopped.by, plan.exam.advice) == ("time", ())


def helped(**there: str) -> dict[str, Any]:
    """Two candidates one after the other, whose bakes a helper sees to."""
    plain = raw(
        candidates=2,
        workplaces=1,
        people=[{"name": "Tomas", "skills": "oven", **there}],
        menu=[{"product": "tart", "quantity": 1, "hand_in": "50..60 min"}],
    )
    plain["products"]["tart"]["steps"][1] |= {"people": "1 oven", "hands_on": "all"}
    return plain


def test_a_wave_begins_when_its_helper_can_be_there() -> None:
    """At 09:00 the helper is about to pause until 10:00, too late for the bake before a hand-in by 10:00."""
    plan = held(helped(breaks="09:05-10:00"))
    assert plan.exam is not None
    second = plan.exam.candidates[1]
    bake = next(batch for batch in plan.batches if batch.step == "bake" and batch.item.endswith(second.name))
    assert second.begins > 9 * 60
    assert bake.start >= 10 * 60


def test_a_helper_is_there_at_the_same_hours_on_every_day() -> None:
    plain = helped(hours="08:00-09:05")
    plain["exam"]["days"] = 2
    plan = held(plain)
    assert plan.exam is not None
    assert [one.begins for one in plan.exam.candidates] == [480, 480 + 24 * 60]


def test_a_helper_who_leaves_too_soon_is_no_proof_where_waves_may_begin_at_any_time() -> None:
    with pytest.raises(ExamImpossibleError, match="not all there is") as caught:
        held(helped(hours="08:00-09:05"))
    assert not caught.value.proved


def test_a_helper_who_leaves_too_soon_rules_out_waves_at_given_times() -> None:
    plain = helped(hours="08:00-09:05")
    plain["exam"]["waves"] = ["08:00", "09:30", "12:00"]
    with pytest.raises(ExamImpossibleError) as caught:
        held(plain)
    assert caught.value.proved


def cooling(closes: str, rate: str, waves: list[str] | None) -> dict[str, Any]:
    """Dried at 90 C within 40 minutes, baked at 220 C for a hand-in after 115 to 120; one at a time."""
    menu = [
        {"product": "dry", "quantity": 1, "hand_in": "0..40 min"},
        {"product": "tart", "quantity": 1, "hand_in": "115..120 min", "stands": "0 min"},
    ]
    plain = raw(candidates=2, workplaces=1, menu=menu, time_allowed="120 min", waves=waves)
    plain["kitchen"]["equipment"][0] |= {"heats": "10 C/min", "cools": rate}
    plain["shift"]["closes"] = closes
    plate = {"name": "plate", "takes": "1 min"}
    for name, celsius in (("dry", 90), ("tart", 220)):
        bake = {"name": "bake", "takes": "20 min", "equipment": f"oven at {celsius} C"}
        plain["products"][name] = {"makes": "1 tray", "steps": [bake, plate]}
    return plain


@pytest.mark.parametrize(
    ("closes", "rate", "waves"),
    [
        ("12:30", "2 C/min", None),
        ("12:30", "2 C/min", ["08:00", "10:00"]),
        # Dried for 20, heated for 13, baked for 20 and cooled for 130: 183 from one drying to the next.
        ("13:03", "1 C/min", None),
    ],
)
def test_the_timeline_of_all_waves_leaves_the_oven_the_time_to_cool(
    closes: str, rate: str, waves: list[str] | None
) -> None:
    plan = held(cooling(closes, rate, waves))
    assert plan.exam is not None
    assert plan.exam.waves == Least(value=2, bound=2)


@pytest.mark.parametrize(("closes", "waves"), [("13:02", None), ("13:03", ["08:00", "10:00"])])
def test_what_no_timeline_of_all_waves_leaves_the_time_for_is_impossible(closes: str, waves: list[str] | None) -> None:
    """As above with 130 minutes to cool, but the second wave has to begin 182 minutes after the first, or 120."""
    with pytest.raises(ExamImpossibleError, match="not found out: oven or the hours") as caught:
        held(cooling(closes, "1 C/min", waves))
    assert caught.value.proved


@pytest.mark.parametrize(
    ("candidates", "workplaces", "waves", "begins"),
    [(3, 2, ["08:00", "09:10"], [480, 550, 570]), (2, 1, ["08:00", "08:30", "12:00"], [480, 720])],
)
def test_larger_waves_may_come_last_and_a_given_time_may_be_left_out(
    candidates: int, workplaces: int, waves: list[str], begins: list[int]
) -> None:
    plan = held(candidates=candidates, workplaces=workplaces, waves=waves, starts="every 20 min")
    assert plan.exam is not None
    assert [one.begins for one in plan.exam.candidates] == begins


def test_a_first_wave_begins_later_where_cold_ovens_would_be_too_late() -> None:
    """Hot 18 minutes after opening, and a dish goes in 5 minutes after the start, for 30 more: too late from cold."""
    plain = raw(candidates=1, menu=[{"product": "tart", "quantity": 1, "hand_in": "30..40 min"}])
    plain["kitchen"]["equipment"][0]["heats"] = "10 C/min"
    plan = held(plain)
    assert plan.exam is not None
    one = plan.exam.candidates[0]
    bake = next(batch for batch in plan.batches if batch.step == "bake")
    assert one.begins == 480 + 13
    assert (bake.start, plan.exam.points.value) == (480 + 18, 0)
