"""Goods that come late hold back the steps that they go into."""

from __future__ import annotations

from typing import Any

from stationplan.network.network import BatchTask

from .small import network, step

BUTTER = [{"ingredient": "Butter", "from": "07:00"}]


def held_back(**parts: Any) -> dict[str, tuple[int, str]]:
    found = network(**parts)
    return {
        f"{meaning.step} {meaning.round}": (task.release, meaning.last_goods)
        for meaning, task in zip(found.tasks, found.problem.tasks, strict=True)
        if isinstance(meaning, BatchTask)
    }


def test_what_stands_at_an_item_goes_into_its_first_step() -> None:
    steps = [step("line"), step("bake")]
    found = held_back(steps=steps, product={"ingredients": {"butter": "20 g"}}, goods=BUTTER)
    assert found == {"line 1": (60, "Butter"), "bake 1": (0, "")}


def test_what_stands_at_a_step_goes_into_that_one() -> None:
    found = held_back(steps=[step("line"), step("brush", ingredients={"butter": "5 g"})], goods=BUTTER)
    assert found == {"line 1": (0, ""), "brush 1": (60, "Butter")}


def test_a_repeated_step_takes_it_in_the_first_round_only() -> None:
    rounds = {"repeat": 2, "steps": [step("fold", ingredients={"butter": "5 g"})]}
    assert held_back(steps=[rounds], goods=BUTTER) == {"fold 1": (60, "Butter"), "fold 2": (0, "")}


def test_the_last_of_several_counts_and_what_is_there_before_opening_holds_nothing_back() -> None:
    goods = [*BUTTER, {"ingredient": "cream", "from": "07:30"}, {"ingredient": "eggs", "from": "05:00"}]
    both = held_back(steps=[step("mix", ingredients={"butter": "5 g", "cream": "5 g", "eggs": "1 egg"})], goods=goods)
    assert both == {"mix 1": (90, "cream")}
    assert held_back(steps=[step("mix", ingredients={"eggs": "1 egg"})], goods=goods) == {"mix 1": (0, "")}
