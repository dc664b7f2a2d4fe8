"""The kitchen family is what its description says."""

from __future__ import annotations

from collections import Counter

import pytest

from .family import SHAPES, kitchen


def test_each_batch_has_16_tasks_and_15_links_of_its_own() -> None:
    made = kitchen(3, 2)
    assert Counter((task.product, task.batch) for task in made.tasks) == {
        (p, b): 16 for p in range(3) for b in range(2)
    }
    # 4 in the sponge, 3 in the crisp, 2 in the mousse, 4 into the assembly, 2 after it.
    assert len(made.links) == 3 * 2 * 15
    assert all(link.before // 16 == link.after // 16 for link in made.links)


def test_batches_of_a_product_are_identical() -> None:
    made = kitchen(1, 2, seed=3)
    first, second = made.tasks[:16], made.tasks[16:]
    assert [(t.name, t.minutes, t.needs, t.slots, t.celsius) for t in first] == [
        (t.name, t.minutes, t.needs, t.slots, t.celsius) for t in second
    ]


def test_the_hands_on_work_of_a_batch_is_92_minutes_and_its_assembly() -> None:
    # melt 10, fold 10, cut 15, crisp mix 8, custard 15, mousse fold 8, cream 6, finish 20.
    tasks = kitchen(1, 1, seed=5).tasks
    [assembly] = [task.minutes for task in tasks if task.name == "assemble"]
    assert 20 <= assembly <= 40
    assert sum(task.minutes for task in tasks if "people" in task.needs) == 92 + assembly


def test_the_ovens_shape_bakes_25_minutes_longer_and_wider() -> None:
    usual, long = (
        next(t for t in kitchen(1, 1, seed=1, shape=shape).tasks if t.name == "bake") for shape in ("people", "ovens")
    )
    assert (long.minutes - usual.minutes, usual.slots, long.slots) == (25, 4, 6)


def test_the_seed_draws_the_same_numbers_on_every_run() -> None:
    # Python keeps the sequence of its generator for a seed; these are its first draws for seed 0, made by hand with
    # choice, choice, randint(8, 22), choice, randint(20, 40), choice.
    tasks = {task.name: task for task in kitchen(1, 1, seed=0).tasks}
    assert (tasks["bake"].celsius, tasks["crisp bake 0"].celsius, tasks["bake"].minutes) == (190, 175, 8)
    assert tasks["assemble"].minutes == 36


@pytest.mark.parametrize("shape", SHAPES)
def test_every_task_fits_into_every_shape(shape: str) -> None:
    made = kitchen(4, 1, shape=shape)
    assert all(amount <= made.pools[pool] for task in made.tasks for pool, amount in task.needs.items())


def test_an_oven_heats_8_and_cools_4_degrees_a_minute_and_never_changes_at_once() -> None:
    made = kitchen(1, 1)
    assert made.changeover(160, 175) == 2
    assert made.changeover(175, 160) == 4
    assert made.changeover(175, 176) == 1
