"""Shifts at random: whatever is typed at whatever time, nothing that a shift promises is broken.

``python -m tests.benchmark.shifts`` plays as many more as wanted.
"""

from __future__ import annotations

from collections.abc import Callable
from random import Random

import pytest

from stationplan.live.moment import moment_of
from stationplan.live.record import Log
from stationplan.live.said import WORDS

from .any_shift import first_plan, play, played
from .drawn_moves import PLANNING, mishap, moves


@pytest.mark.parametrize("seed", range(40))
def test_whatever_happens_in_a_shift_no_promise_is_broken(seed: int) -> None:
    found = played(seed)
    if found.error is not None:
        raise AssertionError(f"shift {seed}: {found.told}") from found.error


def test_a_bowl_with_two_batches_at_once_is_washed_after_the_one_that_ends_last() -> None:
    raw, plan = first_plan(4121)
    moves = [(369, "started Ab1"), (369, "started Ba1"), (369, "search")]
    items = {batch.label: batch.item for batch in plan.batches}
    assert (items["Ab1"], items["Ba1"]) == ("base", "slab")
    assert play(raw, plan, lambda _: iter(moves)).error is None


def test_every_word_of_the_record_is_drawn(log: Callable[[], Log]) -> None:
    chance, begun = Random(1), log()
    moment = moment_of(begun, 400)
    drawn = {mishap(chance, begun, moment).split()[0] for _ in range(400)}
    drawn |= {words.split()[0] for _ in range(40) for words in moves(chance, begun, 400)}
    assert {*WORDS, *PLANNING} <= drawn
