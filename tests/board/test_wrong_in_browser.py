"""The board in a real browser: what went wrong is recorded, a plan is proposed, and all pages follow who decides."""

from __future__ import annotations

from pathlib import Path

import pytest

from stationplan.live.record import read
from stationplan.live.wording import told

from .serving import Board
from .test_board_in_browser import CONTRAST, NARROW, PHONE, Tablet, tablets

__all__ = ["tablets"]


@pytest.fixture
def running(board: Board) -> Board:
    """A board whose first batch runs."""
    board.tap("started", "Aa1")
    board.time.minute += 6
    return board


def events(shift: Path) -> list[str]:
    return [told(entry.event) for entry in read(shift).events]


def press(tablet: Tablet, selector: str) -> None:
    tablet.turn_to()
    tablet.press(selector)


def choose(tablet: Tablet, word: str, value: str) -> None:
    """Choose something that went wrong."""
    press(tablet, "#wrong-open")
    tablet.run("document.querySelector(arguments[0]).value = arguments[1]", f"#choice-{word}", value)
    press(tablet, f"#wrong [data-kind={word}]")


def write(tablet: Tablet, line: str) -> None:
    press(tablet, "#wrong-open")
    tablet.browser.find_element("css selector", "#words").send_keys(f"{line}\n")


def text(tablet: Tablet, selector: str = "#plan") -> str:
    tablet.turn_to()
    return str(tablet.run("document.querySelector(arguments[0])?.textContent || ''", selector))


def options(tablet: Tablet, word: str) -> list[str]:
    found: list[str] = tablet.run(
        "[...document.querySelectorAll(`#choice-${arguments[0]} option`)].map((option) => option.textContent)", word
    )
    return found[1:]


def keys(tablet: Tablet, *pressed: str) -> None:
    from selenium.webdriver import ActionChains

    ActionChains(tablet.browser).send_keys(*pressed).perform()


def focused(tablet: Tablet) -> str:
    return str(tablet.run("document.activeElement.id || document.activeElement.textContent"))


