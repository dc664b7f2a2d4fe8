"""Cautions stand below everything else on a page, and fit on it."""

from __future__ import annotations

import pytest

from stationplan.render.cautions import HEADING, cautions_below
from stationplan.render.lettering import columns
from stationplan.render.lines import listing
from stationplan.render.text import headline, page

from .invented_plans import make


@pytest.mark.parametrize("unicode", [True, False])
@pytest.mark.parametrize("width", [60, 80, 120])
def test_cautions_end_the_page_and_fit_its_width(width: int, unicode: bool) -> None:
    plan = make(10)
    below = cautions_below(plan, width, unicode)
    assert page(plan, width=width, unicode=unicode).endswith(f"\n\n{below}\n")
    assert max(map(columns, below.splitlines())) <= width
    assert below.isascii() or unicode


def test_cautions_begin_by_saying_that_they_are_hints_and_who_decides() -> None:
    text = " ".join(cautions_below(make()).split())
    assert text.startswith(f"{HEADING} - ")
    assert "no more than hints" in HEADING
    assert "Follow your local code and your own HACCP plan" in HEADING


def test_without_anything_to_look_at_nothing_is_said() -> None:
    plan = make().model_copy(update={"batches": (), "stays": ()})
    assert cautions_below(plan) == ""


def test_neither_the_headline_nor_a_list_has_cautions() -> None:
    plan = make()
    assert "caution" not in headline(plan) + listing(plan, by="time", width=80)
