"""The cheapest starts are those that trying all starts finds."""

from __future__ import annotations

from itertools import product
from random import Random

import numpy as np

from stationplan.engine.cheapest import cheapest_starts


def least_cost(first: list[int], costs: list[list[int]], arcs: list[tuple[int, int, int]]) -> int | None:
    """The least cost by trying all starts, None where none keep the lags."""
    allowed = [
        [(begin + delay, cost) for delay, cost in enumerate(of_task) if cost >= 0]
        for begin, of_task in zip(first, costs, strict=True)
    ]
    sums = [
        sum(cost for _, cost in chosen)
        for chosen in product(*allowed)
        if all(chosen[after][0] >= chosen[before][0] + weight for before, after, weight in arcs)
    ]
    return min(sums, default=None)


def test_they_cost_no_more_than_any_others() -> None:
    found, impossible = 0, 0
    for seed in range(400):
        draw = Random(seed)
        count = draw.randint(1, 4)
        first = [draw.randint(0, 4) for _ in range(count)]
        costs = [[draw.choice((-1, 0, 1, 2, 5, 9)) for _ in range(draw.randint(1, 6))] for _ in range(count)]
        arcs = [
            (draw.randrange(count), draw.randrange(count), draw.randint(-4, 4))
            for _ in range(draw.randint(0, 2 * count))
        ]
        answer = cheapest_starts(first, [np.array(cost) for cost in costs], arcs)
        expected = least_cost(first, costs, arcs)
        assert (answer and answer[0]) == expected, f"seed {seed}"
        if answer is None:
            impossible += 1
            continue
        found += 1
        cost, starts = answer
        assert cost == sum(of[start - begin] for of, start, begin in zip(costs, starts, first, strict=True))
        assert all(starts[after] >= starts[before] + weight for before, after, weight in arcs), f"seed {seed}"
    assert min(found, impossible) > 50


def test_there_are_none_for_a_task_that_may_not_start_at_all() -> None:
    assert cheapest_starts([3], [np.array([], dtype=np.int64)], []) is None
