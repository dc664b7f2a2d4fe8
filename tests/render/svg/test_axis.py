from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stationplan.render.svg.axis import GAP, Axis

SPANS = st.lists(st.tuples(st.integers(0, 3000), st.integers(1, 400)), min_size=1, max_size=4).map(
    lambda found: sorted((start, start + length) for start, length in found)
)


def test_a_short_day_is_rounded_out_to_half_hours_and_drawn_wide() -> None:
    axis = Axis.of([(361, 573)])
    assert axis.stretches == ((360, 600),)
    assert axis.scale == 4
    assert axis.width == 960
    assert axis.x(420) == 240


def test_quiet_hours_are_left_out() -> None:
    axis = Axis.of([(360, 600), (1500, 1620)])
    assert axis.stretches == ((360, 600), (1500, 1620))
    assert axis.gaps() == [(600, 1500)]
    assert axis.x(1500) - axis.x(600) == GAP
    assert axis.x(1050) - axis.x(600) == GAP / 2


def test_only_full_hours_are_major_ticks() -> None:
    ticks = Axis.of([(360, 480)]).ticks()
    assert [tick.minute for tick in ticks if tick.major] == [360, 420, 480]
    assert [tick.minute for tick in ticks][:3] == [360, 375, 390]


@given(SPANS)
def test_later_is_never_further_left(times: list[tuple[int, int]]) -> None:
    axis = Axis.of(times)
    assert all(axis.x(minute) <= axis.x(minute + 1) for minute in range(times[0][0] - 40, times[-1][1] + 40, 7))
    assert axis.x(times[0][0]) >= 0
    assert axis.x(max(end for _, end in times)) <= axis.width


@given(SPANS, st.integers(250, 900))
def test_windows_show_all_of_the_axis_and_none_is_wider_than_the_paper(times: list[tuple[int, int]], room: int) -> None:
    axis = Axis.of(times)
    windows = axis.windows(room)
    assert windows[0][0] == 0
    assert windows[-1][1] == pytest.approx(axis.width)
    assert all(one[1] == other[0] for one, other in pairwise(windows))
    assert all(0 < end - begin <= room + 1e-6 for begin, end in windows)
