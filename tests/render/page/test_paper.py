"""On paper, the pieces of a chart show all of it."""

from __future__ import annotations

from itertools import pairwise
from typing import get_args

import pytest

from stationplan.render.page.paper import ACROSS, DOWN, _shared_out, pieces
from stationplan.render.rows import RowKind
from stationplan.render.svg.drawing import Drawing, drawing
from stationplan.render.svg.places import width

from ..invented_plans import make

Box = tuple[float, float, float, float]


def windows_of(drawn: Drawing) -> list[Box]:
    """Left, top, right and bottom of what each piece shows of the bars."""
    found = []
    for window in (window for piece in pieces(drawn, "x") for window in piece if window[0].get("href") == "#x-bars"):
        left, top, wide, high = (float(number) for number in window.get("viewBox", "").split())
        found.append((left, top, left + wide, top + high))
    return found


@pytest.mark.parametrize("kind", get_args(RowKind))
@pytest.mark.parametrize("copies", [1, 10])
def test_every_label_is_whole_on_some_piece(kind: RowKind, copies: int) -> None:
    drawn = drawing(make(copies), kind)
    windows = windows_of(drawn)
    assert len(windows) > 1
    for label in drawn.labels:
        left, right = label.text[0], label.text[0] + width(label.short)
        shown = [w for w in windows if w[0] <= left and right <= w[2] + 1 and w[1] <= label.baseline <= w[3]]
        again = [w for w in windows if label.bar[0] < w[0] < label.bar[1] and w[1] <= label.baseline <= w[3]]
        assert shown or again, label


@pytest.mark.parametrize("kind", get_args(RowKind))
def test_a_piece_fits_on_paper(kind: RowKind) -> None:
    drawn = drawing(make(), kind)
    tallest = max(bottom - top for top, bottom in pairwise(drawn.tops))
    for piece in pieces(drawn, "x"):
        assert float(piece.get("width", "0")) <= ACROSS
        assert float(piece.get("height", "0")) <= max(DOWN, tallest + drawn.clock_height)
        for window in piece:
            x, wide = float(window.get("x", "0")), float(window.get("width", "0"))
            assert x + wide <= ACROSS + 1


@pytest.mark.parametrize("kind", get_args(RowKind))
@pytest.mark.parametrize("copies", [1, 10])
def test_a_row_in_which_nothing_happens_meanwhile_takes_no_room(kind: RowKind, copies: int) -> None:
    drawn = drawing(make(copies), kind)
    windows = windows_of(drawn)
    for left, top, right, bottom in windows:
        row = drawn.tops.index(top)
        assert drawn.tops[row + 1] == pytest.approx(bottom, abs=0.01)
        assert any(begin < right and end > left for begin, end in drawn.filled[row])
    assert len(windows) < len({window[0] for window in windows}) * len(drawn.filled)


def test_what_lies_beyond_the_edge_of_a_piece_is_veiled_where_another_piece_shows_it() -> None:
    drawn = drawing(make(), "equipment")
    ends = [end for _, end in drawn.axis.windows(ACROSS - drawn.names_width - 96)]
    found = pieces(drawn, "x")
    veils = {float(veil.get("x", "0")) for piece in found for veil in piece.iter("rect") if veil.get("opacity")}
    assert len(ends) > 1
    assert sorted(veils) == pytest.approx(ends[:-1])


def test_no_piece_is_left_with_a_row_alone_where_the_rows_can_be_shared_out() -> None:
    rows = [(float(top), float(top + 100)) for top in range(0, 1000, 100)]
    assert [len(piece) for piece in _shared_out(rows, 900)] == [5, 5]
    assert [len(piece) for piece in _shared_out([*rows[:2], (200.0, 2000.0)], 900)] == [2, 1]
    assert _shared_out([], 900) == []


def test_what_has_begun_before_a_piece_is_named_on_it_again() -> None:
    drawn = drawing(make(), "equipment")
    found = [text.text for piece in pieces(drawn, "x") for text in piece.iter("text")]
    starts = {window[0] for window in windows_of(drawn)}
    wanted = [
        label.short
        for label in drawn.labels
        for start in starts
        if label.bar[0] < start and start + width(label.short) + 3 <= label.bar[1]
    ]
    assert wanted
    assert sorted(found) == sorted(wanted)
