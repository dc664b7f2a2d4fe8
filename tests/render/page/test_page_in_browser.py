"""The page in a real browser: it loads, answers mouse and keys, fits a phone, prints, and asks nobody for anything."""

from __future__ import annotations

import base64
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from stationplan.render.page.document import page

from .plans import nasty_plan, plan_of

if TYPE_CHECKING:
    from selenium.webdriver import Chrome
    from selenium.webdriver.remote.webelement import WebElement

FIRST_SHIFT = "scenarios/first-shift"
PHONE, TABLET = (390, 844), (1280, 800)


class Shown:
    """The page of a plan in the browser."""

    def __init__(self, browser: Chrome, path: Path) -> None:
        self.browser, self.path = browser, path

    def open(self, size: tuple[int, int] = TABLET, **media: str) -> Shown:
        width, height = size
        metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600}
        self.browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
        features = [{"name": name.replace("_", "-"), "value": value} for name, value in media.items()]
        self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": features})
        self.browser.get("about:blank")
        for log in ("browser", "performance"):
            self.browser.get_log(log)  # what was written before
        self.browser.get(self.path.as_uri())
        return self

    def run(self, script: str, *arguments: object) -> Any:
        return self.browser.execute_script(f"return {script}", *arguments)

    def one(self, selector: str) -> WebElement:
        return self.browser.find_element("css selector", selector)

    def told(self) -> str:
        """What stands in the panel; nothing when it is not there."""
        return self.one("#told").text.replace("\N{NON-BREAKING HYPHEN}", "-")

    def press(self, *keys: str) -> None:
        from selenium.webdriver import ActionChains

        ActionChains(self.browser).send_keys(*keys).perform()

    def on_screen(self) -> list[str]:
        return self.run("[...document.querySelectorAll('.view')].filter(v => v.offsetHeight).map(v => v.id)")  # type: ignore[no-any-return]

    def to_bar(self, label: str) -> WebElement:
        return self.one(f"#view-equipment a[href='#batch-{label}']")


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    plans = {"first": plan_of(FIRST_SHIFT), "night": plan_of("docs/examples/shift-overnight"), "nasty": nasty_plan()}
    for name, plan in plans.items():
        (folder / f"{name}.html").write_text(page(plan), encoding="utf-8")
    return {name: folder / f"{name}.html" for name in plans}


@pytest.fixture
def first(browser: Chrome, files: dict[str, Path]) -> Iterator[Shown]:
    yield Shown(browser, files["first"])
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})
    browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": []})


@pytest.mark.parametrize("name", ["first", "night", "nasty"])
def test_it_loads_without_a_complaint_and_without_asking_for_anything(
    browser: Chrome, files: dict[str, Path], name: str
) -> None:
    shown = Shown(browser, files[name]).open()
    assert browser.get_log("browser") == []
    messages = [json.loads(entry["message"])["message"] for entry in browser.get_log("performance")]
    asked = [m["params"]["request"]["url"] for m in messages if m["method"] == "Network.requestWillBeSent"]
    assert {url for url in asked if not url.startswith(("data:", "about:"))} == {files[name].as_uri()}
    assert shown.on_screen() == ["view-equipment"]
    assert shown.one(".clock-strip svg").size["width"] > 300


def test_names_are_not_run(browser: Chrome, files: dict[str, Path]) -> None:
    Shown(browser, files["nasty"]).open()
    assert browser.title.startswith("</title></style><script>")


def test_rows_are_switched_by_mouse_and_by_keys(first: Shown) -> None:
    from selenium.webdriver import Keys

    first.open()
    first.one("label[for=rows-people]").click()
    assert first.on_screen() == ["view-people"]
    first.press(Keys.ARROW_RIGHT)
    assert first.on_screen() == ["view-products"]


def test_a_batch_is_told_by_mouse(first: Shown) -> None:
    from selenium.webdriver import ActionChains

    first.open()
    assert first.told() == ""
    ActionChains(first.browser).move_to_element(first.to_bar("Ac1")).perform()
    assert "Ac1 bake shells" in first.told()
    first.to_bar("Ac2").click()
    assert "Ac2 bake shells" in first.told()
    assert "deck oven, takes 2 trays, 170 C" in first.told()
    ActionChains(first.browser).move_to_element(first.to_bar("Ac1")).perform()
    assert "Ac2 bake shells" in first.told(), "what was chosen must stay"
    first.one("#close").click()
    assert first.told() == ""


def test_a_batch_is_told_by_keys(first: Shown) -> None:
    from selenium.webdriver import Keys

    first.open()
    first.run("document.querySelector('#view-equipment .scroller').focus()")
    first.press(Keys.TAB)
    orders = first.run("document.activeElement.closest('.row').dataset.row")
    assert orders == "deck oven", "the marks of orders are no batches"
    assert "Ac1 bake shells" in first.told()
    first.press(Keys.ARROW_RIGHT)
    assert "Ac2 bake shells" in first.told()
    first.press(Keys.ARROW_DOWN)
    assert "Ca1 whip cream" in first.told()
    first.press(Keys.HOME)
    assert "Aa1 mix paste" in first.told()
    first.press(Keys.ESCAPE)
    assert first.told() == ""
    # One stop of the tabulator for all bars of a chart.
    first.press(Keys.TAB)
    assert first.run("document.activeElement.closest('.board')") is None


