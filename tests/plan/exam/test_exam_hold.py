"""An exam is held with dishes in time where that can be; otherwise with the least delay, or refused with the reason."""

from __future__ import annotations

from typing import Any

import pytest
from exams import held, raw

from stationplan.plan.document import Least
from stationplan.plan.exam.errors import ExamImpossibleError


def test_a_dish_that_cannot_be_in_time_costs_a_point_a_minute() -> None:
    """A US school's practical: nothing early, 1 point off for a late minute, more than 15 minutes late fails."""
    late = {"points": 1, "fails_after": "15 min"}
    menu = [{"product": "tart", "quantity": 1, "hand_in": "25 min"}]
    plan = held(candidates=2, menu=menu, late=late, time_allowed="30 min")
    assert plan.exam is not None
    assert plan.exam.points == Least(value=20, bound=20)
    assert {one.stops - one.cooks for one in plan.exam.candidates} == {35}


def test_a_window_is_overrun_by_as_little_as_can_be_even_where_that_costs_nothing() -> None:
    """Either dish may come first without a point, and the other order has more time to spare."""
    menu = [
        {"product": "tart", "quantity": 1, "hand_in": "15 min"},
        {"product": "cream", "quantity": 1, "hand_in": "0..45 min"},
    ]
    late = {"tolerance": "30 min", "fails_after": "60 min"}
    plain = raw(candidates=1, menu=menu, late=late)
    for name, takes in (("tart", "20 min"), ("cream", "10 min")):
        step = {"name": f"make {name}", "takes": takes, "hands_on": "all"}
        plain["products"][name] = {"makes": "1 tray", "steps": [step]}
    plan = held(plain)
    assert plan.exam is not None
    assert [order.ready - plan.exam.candidates[0].cooks for order in plan.orders] == [20, 30]
    assert plan.exam.points == Least(value=0, bound=0)


def test_a_dish_that_would_be_refused_makes_the_exam_impossible() -> None:
    late = {"points": 1, "fails_after": "15 min"}
    menu = [{"product": "tart", "quantity": 1, "hand_in": "19 min"}]
    with pytest.raises(
        ExamImpossibleError, match="tart takes at least 35 min, and must be ready after 19 min"
    ) as caught:
        held(candidates=2, menu=menu, late=late)
    assert caught.value.proved


def test_what_is_in_the_way_of_an_exam_is_not_guessed_at() -> None:
    """One pair of hands loads for 5 minutes each time, and three start together; the oven has room for all of them."""
    oven = {"name": "oven", "kind": "oven", "holds": "3 trays", "heats": "100 C/min"}
    plain = raw(
        equipment=[oven, {"name": "bench", "kind": "bench"}],
        people=[{"name": "Bram", "skills": "oven"}],
        candidates=3,
        starts="together",
        workplaces=3,
        waves=["08:00"],
    )
    bake: dict[str, Any] = plain["products"]["tart"]["steps"][1]
    bake |= {"people": "1 oven", "load": "5 min", "hands_on": "none"}
    with pytest.raises(ExamImpossibleError) as caught:
        held(plain)
    assert "in 1 wave, with these starts, not everybody has their turns in time" in str(caught.value)
    assert "which of these is in the way was not found out: oven, helper Bram or the hours" in str(caught.value)
    assert caught.value.proved


def loaded(**there: str) -> dict[str, Any]:
    """Two candidates whose trays a helper puts into the one oven, in one of two waves that the exam gives."""
    plain = raw(
        candidates=2,
        workplaces=2,
        waves=["08:00", "12:00"],
        people=[{"name": "Bram", "skills": "oven", **there}],
        menu=[{"product": "tart", "quantity": 1, "hand_in": "30..40 min"}],
    )
    plain["products"]["tart"]["steps"][1] |= {"people": "1 oven", "hands_on": "none", "load": "1 min"}
    return plain


def test_helpers_hours_leave_no_proof_of_the_timeline_and_the_plan_says_so() -> None:
    plan = held(loaded(hours="08:00-15:00"))
    assert plan.exam is not None
    assert (plan.exam.timeline.bound, plan.exam.unproved) == (0, "helpers")
    free = held(loaded())
    assert free.exam is not None
    assert free.exam.unproved is None


def test_given_waves_are_all_asked_for_the_closest_starts() -> None:
    """A pause keeps starts further apart in the morning; at noon a load of 1 min and a bake of 20 follow each other."""
    plan = held(loaded(breaks="08:09-08:38"))
    assert plan.exam is not None
    assert plan.exam.every == Least(value=21, bound=21)
    assert plan.exam.candidates[0].begins == 12 * 60


def test_starts_that_cannot_be_together_are_proved_not_to_be_closer_either() -> None:
    """Three in two waves of at most two: any of the two may be the larger one, and together needs two ovens."""
    plain = loaded(hours="08:00-15:00")
    plain["exam"]["candidates"] = 3
    plan = held(plain)
    assert plan.exam is not None
    assert plan.exam.every == Least(value=21, bound=21)
    plain["exam"]["starts"] = "together"
    with pytest.raises(ExamImpossibleError) as caught:
        held(plain)
    assert caught.value.proved
