"""Wordings that lists and sheets share."""

from __future__ import annotations

import pytest

from stationplan.render.phrases import clock_span, joined
from stationplan.scenario.units import parse_clock_span


@pytest.mark.parametrize("start", [0, 59, 1439, 1440, 2 * 1440 + 300])
@pytest.mark.parametrize("length", [1, 60, 1440, 3000])
def test_a_span_is_read_back_as_it_was(start: int, length: int) -> None:
    read = parse_clock_span(clock_span(start, start + length))
    assert (read.start, read.end) == (start, start + length)


@pytest.mark.parametrize(
    ("names", "text"),
    [
        (["Ac1"], "Ac1"),
        (["Ac2", "Ac1", "Ac3"], "Ac1-3"),
        (["Ac1", "Ac3"], "Ac1,3"),
        (["Ac1", "Bb1"], "Ac1 Bb1"),
        (["Bd1.1", "Bd1.2"], "Bd1.1-2"),
    ],
)
def test_labels_are_drawn_together_where_they_can_be(names: list[str], text: str) -> None:
    assert joined(names) == text