def test_without_a_script_everything_can_be_read_and_switched(first: Shown) -> None:
    first.browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    first.open()
    first.one("label[for=rows-products]").click()
    assert [view.is_displayed() for view in first.browser.find_elements("css selector", ".view")] == [
        False,
        False,
        True,
    ]
    first.one("label[for=rows-equipment]").click()
    first.to_bar("Ac1").click()
    assert first.browser.current_url.endswith("#batch-Ac1")
    assert first.one("#batch-Ac1").is_displayed()
    assert not first.one("#now").is_displayed(), "a button that does nothing"


@pytest.mark.parametrize("size", [PHONE, TABLET], ids=["phone", "tablet"])
def test_nothing_but_the_chart_is_wider_than_the_screen(first: Shown, size: tuple[int, int]) -> None:
    first.open(size)
    for view in ("equipment", "people", "products"):
        first.one(f"label[for=rows-{view}]").click()
        assert first.run("document.documentElement.scrollWidth") <= size[0]
        sticking_out = first.run(
            "[...document.querySelectorAll('body *:not(svg *)')]"
            ".filter(e => !e.closest('.scroller, .wide, .paper, .sheet'))"
            ".filter(e => e.getBoundingClientRect().right > arguments[0] + 1).map(e => e.outerHTML.slice(0, 80))",
            size[0],
        )
        assert sticking_out == []


def test_fingers_can_hit_the_buttons(first: Shown) -> None:
    first.open(PHONE)
    small = first.run(
        "[...document.querySelectorAll('nav a, button, #chart > label')].filter(e => e.offsetHeight && "
        "(e.offsetHeight < 24 || e.offsetWidth < 24)).map(e => e.outerHTML)"  # WCAG 2.2, 2.5.8: at least 24 by 24
    )
    assert small == []


def test_clock_and_names_stay_in_sight_while_the_chart_scrolls(first: Shown) -> None:
    first.open(PHONE)
    place = (
        "(e => [e.getBoundingClientRect().left, e.getBoundingClientRect().top])(document.querySelector(arguments[0]))"
    )
    first.run("document.querySelector('.scroller').scrollTo(300, 150)")
    frame = first.run(place, "#view-equipment .scroller")
    assert first.run(place, "#view-equipment .names-strip")[0] == pytest.approx(frame[0], abs=2)
    assert first.run(place, "#view-equipment .clock-strip")[1] == pytest.approx(frame[1], abs=2)


def test_labels_fit_on_their_plaques(first: Shown) -> None:
    first.open()
    for view in ("equipment", "people", "products"):
        first.one(f"label[for=rows-{view}]").click()
        too_long = first.run(
            "[...document.querySelectorAll(`#view-${arguments[0]} text.inside`)]"
            ".filter(t => t.getComputedTextLength() >"
            " Number(t.parentElement.querySelector('.plaque').getAttribute('width'))).map(t => t.textContent)",
            view,
        )
        assert too_long == []


def test_a_dark_screen_gets_dark_colours_and_paper_never_does(first: Shown) -> None:
    colours = (
        "[getComputedStyle(document.documentElement).backgroundColor,"
        " getComputedStyle(document.querySelector('.chart .name')).fill]"
    )
    light = first.open(prefers_color_scheme="light").run(colours)
    dark = first.open(prefers_color_scheme="dark").run(colours)
    assert light == ["rgb(255, 255, 255)", "rgb(27, 27, 27)"]
    assert dark == ["rgb(22, 24, 27)", "rgb(242, 242, 238)"]
    query = {"media": "print", "features": [{"name": "prefers-color-scheme", "value": "dark"}]}
    first.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", query)
    assert first.run(colours) == light


def test_the_time_now_is_marked_when_asked_for(first: Shown) -> None:
    first.open()
    first.browser.execute_script(
        "const real = Date; window.Date = class extends real { getHours() { return 8 } getMinutes() { return 0 } }"
    )
    assert first.browser.find_elements("css selector", ".now") == []
    first.one("#now").click()
    line = first.one("#view-equipment .now").rect
    eight = first.run("[...document.querySelectorAll('#view-equipment .hour')].find(e => e.textContent == '08:00')")
    assert line["x"] == pytest.approx(eight.rect["x"] - 2, abs=2)
    first.one("#now").click()
    assert first.browser.find_elements("css selector", ".now") == []


def test_it_prints_every_piece_of_the_chart_and_every_sheet(first: Shown) -> None:
    first.open()
    first.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print", "features": []})
    pieces = first.browser.find_elements("css selector", ".piece")
    own = first.browser.find_elements("css selector", "#view-equipment .piece")
    assert [piece for piece in pieces if piece.is_displayed()] == own != []
    drawn = first.run("[...document.querySelectorAll('#view-equipment .piece use')].map(u => u.getBBox().width)")
    assert min(drawn) > 50, "a window that shows nothing"
    for hidden in ("nav", ".scroller", "#batches", "#now"):
        assert not first.one(hidden).is_displayed()
    first.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": []})
    sheets = first.run("document.querySelectorAll('.sheet').length")
    # US Letter here; A4 is what the page was looked at on.
    paper = {"preferCSSPageSize": True, "paperWidth": 8.5, "paperHeight": 11}
    printed = base64.b64decode(first.browser.execute_cdp_cmd("Page.printToPDF", paper)["data"])
    assert len(re.findall(rb"/Type\s*/Page\b", printed)) > sheets
