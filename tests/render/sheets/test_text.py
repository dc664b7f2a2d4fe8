"""Sheets as text."""

from __future__ import annotations

import pytest

from stationplan.render.lettering import columns
from stationplan.render.sheets import sheets_of
from stationplan.render.sheets.text import as_text

from ..real_plans import MORNING, morning, plan_of, planned, renamed


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize("folder", ["scenarios/first-shift", "docs/examples/shift-overnight"])
def test_no_line_is_wider_than_asked_for(width: int, folder: str) -> None:
    assert all(columns(line) <= width for line in as_text(sheets_of(planned(folder)), width=width).splitlines())


def test_long_names_keep_to_the_width_too() -> None:
    long = {"deck oven": "x" * 70, "Ada": "Adelheid Constantia of the Upper Quay and Lower Harbour", "fridge": "Ä" * 65}
    sheets = sheets_of(plan_of(renamed(MORNING, long)))
    text = as_text(sheets, width=60)
    assert all(columns(line) <= 60 for line in text.splitlines())
    # Nothing is lost for want of room.
    assert [text.count(sign) for sign in "xÄU"] == [as_text(sheets, width=1000).count(sign) for sign in "xÄU"]


def test_plain_ascii_is_ascii() -> None:
    assert as_text(sheets_of(plan_of(renamed(MORNING, {"Ada": "Zoë"}))), unicode=False).isascii()


def test_a_form_feed_stands_between_two_sheets_and_nowhere_else() -> None:
    sheets = sheets_of(morning())
    pages = as_text(sheets).split("\f")
    assert [page.partition(" - ")[0] for page in pages] == [sheet.name for sheet in sheets]
    assert all(page.endswith("\n") for page in pages)


def test_a_caution_is_marked() -> None:
    text = as_text(sheets_of(morning(), names=["Ben"], cautions={"Ab1": ["the tray is hot"]}))
    assert text.count("! the tray is hot\n") == 1


def test_an_empty_sheet_says_so() -> None:
    text = as_text(sheets_of(morning(), names=["Ben", "timers"], span=(360, 375)))
    assert text.startswith("Ben - Quay morning: 06:26-06:38\nnothing to do in this time\n\f")


def test_nothing_can_steer_the_terminal() -> None:
    text = as_text(sheets_of(morning(), cautions={"Ab1": ["hot\x1b[31m\u202e"]}))
    assert "hot [31m" in text
    assert "\x1b" not in text
    assert "\u202e" not in text
