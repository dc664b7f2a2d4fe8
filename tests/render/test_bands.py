"""Folding time into bands."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stationplan.render.bands import SCALES, Band, cut, stretches


def test_quiet_times_of_two_hours_are_left_out_and_shorter_ones_kept() -> None:
    assert stretches([(300, 400), (519, 600), (720, 800)]) == [(300, 600), (720, 800)]


def test_activity_within_activity_adds_nothing() -> None:
    assert stretches([(300, 900), (400, 500), (950, 960)]) == [(300, 960)]


@given(
    begin=st.integers(0, 5000),
    length=st.integers(0, 3000),
    minutes=st.sampled_from(SCALES),
    columns=st.integers(36, 200),
)
def test_bands_cover_their_span_without_gaps_and_fit_the_width(
    begin: int, length: int, minutes: int, columns: int
) -> None:
    bands = cut([(begin, begin + length)], minutes, columns)
    assert bands is not None
    assert bands[0].start <= begin
    assert bands[-1].end >= begin + length
    assert all(before.end == after.start for before, after in pairwise(bands))
    assert all(band.columns <= columns and band.start % 15 == 0 for band in bands)
    assert [band.last for band in bands] == [False] * (len(bands) - 1) + [True]


@pytest.mark.parametrize(
    ("start", "end", "columns"),
    [(300, 310, (0, 5)), (301, 311, (1, 6)), (303, 304, (2, 3)), (300, 300, (0, 1)), (299, 300, (0, 1))],
)
def test_times_fall_on_the_nearest_column_and_take_one_at_least(start: int, end: int, columns: tuple[int, int]) -> None:
    assert Band(300, 2, 30, 30).place(start, end) == columns


def test_what_lies_outside_a_band_has_no_place_in_it() -> None:
    band = Band(300, 2, 30, 30)
    assert band.place(200, 290) is None
    assert band.place(360, 400) is None


def test_what_happens_at_the_very_end_stands_in_the_last_column_of_the_last_band() -> None:
    assert Band(300, 2, 30, 30, last=True).place(360, 360) == (29, 30)
