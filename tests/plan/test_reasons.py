"""Bounds in the kitchen's words."""

from __future__ import annotations

from typing import Any

from planned import raw, step

from stationplan.engine import Bound, BoundKind
from stationplan.engine.bounds import critical_path, lower_bounds
from stationplan.engine.windows import Windows, find_windows
from stationplan.network import Network, build
from stationplan.plan.reasons import reasons_of
from stationplan.scenario.models import Scenario

BAKE: dict[str, Any] = step("bake", "20 min", equipment="oven at 180 C", load="1 min")


def bake_network() -> Network:
    boil = step("boil", equipment="ring", after="none")
    whip = step("whip", equipment="mixer", fills="1 l per tray", after=["bake", "boil"])
    equipment = [
        {"name": "oven", "kind": "oven", "count": 2, "holds": "2 trays"},
        {"name": "mixer", "kind": "mixer", "holds": "10 l"},
        {"name": "ring", "kind": "hob", "count": 3},
    ]
    return build(Scenario.model_validate(raw(BAKE, boil, whip, quantity=3, equipment=equipment)))


def because(kind: BoundKind = BoundKind.RESOURCE, **parts: Any) -> str:
    bound = Bound(kind, 90, **{"resources": (0, 1), "work": 1234, "tasks": (0, 1), **parts})
    (reason,) = reasons_of(bake_network(), [bound])
    assert reason.minutes == 90
    return reason.because


def test_ovens_are_counted_and_their_work_is_in_trays() -> None:
    assert because() == "the 2 ovens: 2 batches, 1,234 tray-minutes of work: cannot end before 07:30"


def test_what_comes_before_and_after_the_work_is_told() -> None:
    sentence = because(head=16, tail=75, tasks=(0,))
    assert "1 batch, 1,234 tray-minutes of work after 06:16, with 1 h 15 min still to come after the last" in sentence


def test_a_single_machine_and_places_and_people() -> None:
    assert because(resources=(2,)).startswith("the mixer: 2 batches, 1,234 minutes of work:")
    assert because(resources=(3,)).startswith("the 3 rings: 2 batches, 1,234 minutes of work:")
    assert because(resources=(4, 5)).startswith("Ines, Odo and Ada: 2 batches, 1,234 minutes of work:")


def test_turns_are_told_with_what_they_take() -> None:
    # 90 minutes in all, of which 16 before and 14 after the turns: 60 for three of them.
    sentence = because(turns=3, lines=2, head=16, tail=14)
    turns = "no more than 2 at a time, so 3 one after another take 1 h after 06:16"
    assert sentence.startswith(f"the 2 ovens: 2 batches, {turns}")
    assert "no more than one at a time, so 2 one after another" in because(turns=2, lines=1)


def test_different_units_together_are_minutes() -> None:
    assert because(resources=(0, 2)).startswith("the oven and the mixer: 2 batches, 1,234 minutes of work:")


def test_a_critical_path_names_its_batches() -> None:
    sentence = because(BoundKind.CRITICAL_PATH, tasks=(0, 1))
    assert sentence == "one step after the other without delay, Aa1 > Aa2: cannot end before 07:30"


def first_reason(people: list[dict[str, Any]], **more: Any) -> str:
    network = build(Scenario.model_validate(raw(step("mix", "20 min"), step("pipe", "40 min", **more), people=people)))
    bounds = lower_bounds(network.problem, windows_of(network))
    return reasons_of(network, [bound for bound in bounds if bound.kind is BoundKind.CRITICAL_PATH])[0].because


def windows_of(network: Network) -> Windows:
    windows = find_windows(network.problem)
    assert isinstance(windows, Windows)
    return windows


def test_a_chain_that_begins_after_a_break_names_whose_it_is_and_what_did_not_fit() -> None:
    assert first_reason([{"name": "Ines", "breaks": ["06:30-07:00"]}]) == (
        "one step after the other without delay, Ab1 07:00 (Ines's break until then; 40 min would not fit before "
        "06:30): cannot end before 07:40"
    )


def test_a_chain_that_begins_when_somebody_comes_names_who() -> None:
    sentence = first_reason([{"name": "Ines", "hours": "07:00-20:00"}])
    assert "Aa1 07:00 (Ines not there earlier) > Ab1: cannot end before 08:00" in sentence


def test_a_chain_that_begins_with_a_hot_oven_says_so() -> None:
    oven = {"equipment": "oven at 180 C", "after": "none"}
    network = build(Scenario.model_validate(raw(step("bake", "40 min", **oven))))
    (reason, *_) = reasons_of(network, [critical_path(network.problem, windows_of(network))])
    assert "Aa1 06:16 (the oven hot then): cannot end before 06:56" in reason.because


def test_what_only_the_search_found_is_said_to_be_so() -> None:
    assert "the search has ruled out any plan that is no later and ends before 07:30" in because(BoundKind.SOLVER)


def test_the_strongest_five_come_first_and_none_twice() -> None:
    bounds = [Bound(BoundKind.SOLVER, minutes) for minutes in (10, 30, 30, 20, 60, 50, 40)]
    assert [reason.minutes for reason in reasons_of(bake_network(), bounds)] == [60, 50, 40, 30, 20]
