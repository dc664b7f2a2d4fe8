"""The board in a real browser: two tablets follow each other, and a dropped line loses no tap and doubles none."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from live.conftest import Tell

from stationplan.live.record import read

from .serving import Board, serving

if TYPE_CHECKING:
    from selenium.webdriver import Chrome
    from selenium.webdriver.remote.webelement import WebElement

NARROW, PHONE, WALL = (320, 640), (390, 844), (1280, 800)
LONG_ENOUGH = 400
"""Milliseconds."""
STANDS = """((button) => {
  if (!button) return null;
  button.scrollIntoView({ block: "center" });
  const { x, y } = button.getBoundingClientRect();
  return [performance.now(), x, y];
})(document.querySelector(arguments[0]))"""
"""What time it is in the page, and where a button is."""
HELD = """
  document.querySelector("#chart .view").dataset.old = "";
  window.drawings = [];
  const text = Response.prototype.text;
  Response.prototype.text = async function () {
    const said = await text.call(this);
    if (this.url.endsWith("/chart")) await new Promise((arrive) => drawings.push(arrive));
    return said;
  };
"""
"""Holds what is drawn after the answer has begun to arrive, as a slow line does."""


class Tablet:
    """A tab of the browser that shows the board."""

    def __init__(self, browser: Chrome, handle: str) -> None:
        self.browser, self.handle = browser, handle

    def open(self, board: Board, size: tuple[int, int] = WALL, dark: bool = False) -> Tablet:
        self.turn_to()
        metrics = {"width": size[0], "height": size[1], "deviceScaleFactor": 1, "mobile": size[0] < 600}
        self.browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": [scheme]})
        self.browser.get(board.address)
        self.until(lambda: self.link == "connected" and self.run("!!document.querySelector('.now')"))
        return self

    def turn_to(self) -> None:
        self.browser.switch_to.window(self.handle)

    def network(self, there: bool) -> None:
        conditions = {"offline": not there, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1}
        self.browser.execute_cdp_cmd("Network.enable", {})
        self.browser.execute_cdp_cmd("Network.emulateNetworkConditions", conditions)

    def run(self, script: str, *arguments: object) -> Any:
        return self.browser.execute_script(f"return {script}", *arguments)

    def until(self, true: Callable[[], Any], what: str = "") -> None:
        from selenium.webdriver.support.ui import WebDriverWait

        WebDriverWait(self.browser, 30, 0.05).until(lambda _: true(), what)

    @property
    def link(self) -> str:
        return str(self.run("document.querySelector('#link')?.textContent"))

    def standing(self, label: str) -> str | None:
        found = self.run(f"document.querySelector('#glance .card[data-label={label}]')?.dataset.standing")
        return None if found is None else str(found)

    def button(self, kind: str, label: str) -> WebElement:
        return self.browser.find_element("css selector", f"#glance .card[data-label={label}] [data-kind='{kind}']")

    def tap(self, kind: str, label: str) -> None:
        self.press(f"#glance .card[data-label={label}] [data-kind='{kind}']")

    def press(self, selector: str) -> None:
        from selenium.common.exceptions import StaleElementReferenceException

        self.see(selector)
        while True:
            try:
                self.browser.find_element("css selector", selector).click()
            except StaleElementReferenceException:
                continue  # the page was drawn anew before it was pressed
            return

    def see(self, selector: str) -> None:
        """Wait until a button has stood where it is for as long as it takes somebody to see it."""
        stood: dict[tuple[float, float], float] = {}

        def seen() -> bool:
            now, *place = self.run(STANDS, selector) or (0.0, -1.0, -1.0)
            for other in [other for other in stood if other != tuple(place)]:
                del stood[other]
            return bool(now - stood.setdefault((place[0], place[1]), now) > LONG_ENOUGH)

        self.until(seen, selector)

    def hold_drawings(self) -> None:
        """Let no drawing of the chart arrive until it is let go."""
        self.browser.execute_script(HELD)

    def held(self) -> int:
        """How many drawings are on their way."""
        return int(self.run("drawings.length"))

    def let_go(self, number: int) -> None:
        """Let a held drawing arrive, and wait until the page has done with it."""
        self.browser.execute_async_script("drawings[arguments[0]](); setTimeout(arguments[1])", number)

    def drawn_anew(self) -> bool:
        """Whether the chart is another one than when drawings began to be held."""
        return not self.run("document.querySelector('#chart [data-old]')")

    def queue(self) -> list[str]:
        found: list[str] = self.run("[...document.querySelectorAll('#queue li span')].map(e => e.textContent)")
        return found

    def told(self) -> list[str]:
        found: list[str] = self.run("[...document.querySelectorAll('#told span')].map(e => e.textContent)")
        return found


@pytest.fixture
def tablets(browser: Chrome, board: Board) -> Iterator[tuple[Tablet, Tablet]]:
    first = browser.current_window_handle
    browser.switch_to.new_window("tab")
    second = browser.current_window_handle
    for log in ("browser", "performance"):
        browser.get_log(log)  # what was written before
    yield Tablet(browser, first), Tablet(browser, second)
    browser.switch_to.window(second)
    browser.close()
    browser.switch_to.window(first)
    Tablet(browser, first).network(True)
    browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": []})
    browser.get("about:blank")


def test_a_tablet_with_the_token_is_let_in_and_keeps_it_out_of_sight(shift: Path, browser: Chrome) -> None:
    with serving(shift, "token-of-the-morning") as board:
        browser.get(board.address)
        assert "open the address that the board has printed" in browser.page_source
        browser.get(f"{board.address}?token=token-of-the-morning")
        tablet = Tablet(browser, browser.current_window_handle)
        tablet.until(lambda: tablet.link == "connected")
        assert browser.current_url == board.address
        assert tablet.run("document.cookie") == ""
        tablet.tap("started", "Aa1")
        tablet.until(lambda: recorded(shift) == ["started Aa1"])
        browser.get("about:blank")


def recorded(shift: Path) -> list[str]:
    return [f"{entry.event.kind} {getattr(entry.event, 'label', '')}" for entry in read(shift).events]


def test_a_tap_on_one_tablet_shows_on_the_other(board: Board, shift: Path, tablets: tuple[Tablet, Tablet]) -> None:
    one, other = tablets
    one.open(board)
    other.open(board)
    other.tap("started", "Aa1")
    other.until(lambda: "1: started Aa1 at 06:00, board" in other.run("document.body.textContent"))
    one.turn_to()
    one.until(lambda: one.standing("Aa1") == "running")
    assert not one.button("started", "Aa1").is_displayed()
    one.run("document.querySelector('#who').value = 'Odo'")
    one.tap("finished", "Aa1")
    other.turn_to()
    other.until(lambda: "2: finished Aa1 at 06:00, Odo" in other.run("document.body.textContent"))
    assert recorded(shift) == ["started Aa1", "finished Aa1"]
    assert other.run("document.querySelectorAll('#chart .batch.done[data-label=Aa1]').length") == 2
    assert one.browser.get_log("browser") == []
    messages = [json.loads(entry["message"])["message"] for entry in one.browser.get_log("performance")]
    asked = {m["params"]["request"]["url"] for m in messages if m["method"] == "Network.requestWillBeSent"}
    assert {url for url in asked if not url.startswith(("data:", board.address))} == set()


def test_taps_without_a_network_are_sent_later_in_order_and_once(
    board: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    one.open(board, PHONE)
    one.network(False)
    one.tap("started", "Aa1")
    assert one.standing("Aa1") == "running"
    one.tap("+5", "Aa1")
    one.tap("finished", "Aa1")
    one.until(lambda: "no connection since 06:00" in one.link)
    assert one.queue() == ["06:00 started Aa1, board", "06:00 Aa1 +5 min, board", "06:00 finished Aa1, board"]
    assert recorded(shift) == []
    one.network(True)
    one.until(lambda: not one.queue())
    assert recorded(shift) == ["started Aa1", "overrunning Aa1", "finished Aa1"]
    one.until(lambda: one.link == "connected")


def test_taps_outlive_the_board_and_the_page(board: Board, shift: Path, tablets: tuple[Tablet, Tablet]) -> None:
    one, other = tablets
    other.open(board)
    one.open(board)
    board.stop()
    one.until(lambda: "no connection" in one.link)
    one.tap("started", "Aa1")
    board.time.minute += 5
    board.start()
    one.until(lambda: not one.queue())
    assert [entry.event.at for entry in read(shift).events] == [360]
    assert recorded(shift) == ["started Aa1"]
    other.turn_to()
    other.until(lambda: other.standing("Aa1") == "running")
    # One that nobody has acknowledged is sent again after the page was left.
    made = {"key": "e" * 32, "shift": board.identity(), "kind": "finished", "of": "Aa1", "at": 363, "who": "Odo"}
    board.ask("/taps", method="POST", body=json.dumps(made))
    other.run("localStorage.setItem(`tap ${arguments[0].shift} 000000000000001 e`, JSON.stringify(arguments[0]))", made)
    other.open(board)
    other.until(lambda: not other.queue())
    assert recorded(shift) == ["started Aa1", "finished Aa1"]
    assert other.told() == []


def test_a_refused_tap_is_told_and_the_next_ones_are_sent(
    board: Board, shift: Path, tell: Tell, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    one.open(board)
    board.stop()
    one.until(lambda: "no connection" in one.link)
    one.tap("started", "Aa1")
    one.tap("finished", "Aa1")
    # Somebody at the terminal was quicker.
    tell("started Aa1", now=360)
    board.start()
    one.until(lambda: one.told() and not one.queue())
    assert one.told() == ["started Aa1 at 06:00 is not recorded: Aa1 has been started already, at 06:00"]
    assert recorded(shift) == ["started Aa1", "finished Aa1"]
    one.browser.find_element("css selector", "#told button").click()
    assert one.told() == []


def test_a_batch_is_recorded_from_the_chart_and_undone_with_the_keys_alone(
    board: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    from selenium.webdriver import ActionChains, Keys

    one, _ = tablets
    one.open(board)
    one.run("document.querySelector(\"#chart a.bar[href='#batch-Ba1']\").focus()")
    ActionChains(one.browser).send_keys(Keys.ENTER).perform()
    one.until(lambda: one.run("document.activeElement.textContent.startsWith('started')"))
    ActionChains(one.browser).send_keys(Keys.ENTER).perform()
    one.until(lambda: recorded(shift) == ["started Ba1"])
    one.until(lambda: one.run("!!document.querySelector('#panel[data-standing=running]')"))
    ActionChains(one.browser).send_keys(Keys.ESCAPE).perform()
    one.until(lambda: one.run("document.activeElement.getAttribute('href')") == "#batch-Ba1")
    one.until(lambda: one.run("!!document.querySelector('[data-kind=undo]')"))
    one.run("document.querySelector('[data-kind=undo]').focus()")
    ActionChains(one.browser).send_keys(Keys.ENTER).perform()
    one.until(lambda: recorded(shift) == ["started Ba1", "undo "])


def test_a_drawing_that_comes_late_leaves_the_keys_and_the_chart_where_they_were_moved_to(
    board: Board, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    one.open(board, PHONE)
    one.hold_drawings()
    board.tap("started", "Ba1")
    one.until(lambda: one.held() == 1)
    one.run("document.querySelector(\"#chart a.bar[href='#batch-Ac1']\").focus()")
    one.run("document.querySelector('#chart .scroller').scrollLeft = 250")
    one.let_go(0)
    assert one.drawn_anew()
    assert one.run("document.activeElement.getAttribute('href')") == "#batch-Ac1"
    assert one.run("document.querySelector('#chart .scroller').scrollLeft") == 250


def test_a_drawing_that_comes_late_does_not_take_the_place_of_a_newer_one(
    board: Board, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    one.open(board)
    one.hold_drawings()
    for number, kind in enumerate(["started", "finished"], 1):
        board.tap(kind, "Ba1")
        one.until(lambda number=number: one.held() == number)
    one.let_go(1)
    assert one.drawn_anew()
    newer = one.run("document.querySelector('#chart').textContent")
    one.let_go(0)
    assert one.run("document.querySelector('#chart').textContent") == newer


def test_keys_stay_on_what_can_be_undone_when_a_minute_has_passed(board: Board, tablets: tuple[Tablet, Tablet]) -> None:
    one, _ = tablets
    board.tap("started", "Aa1")
    one.open(board)
    one.run("document.querySelector('[data-kind=undo]').focus()")
    one.run("document.querySelector('#glance').firstElementChild.dataset.old = ''")
    board.time.minute += 1
    one.until(lambda: one.run("!document.querySelector('#glance [data-old]')"))
    assert one.run("document.activeElement.dataset.of") == "1"


# WCAG 2.2: 1.4.3 contrast of text (4.5 to 1; 3 to 1 for large text), 1.4.10 reflow at 320 CSS pixels, 2.5.8 size of
# targets (24 CSS pixels; 44 is 2.5.5, of level AAA, which fingers with flour on them want).
CONTRAST = """(() => {
  const rgb = (text) => text.match(/[\\d.]+/g).map(Number);
  const light = (part) => (part / 255 <= 0.04045 ? part / 255 / 12.92 : ((part / 255 + 0.055) / 1.055) ** 2.4);
  const luminance = ([r, g, b]) => 0.2126 * light(r) + 0.7152 * light(g) + 0.0722 * light(b);
  const behind = (element) => {
    const [r, g, b, alpha = 1] = rgb(getComputedStyle(element).backgroundColor);
    return alpha ? [r, g, b] : element.parentElement ? behind(element.parentElement) : [255, 255, 255];
  };
  const found = [];
  for (const element of document.querySelectorAll("body *:not(svg):not(svg *)")) {
    if (![...element.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim())) continue;
    const [one, other] = [rgb(getComputedStyle(element).color), behind(element)].map(luminance);
    const ratio = (Math.max(one, other) + 0.05) / (Math.min(one, other) + 0.05);
    found.push([element.textContent.trim().slice(0, 40), ratio]);
  }
  return found;
})()"""


@pytest.mark.parametrize("dark", [False, True])
def test_it_can_be_read_and_hit_on_a_narrow_phone(board: Board, tablets: tuple[Tablet, Tablet], dark: bool) -> None:
    one, _ = tablets
    board.tap("started", "Aa1")
    board.time.minute += 20
    one.open(board, NARROW, dark)
    one.until(lambda: one.run("!!document.querySelector('.note')"))
    assert one.run("document.documentElement.scrollWidth") == 320
    ratios = one.run(CONTRAST)
    assert len(ratios) > 20
    assert [entry for entry in ratios if entry[1] < 4.5] == []
    sizes = one.run(
        "[...document.querySelectorAll('button, select')].map(e => e.getBoundingClientRect())"
        ".filter(r => r.width).map(r => Math.min(r.width, r.height))"
    )
    assert len(sizes) >= 5
    assert min(sizes) >= 44
