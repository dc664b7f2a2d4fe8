"""The checker finds whatever is wrong with a plan, and nothing in a right one."""

from __future__ import annotations

import pytest

from . import tiny
from .answers import Instance, Plan
from .checker import find_faults, find_makespan
from .family import Kitchen, KitchenLink, KitchenTask
from .readers import read_flexible_shop, read_progen_max, read_psplib

# A mix of 10 minutes by one of two people, and three bakes of 20 minutes; the first within 5 minutes of the mix.
KITCHEN = Kitchen(
    (
        KitchenTask("mix", 0, 0, 10, {"people": 1}),
        KitchenTask("bake", 0, 0, 20, {}, 4, 160),
        KitchenTask("bake", 1, 0, 20, {}, 4, 160),
        KitchenTask("bake", 2, 0, 20, {"people": 2}, 6, 180),
    ),
    (KitchenLink(0, 1, 2, 5),),
    {"people": 2},
)
PROJECT = read_psplib(tiny.SINGLE_MODE)
STOCKED = read_psplib(tiny.SEVERAL_MODES)
LAGS = read_progen_max(tiny.LAGS)
SHOP = read_flexible_shop(tiny.FLEXIBLE)


@pytest.mark.parametrize(
    ("instance", "starts", "choices", "makespan"),
    [
        pytest.param(KITCHEN, (0, 12, 15, 10), (0, 0, 0, 1), 35, id="two bakes share an oven"),
        # 20 degrees more take 3 minutes at 8 a minute: from 35 to 38.
        pytest.param(KITCHEN, (0, 12, 15, 38), (0, 0, 0, 0), 58, id="one oven for all"),
        pytest.param(PROJECT, (0, 0, 3, 7), (0, 0, 0, 0), 7, id="one after the other"),
        pytest.param(STOCKED, (0, 0, 6, 9), (0, 1, 0, 0), 9, id="the slow mode"),
        pytest.param(LAGS, (0, 0, 7, 11), (0, 0, 0, 0), 11, id="the most lag is reached"),
        pytest.param(SHOP, (0, 4, 0), (1, 0, 0), 6, id="two machines"),
    ],
)
def test_a_right_plan_has_no_fault(
    instance: Instance, starts: tuple[int, ...], choices: tuple[int, ...], makespan: int
) -> None:
    plan = Plan(starts, choices)
    assert find_faults(instance, plan) == ()
    assert find_makespan(instance, plan) == makespan


@pytest.mark.parametrize(
    ("instance", "starts", "choices", "fault"),
    [
        (KITCHEN, (0, 11, 15, 10), (0, 0, 0, 1), "task 1 starts 1 after task 0, at least 2 are needed"),
        (KITCHEN, (0, 16, 15, 10), (0, 0, 0, 1), "task 1 starts 6 after task 0, at most 5 are allowed"),
        (KITCHEN, (0, 12, 15, 9), (0, 0, 0, 1), "3 of people is in use at 9, there is 2"),
        (KITCHEN, (0, 12, 15, 37), (0, 0, 0, 0), "oven 0 cannot get from 160 C at 35 to 180 C at 37"),
        # Cooling is slower: 20 degrees at 4 a minute take 5 minutes, from 34 to 39.
        (KITCHEN, (30, 42, 38, 14), (0, 0, 0, 0), "oven 0 cannot get from 180 C at 34 to 160 C at 38"),
        (KITCHEN, (0, 12, 15, 20), (0, 0, 0, 0), "14 of oven 0 is in use at 20, there is 8"),
        (KITCHEN, (0, 12, 15), (0, 0, 0), "the plan has another number of tasks than the instance"),
        (KITCHEN, (0, 12, 15, 40), (0, 0, 2, 0), "a task takes a choice that it does not have"),
        (PROJECT, (0, 0, -1, 7), (0, 0, 0, 0), "a task starts before time 0"),
        (PROJECT, (0, 0, 2, 7), (0, 0, 0, 0), "4 of resource 0 is in use at 2, there is 3"),
        (PROJECT, (0, 0, 3, 6), (0, 0, 0, 0), "activity 3 starts at 6, before 7 + 0"),
        (STOCKED, (0, 0, 2, 5), (0, 0, 0, 0), "9 of stock 0 is consumed, there is 5"),
        (STOCKED, (0, 0, 5, 9), (0, 1, 0, 0), "activity 2 starts at 5, before 6 + 0"),
        (LAGS, (0, 0, 4, 8), (0, 0, 0, 0), "activity 2 starts at 4, before 0 + 5"),
        (LAGS, (0, 0, 8, 12), (0, 0, 0, 0), "activity 1 starts at 0, before 8 + -7"),
        (SHOP, (0, 3, 0), (1, 0, 0), "job 0 has an operation at 3 while the one before lasts until 4"),
        (SHOP, (0, 3, 2), (0, 0, 0), "2 of machine 0 is in use at 2, there is 1"),
    ],
)
def test_a_wrong_plan_is_told_what_is_wrong(
    instance: Instance, starts: tuple[int, ...], choices: tuple[int, ...], fault: str
) -> None:
    assert fault in find_faults(instance, Plan(starts, choices))