def test_a_plan_is_asked_for_on_one_page_and_accepted_on_another(
    running: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, other = tablets
    one.open(running)
    other.open(running)
    assert "The plan holds" in text(one)
    choose(one, "failed", "Aa1")
    for tablet in (one, other):
        tablet.until(lambda tablet=tablet: "The plan does not hold any more" in text(tablet))
        assert "not in this plan yet: 2 failed Aa1 at 06:06" in text(tablet)
        assert text(tablet, "#news") == "The plan does not hold any more."
    press(other, "#plan [data-kind=plan]")
    for tablet in (one, other):
        tablet.until(lambda tablet=tablet: "Proposed at 06:06, as 3" in text(tablet))
        assert "new: Aa2" in text(tablet)
    # An event on one page makes it outdated on both.
    choose(one, "away", "Odo")
    for tablet in (one, other):
        tablet.until(lambda tablet=tablet: "Outdated: more was recorded since" in text(tablet))
        assert not tablet.run("!!document.querySelector('[data-kind=accept]')")
    choose(one, "in", "Odo")
    one.until(lambda: events(shift)[-1] == "in Odo at 06:06")
    press(other, "#plan [data-kind=plan]")
    one.until(lambda: "Proposed at 06:06, as 6" in text(one))
    one.run("document.querySelector('#who').value = 'Tamsin'")
    press(one, "#plan [data-kind=accept]")
    for tablet in (one, other):
        tablet.until(lambda tablet=tablet: "The plan holds" in text(tablet))
        tablet.until(lambda tablet=tablet: "7: accept 6 at 06:06, Tamsin" in text(tablet, "#recent"))
        tablet.until(lambda tablet=tablet: tablet.run("!!document.querySelector('#chart [data-label=Aa2]')"))
        assert "Proposed" not in text(tablet)
    assert read(shift).known == 7
    assert one.browser.get_log("browser") == []


def test_a_plan_that_nobody_wants_is_left_on_all_pages(
    running: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, other = tablets
    one.open(running)
    other.open(running)
    press(other, "#plan [data-kind=plan]")
    one.until(lambda: "Proposed" in text(one))
    press(one, "#plan [data-kind=leave]")
    for tablet in (one, other):
        tablet.until(lambda tablet=tablet: "3: leave 2 at 06:06, board" in text(tablet, "#recent"))
        assert "Proposed" not in text(tablet)
    assert read(shift).plan == read(shift).first


def test_what_goes_wrong_without_a_network_is_sent_later_in_order_and_once(
    running: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    # Pages of one browser have one outbox: the other one looks in when this one is done.
    one, other = tablets
    one.open(running, PHONE)
    one.network(False)
    one.tap("finished", "Aa1")
    choose(one, "failed", "Aa1")
    choose(one, "out", "deck oven")
    write(one, "away odo until +20")
    assert one.standing("Aa1") == "lost"
    one.until(lambda: len(one.queue()) == 4)
    assert one.queue() == [
        f"06:06 {words}, board" for words in ("finished Aa1", "failed Aa1", "out deck oven", "away odo until +20")
    ]
    assert len(events(shift)) == 1
    running.time.minute += 9
    one.network(True)
    one.until(lambda: not one.queue())
    assert events(shift)[1:] == [
        "finished Aa1 at 06:06",
        "failed Aa1 at 06:06",
        "out deck oven at 06:06",
        "away Odo until 06:26 at 06:06",
    ]
    other.open(running)
    other.until(lambda: "5: away Odo until 06:26 at 06:06, board" in text(other, "#recent"))


def test_what_can_be_chosen_is_what_can_be_recorded(
    running: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    running.tap("out", "deck oven")
    running.tap("away", "Odo")
    one.open(running)
    press(one, "#wrong-open")
    assert options(one, "failed") == ["Aa1 mix paste, running since 06:00"]
    assert options(one, "back") == ["deck oven"]
    assert "deck oven" not in options(one, "out")
    assert (options(one, "away"), options(one, "in")) == (["Tamsin"], ["Odo"])
    # Nothing is recorded before something is chosen.
    press(one, "#wrong [data-kind=back]")
    assert one.run("document.querySelector('#wrong').open")
    one.run("document.querySelector('#choice-back').value = 'deck oven'")
    # What happens meanwhile leaves a choice as it is.
    number = running.tap("in", "Odo").data["number"]
    one.until(lambda: one.run("Number(document.body.dataset.last)") == number)
    press(one, "#wrong [data-kind=back]")
    one.until(lambda: events(shift)[-1] == "back deck oven at 06:06")


def test_a_line_that_cannot_be_is_told_and_can_be_mended(
    running: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    one.open(running)
    write(one, "overruning aa1 +10")
    one.until(one.told)
    assert one.told()[0].startswith("overruning aa1 +10 at 06:06 is not recorded: 'overruning' is nothing that can be")
    press(one, "#wrong-open")
    words = one.browser.find_element("css selector", "#words")
    assert words.get_property("value") == "overruning aa1 +10"
    words.clear()
    words.send_keys("overrunning aa1 +10\n")
    one.until(lambda: len(events(shift)) == 2)
    assert events(shift)[1].startswith("overrunning Aa1 until 06:1")


def test_everything_can_be_done_with_the_keys_alone(
    running: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    from selenium.webdriver import Keys

    one, _ = tablets
    one.open(running)
    one.run("document.querySelector('#who').focus()")
    keys(one, Keys.TAB)
    assert focused(one) == "wrong-open"
    keys(one, Keys.ENTER)
    assert focused(one) == "choice-failed"
    keys(one, Keys.ARROW_DOWN, Keys.TAB)
    assert focused(one) == "failed"
    keys(one, Keys.ENTER)
    one.until(lambda: events(shift)[-1] == "failed Aa1 at 06:06")
    assert focused(one) == "wrong-open"
    keys(one, Keys.ENTER, Keys.ESCAPE)
    assert not one.run("document.querySelector('#wrong').open")
    one.until(lambda: "does not hold" in text(one))
    keys(one, Keys.TAB)
    assert focused(one) == "plan the rest anew"
    keys(one, Keys.ENTER)
    one.until(lambda: "Proposed" in text(one))
    one.run("document.querySelector('#wrong-open').focus()")
    keys(one, Keys.TAB)
    assert focused(one) == "accept it"
    keys(one, Keys.ENTER)
    one.until(lambda: events(shift)[-1] == "accept 3 at 06:06")


@pytest.mark.parametrize("dark", [False, True])
def test_it_can_be_read_hit_and_named_on_a_narrow_phone(
    running: Board, shift: Path, tablets: tuple[Tablet, Tablet], dark: bool
) -> None:
    """WCAG 2.2: 1.4.3 contrast, 1.4.10 reflow, 2.5.5 size of targets, 4.1.2 names."""
    one, _ = tablets
    running.tap("failed", "Aa1")
    running.ask("/plan", method="POST", body=f'{{"shift": "{running.identity()}"}}')
    one.open(running, NARROW, dark)
    one.until(lambda: "Proposed" in text(one))
    press(one, "#wrong-open")
    press(one, "#wrong summary")
    assert one.run("document.documentElement.scrollWidth") == 320
    assert one.run("document.querySelector('#wrong').scrollWidth <= document.querySelector('#wrong').clientWidth")
    ratios = one.run(CONTRAST)
    assert {"accept it", "What can be written", "record"} <= {entry[0] for entry in ratios}
    assert [entry for entry in ratios if entry[1] < 4.5] == []
    sizes = one.run(
        "[...document.querySelectorAll('button, select, input, summary')].map((e) => e.getBoundingClientRect())"
        ".filter((box) => box.width).map((box) => Math.min(box.width, box.height))"
    )
    assert min(sizes) >= 44
    tree = one.browser.execute_cdp_cmd("Accessibility.getFullAXTree", {})["nodes"]
    roles = ("button", "combobox", "textbox", "dialog", "DisclosureTriangle")
    asked = [node for node in tree if not node["ignored"] and node["role"]["value"] in roles]
    assert len(asked) > 8
    assert [node for node in asked if not node["name"]["value"]] == []
