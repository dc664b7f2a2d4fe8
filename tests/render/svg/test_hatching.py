"""Hatching stays in its box, whatever the box."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stationplan.render.svg.hatching import NUMBER, Box, away, of_item, under, washing

SIDES = st.floats(0, 300).map(lambda value: round(value, 1))


def points(path: str) -> list[tuple[float, float]]:
    """Both ends of every line."""
    found = []
    for x, y, right, down in re.findall(r"M([-\d.e]+),([-\d.e]+)l([-\d.e]+),([-\d.e]+)", path):
        found += [(float(x), float(y)), (float(x) + float(right), float(y) + float(down))]
    return found


@pytest.mark.parametrize("kind", range(NUMBER))
def test_a_box_as_large_as_a_batch_is_hatched_all_over(kind: int) -> None:
    found = points(of_item(kind, Box(100, 50, 180, 70)))
    assert min(x for x, _ in found) < 108
    assert max(x for x, _ in found) > 170
    assert min(y for _, y in found) < 58
    assert max(y for _, y in found) > 60


@given(SIDES, SIDES, SIDES, st.integers(1, 40))
def test_no_line_leaves_its_box(left: float, top: float, wide: float, high: int) -> None:
    box = Box(left, top, left + wide, top + high)
    for path in (away(box), washing(box), *(of_item(kind, box) for kind in range(NUMBER))):
        for x, y in points(path):
            assert box.left - 0.2 <= x <= box.right + 0.2
            assert box.top - 0.2 <= y <= box.bottom + 0.2


def test_rising_lines_rise_and_go_on_in_the_box_beside() -> None:
    whole = points(of_item(0, Box(0, 0, 60, 20)))
    assert whole[0][1] > whole[1][1]
    sums = {round(x + y) for x, y in points(of_item(0, Box(60, 0, 120, 20)))}
    assert sums & {round(x + y) for x, y in whole}


def test_what_is_under_a_slope_ends_at_it() -> None:
    found = points(under((0, 20), (30, 5), 40))
    tops = found[::2]
    assert all(y == pytest.approx(20 - x / 2, abs=0.1) for x, y in tops)
    assert {y for _, y in found[1::2]} == {40}
