"""Bars and labels keep clear of each other."""

from __future__ import annotations

from itertools import combinations
from typing import get_args

import pytest
from hypothesis import HealthCheck, given, settings

from stationplan.plan.document import Plan
from stationplan.render.marks import Kind
from stationplan.render.rows import Bar, Row, RowKind, rows_of
from stationplan.render.svg.axis import Axis
from stationplan.render.svg.places import place, width

from ..invented_plans import make
from ..random_plans import plans

AXIS = Axis(((0, 600),), 4)


def work(start: int, end: int, *texts: str, label: str = "Aa1") -> Bar:
    return Bar(Kind.WORK, start, end, texts or ("Aa1 mix", "Aa1"), label=label)


def row(*bars: Bar) -> Row:
    return Row("oven", tuple((bar,) for bar in bars), kind="station")


def test_a_long_bar_has_the_long_wording_inside_and_a_short_one_the_label_to_its_right() -> None:
    long, short = place(row(work(0, 60), work(100, 103)), AXIS, {})
    assert (long.text, long.inside) == ("Aa1 mix", True)
    assert (short.text, short.inside) == ("Aa1", False)
    assert short.text_x > short.right


def test_bars_at_the_same_time_go_to_different_lanes_and_those_after_each_other_to_one() -> None:
    placed = place(row(work(0, 60), work(30, 90), work(60, 120)), AXIS, {})
    assert {one.bar.start: one.lane for one in placed} == {0: 0, 30: 1, 60: 0}


def test_a_label_does_not_cover_where_hands_come_and_go() -> None:
    [one] = place(row(work(0, 60, "Aa1")), AXIS, {"Aa1": ((0, 2), (58, 60))})
    assert one.worked == ((0, 8), (232, 240))
    assert one.inside
    assert one.text_x > 8
    assert one.text_x + width(one.text) < 232


def test_hands_outside_of_a_bar_are_not_drawn_in_it() -> None:
    [one] = place(row(work(10, 20, "Aa1")), AXIS, {"Aa1": ((0, 12), (18, 30), (40, 50))})
    assert one.worked == ((40, 48), (72, 80))


def clashes(plan: Plan, kind: RowKind) -> list[tuple[str, str]]:
    """Pairs of bars of a row that share some of a lane."""
    found = []
    for row in rows_of(plan, kind, unicode=True):
        placed = [one for one in place(row, Axis.of([(0, 3000)]), {}) if not one.bar.loose]
        for one, other in combinations(placed, 2):
            if one.lane == other.lane and one.extent[0] < other.extent[1] and other.extent[0] < one.extent[1]:
                found.append((one.text, other.text))
    return found


@pytest.mark.parametrize("kind", get_args(RowKind))
def test_nothing_overlaps_in_an_invented_kitchen(kind: RowKind) -> None:
    assert clashes(make(2, 2), kind) == []


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plans())
def test_nothing_overlaps_whatever_the_plan(plan: Plan) -> None:
    assert [clashes(plan, kind) for kind in get_args(RowKind)] == [[], [], []]
