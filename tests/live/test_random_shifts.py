"""Shifts at random: whatever is typed at whatever time, nothing that a shift promises is broken.

``python -m tests.benchmark.shifts`` plays as many more as wanted.
"""

from __future__ import annotations

from collections import Counter
from functools import cache

import pytest

from stationplan.live.events import EVENT

from .any_shift import played

SEEDS = range(40)
KINDS: set[str] = set(EVENT.json_schema()["discriminator"]["mapping"])

cached = cache(played)


@pytest.mark.parametrize("seed", SEEDS)
def test_whatever_happens_in_a_shift_no_promise_is_broken(seed: int) -> None:
    found = cached(seed)
    if found.error is not None:
        raise AssertionError(f"shift {seed}: {found.told}") from found.error


def test_everything_that_can_happen_happens_in_them() -> None:
    seen = sum((cached(seed).seen for seed in SEEDS), Counter[str]())
    assert KINDS | {"refused", "proposed", "accepted"} <= seen.keys()
