"""The smallest kitchen: nothing more can be left out of it, and everything left out can be."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from math import ceil
from typing import Any

import pytest
from machines import bakes
from planned import step
from readable import raw

from stationplan.engine.feasibility import Verdict
from stationplan.network import build
from stationplan.plan.comparing import Ending
from stationplan.plan.produce import Effort, produce
from stationplan.plan.smallest import Needed, Question, Smallest, is_enough, smallest
from stationplan.scenario import from_plain

LIMITS = Effort(effort=4)


@pytest.fixture(name="threads", scope="module")
def two_threads() -> Iterator[Executor]:
    with ThreadPoolExecutor(2) as executor:
        yield executor


def found(data: dict[str, Any], executor: Executor, limits: Effort = LIMITS) -> Smallest:
    scenario = from_plain(data)
    return smallest(build(scenario), scenario, data, limits, executor)


def needed(data: dict[str, Any], executor: Executor) -> dict[str, int]:
    return {each.name: each.after for each in found(data, executor).needed}


@pytest.mark.parametrize(
    ("number", "due", "ovens"), [(6, "07:00", 2), (7, "07:00", 3), (4, "06:20", 4), (6, "10:00", 1)]
)
def test_ovens_that_must_bake_so_many_in_so_long_are_as_many_as_it_takes(
    threads: Executor, number: int, due: str, ovens: int
) -> None:
    minutes = {"06:20": 20, "07:00": 60, "10:00": 240}[due]
    assert ceil(number / ovens) * 20 <= minutes
    assert ovens == 1 or ceil(number / (ovens - 1)) * 20 > minutes
    # Nobody's hands are needed, so nobody is.
    assert needed(bakes(number, 20, 5, due=due), threads) == {"Ines": 0, "oven": ovens}


def test_one_fewer_of_anything_is_proved_to_be_too_late(threads: Executor) -> None:
    small = found(bakes(7, 20, 4, due="07:00"), threads)
    assert small.needed == (
        Needed("Ines", True, 1, 0, None),
        Needed("oven", False, 4, 3, Ending.IMPOSSIBLE),
    )
    # What is left is a kitchen to work in.
    plan = produce(build(from_plain(small.scenario)), small.scenario, Effort(effort=4, workers=1))
    assert plan.tiers[0].value == 0
    assert plan.finish == 7 * 60


def test_what_no_step_uses_is_left_out_at_once(threads: Executor) -> None:
    data = raw(step("bake", equipment="oven at 180 C", people="1"), people=[{"name": "Ines"}])
    left = needed(data, threads)
    assert left == {"Ines": 1, "oven": 1, "rack": 0, "freezer": 0}


def test_people_are_left_out_too_where_the_others_have_the_time(threads: Executor) -> None:
    people = [{"name": "Ines", "skills": ["pastry"]}, {"name": "Odo", "skills": ["pastry"]}, {"name": "Ada"}]
    data = raw(step("roll", "30 min", people="1 pastry", batch="1 tray"), quantity=3, people=people)
    data["orders"][0]["due"] = "07:30"
    assert needed(data, threads) == {"Ines and Odo": 1, "Ada": 0, "oven": 0, "rack": 0, "freezer": 0}
    data["orders"][0]["due"] = "07:00"
    assert needed(data, threads) == {"Ines and Odo": 2, "Ada": 0, "oven": 0, "rack": 0, "freezer": 0}


def test_a_kitchen_that_is_too_small_already_has_no_smallest(threads: Executor) -> None:
    small = found(bakes(7, 20, 1, due="07:00"), threads)
    assert (small.whole, small.needed) == (Ending.IMPOSSIBLE, ())


def test_late_is_not_in_time_though_a_plan_is_possible() -> None:
    verdicts = [is_enough(Question(bakes(2, 20, 1, due=due), "longest", LIMITS)) for due in ("06:39", "06:40")]
    assert verdicts == [Verdict.IMPOSSIBLE, Verdict.POSSIBLE]


def test_two_orders_of_one_product_are_each_in_time() -> None:
    data = bakes(2, 20, 1, due="06:20")
    data["orders"] = [{"product": "tart", "quantity": 1, "due": due} for due in ("06:20", "06:40")]
    assert is_enough(Question(data, "longest", LIMITS)) is Verdict.POSSIBLE
    data["orders"][1]["due"] = "06:39"
    assert is_enough(Question(data, "longest", LIMITS)) is Verdict.IMPOSSIBLE


def test_an_interruption_leaves_the_smallest_kitchen_so_far(threads: Executor) -> None:
    asked = 0

    class Interrupting(Executor):
        def submit(self, fn: Any, /, *args: Any, **more: Any) -> Any:
            nonlocal asked
            asked += 1
            if asked > 3:
                raise KeyboardInterrupt
            return threads.submit(fn, *args, **more)

    small = found(bakes(2, 20, 5), Interrupting())
    assert small.interrupted
    assert small.whole is Ending.PLANNED
    assert [each.after for each in small.needed] == [1, 5]


def with_what_nobody_ordered() -> dict[str, Any]:
    """Two ovens either of which will do for the tart; the loaf that nobody ordered needs one of them, and more."""
    data = raw(
        step("bake", "20 min", equipment="deck oven at 180 C or tall oven at 180 C", load="1 min"),
        components={"dough": {"makes": "1 kg", "steps": [step("knead", equipment="mixer", people="1 baker")]}},
        people=[{"name": "Ines", "skills": ["pastry"]}, {"name": "Odo", "skills": ["baker"]}],
        equipment=[
            {"name": "deck oven", "kind": "oven", "holds": "2 trays"},
            {"name": "tall oven", "kind": "oven", "holds": "2 trays"},
            {"name": "proving box", "kind": "prover", "holds": "4 trays"},
            {"name": "mixer", "kind": "mixer", "holds": "10 l"},
        ],
    )
    data["products"]["loaf"] = {
        "makes": "1 tray",
        "steps": [
            step("prove", "30 min", equipment="proving box at 28 C", uses={"dough": "1 kg"}),
            step("bake loaf", "40 min", equipment="tall oven at 200 C", load="1 min"),
        ],
    }
    return data


def test_what_only_recipes_that_nobody_ordered_need_is_left_out(threads: Executor) -> None:
    small = found(with_what_nobody_ordered(), threads)
    assert small.whole is Ending.PLANNED
    assert sum(each.after for each in small.needed if each.people) == 1
    ovens = {each.name: each.after for each in small.needed if not each.people}
    assert (ovens["deck oven"] + ovens["tall oven"], ovens["proving box"], ovens["mixer"]) == (1, 0, 0)
    # What is left is a scenario that can be read.
    assert list(from_plain(small.scenario).products) == ["tart"]


def test_an_oven_that_no_batch_is_ever_in_may_be_named_by_a_step(threads: Executor) -> None:
    data = raw(
        step("bake", equipment="deck oven at 180 C or stove at 180 C", fills="1 tray"),
        equipment=[
            {"name": "deck oven", "kind": "oven", "holds": "2 trays"},
            {"name": "stove", "kind": "oven", "holds": "0.5 trays"},
        ],
    )
    assert needed(data, threads)["deck oven"] == 1


def test_a_kitchen_that_is_refused_though_nothing_was_taken_away_is_no_answer() -> None:
    data = bakes(2, 20, 1)
    data["kitchen"]["equipment"] = []
    for unreadable in (Verdict.IMPOSSIBLE, Verdict.UNDECIDED):
        assert is_enough(Question(data, "longest", LIMITS, unreadable)) is unreadable
    with pytest.raises(RuntimeError, match="refused"):
        is_enough(Question(data, "longest", LIMITS))
