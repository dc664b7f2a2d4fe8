"""Sheets as a browser shows and prints them."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from browser import printed

from stationplan.render.sheets import sheets_of
from stationplan.render.sheets.html import as_document

from ..real_plans import MORNING, morning, plan_of, planned, renamed

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

# Points of 1/72 inch: 210 x 297 mm (ISO 216), and 8.5 x 11 inches (ANSI/ASME Y14.1).
SIZES = {"a4": (595, 842), "letter": (612, 792)}


def write(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def pages_of(pdf: bytes) -> list[tuple[int, int]]:
    """Width and height of each page, in points."""
    boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", pdf)
    assert len(boxes) == len(re.findall(rb"/Type\s*/Page\b", pdf))
    return [(round(float(width)), round(float(height))) for width, height in boxes]


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_short_sheet_is_one_page_of_the_paper(browser: Chrome, tmp_path: Path, paper: str) -> None:
    sheets = sheets_of(morning())
    page = write(tmp_path / "sheets.html", as_document(sheets, title="Quay morning", paper=paper))  # type: ignore[arg-type]
    assert pages_of(printed(browser, page)) == [SIZES[paper]] * len(sheets)


def test_a_long_sheet_goes_on_and_the_next_one_begins_on_a_new_page(browser: Chrome, tmp_path: Path) -> None:
    def pages(names: tuple[str, ...]) -> int:
        sheets = sheets_of(planned("scenarios/first-shift"), names=names)
        return len(pages_of(printed(browser, write(tmp_path / "sheets.html", as_document(sheets, title="shift")))))

    assert pages(("Tamsin",)) > 1
    assert pages(("Tamsin", "Odo", "ring")) == pages(("Tamsin",)) + pages(("Odo",)) + pages(("ring",))


def width_needed(browser: Chrome, media: str, width: int) -> int:
    """The columns of dots that the page takes in a window of so many."""
    size = {"width": width, "height": 1000, "deviceScaleFactor": 1, "mobile": False}
    try:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": media})
        browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
        return int(browser.execute_script("return document.documentElement.scrollWidth"))
    finally:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
        browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


# 186 mm on A4 and 192 mm on Letter, at 96 dots an inch; a telephone and a tablet.
@pytest.mark.parametrize(("media", "width"), [("print", 703), ("print", 725), ("screen", 390), ("screen", 1280)])
def test_nothing_is_cut_off_at_the_side_whatever_the_names(
    browser: Chrome, tmp_path: Path, media: str, width: int
) -> None:
    long = {
        "deck oven": "x" * 80,
        "Ada": "Adelheid Constantia of the Upper Quay",
        "fridge": "f" * 80,
        "plums": "p" * 80,
    }
    plan = plan_of(renamed(MORNING, {**long, "whip plum cream": "w" * 80, "rye paste": "r" * 80}))
    page = write(tmp_path / "sheets.html", as_document(sheets_of(plan), title="Quay morning"))
    browser.get(page.as_uri())
    assert width_needed(browser, media, width) <= width


def test_the_browser_asks_for_nothing_else_and_does_not_complain(browser: Chrome, tmp_path: Path) -> None:
    page = write(tmp_path / "sheets.html", as_document(sheets_of(morning()), title="Quay morning"))
    browser.get("about:blank")
    for log in ("browser", "performance"):
        browser.get_log(log)  # what came before is another page's
    browser.get(page.as_uri())
    messages = [json.loads(entry["message"])["message"] for entry in browser.get_log("performance")]
    asked = [m["params"]["request"]["url"] for m in messages if m["method"] == "Network.requestWillBeSent"]
    assert asked == [page.as_uri()]
    assert browser.get_log("browser") == []
