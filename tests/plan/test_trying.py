"""Trying out changed scenarios, and finding the least size of a change."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from planned import step
from readable import raw

from stationplan.engine.feasibility import Verdict
from stationplan.engine.limits import Limits
from stationplan.engine.solver import Settings
from stationplan.plan import trying
from stationplan.plan.errors import CheckFailedError
from stationplan.plan.trying import Found, least_enough, try_out

SETTINGS = Settings(seed=0, workers=1)


def tried(scenario: dict[str, Any], limits: Limits | None = None) -> Verdict:
    return try_out(scenario, "longest", limits or Limits(None, 10), SETTINGS)


def test_a_scenario_with_a_plan_that_holds_is_possible() -> None:
    assert tried(raw(step("bake", equipment="oven at 180 C"), quantity=3)) is Verdict.POSSIBLE


def test_a_scenario_without_any_plan_is_impossible() -> None:
    assert tried(raw(step("dry", "15 h"))) is Verdict.IMPOSSIBLE


def test_a_scenario_that_is_wrong_proves_nothing() -> None:
    assert tried(raw(step("bake", equipment="kiln"))) is Verdict.UNDECIDED


def test_amounts_that_cannot_be_worked_out_prove_nothing() -> None:
    paste = {"makes": "1 kg", "uses": {"paste": "1 g"}, "steps": [step("mix")]}
    circle = raw(step("fill", uses={"paste": "10 g"}), components={"paste": paste})
    assert tried(circle) is Verdict.UNDECIDED


def test_a_batch_that_no_place_can_hold_is_impossible() -> None:
    steps = [step("mix", batch="9 trays"), {"wait": "freeze", "at_least": "1 h", "in": "freezer"}, step("box")]
    assert tried(raw(*steps, quantity=9)) is Verdict.IMPOSSIBLE


def test_without_time_nothing_is_decided() -> None:
    assert tried(raw(step("bake", equipment="oven at 180 C")), Limits(None, 0)) is Verdict.UNDECIDED


def test_a_plan_that_fails_the_check_makes_nothing_possible(monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> None:
        raise CheckFailedError(("something",))

    monkeypatch.setattr(trying, "write_down", refused)
    assert tried(raw(step("mix"))) is Verdict.UNDECIDED


def answering(answer: Callable[[int], Verdict]) -> tuple[Callable[[int], Verdict], list[int]]:
    asked: list[int] = []

    def try_size(size: int) -> Verdict:
        asked.append(size)
        return answer(size)

    return try_size, asked


def from_size(least: int, *open_: int) -> Callable[[int], Verdict]:
    """Possible from a size on; below, impossible but for those that stay open."""

    def answer(size: int) -> Verdict:
        if size >= least:
            return Verdict.POSSIBLE
        return Verdict.UNDECIDED if size in open_ else Verdict.IMPOSSIBLE

    return answer


@pytest.mark.parametrize("least", [1, 2, 14, 15, 16, 30, 31, 59, 100])
@pytest.mark.parametrize("start", [1, 15, 100])
def test_the_least_size_is_found_whatever_it_is(least: int, start: int) -> None:
    try_size, asked = answering(from_size(least))
    assert least_enough(try_size, start, 100, Limits(None, None)) == Found(least, True, least)
    assert len(asked) <= 15
    assert max(asked) <= 100


def test_a_size_below_that_stays_open_leaves_the_least_unproved() -> None:
    found = least_enough(from_size(20, 19, 18, 17), 15, 100, Limits(None, None))
    assert found == Found(20, False, 20)
    assert least_enough(from_size(20, 15), 15, 100, Limits(None, None)) == Found(20, True, 20)


def test_what_is_never_enough_is_told_with_the_most_that_was_tried() -> None:
    assert least_enough(from_size(101), 15, 100, Limits(None, None)) == Found(None, True, 100)
    assert least_enough(from_size(101, 100), 15, 100, Limits(None, None)) == Found(None, False, 100)


def test_a_change_that_can_be_too_large_is_tried_in_every_size() -> None:
    def answer(size: int) -> Verdict:
        return Verdict.POSSIBLE if size in (7, 8, 20, 21, 22) else Verdict.IMPOSSIBLE

    assert least_enough(answer, 5, 30, Limits(None, None)) == Found(20, True, 20)
    assert least_enough(answer, 5, 30, Limits(None, None), steady=False) == Found(7, True, 7)
    assert least_enough(answer, 30, 30, Limits(None, None)) == Found(None, True, 30)
    assert least_enough(answer, 30, 30, Limits(None, None), steady=False) == Found(7, True, 7)


def test_when_nothing_is_left_the_search_stops_where_it_is() -> None:
    limits = Limits(None, 1)

    def answer(size: int) -> Verdict:
        limits.spend(0.4)
        return Verdict.POSSIBLE if size >= 50 else Verdict.IMPOSSIBLE

    assert least_enough(answer, 40, 100, limits) == Found(60, False, 60)
    assert least_enough(answer, 40, 100, limits) == Found(None, True, 40)
    assert least_enough(from_size(1), 40, 100, limits, steady=False).least is False
