"""The board in a real browser: what comes from elsewhere puts no other batch under a finger.

Between seeing something and acting upon it lie some 200 milliseconds at the very least (reaction times; from memory).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from .serving import Board
from .test_board_in_browser import Tablet, recorded, tablets

__all__ = ["tablets"]
TALL = (390, 2000)
RINGS = 7 * 60 + 13
"""When rings are lined: three of four batches are still to come, and one runs."""
STARTED = "#glance .card[data-label=Ab3] [data-kind=started]"
ARRIVED = """
  const { x, y, width, height } = document.querySelector(arguments[0]).getBoundingClientRect();
  const at = { clientX: x + width / 2, clientY: y + height / 2 + arguments[1], bubbles: true, pointerId: 7, detail: 1 };
  window.under = null;
  new MutationObserver((_, observer) => {
    observer.disconnect();
    const here = document.elementFromPoint(at.clientX, at.clientY);
    window.under = here.closest("button")?.dataset.of || "";
    here.dispatchEvent(new PointerEvent("pointerdown", at));
    here.dispatchEvent(new PointerEvent("pointerup", at));
    here.dispatchEvent(new MouseEvent("click", at));
  }).observe(document.querySelector("#glance"), { childList: true });
"""
"""A finger that was on its way down, so many pixels below the middle of a button, comes down when the page changes."""


@pytest.fixture
def rings(board: Board) -> Board:
    """A board in the middle of a shift; a batch that is finished elsewhere moves those after it up by one."""
    for label, start, end in (("Aa1", 361, 370), ("Ba1", 396, 414)):
        board.time.minute = start
        board.tap("started", label)
        board.time.minute = end
        board.tap("finished", label)
    board.time.minute = RINGS - 8
    board.tap("started", "Ab1")
    board.time.minute = RINGS
    return board


def last(shift: Path, number: int = 2) -> list[str]:
    return recorded(shift)[-number:]


def middle(tablet: Tablet, selector: str) -> tuple[int, int]:
    found = tablet.run(
        "(({ x, y, width, height }) => [x + width / 2, y + height / 2])"
        "(document.querySelector(arguments[0]).getBoundingClientRect())",
        selector,
    )
    return int(found[0]), int(found[1])


def finger(tablet: Tablet, kind: str, at: tuple[int, int]) -> None:
    """Put a finger down, or lift it (Input domain of the Chrome DevTools Protocol)."""
    points = [] if kind == "touchEnd" else [{"x": at[0], "y": at[1]}]
    tablet.browser.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})


def mouse(tablet: Tablet, kind: str, at: tuple[int, int]) -> None:
    event = {"type": kind, "x": at[0], "y": at[1], "button": "left", "clickCount": 1}
    tablet.browser.execute_cdp_cmd("Input.dispatchMouseEvent", event)


def knows(tablet: Tablet, number: int) -> Callable[[], bool]:
    return lambda: bool(tablet.run("Number(document.body.dataset.last) >= arguments[0]", number))


def test_nothing_moves_while_a_finger_is_down(rings: Board, shift: Path, tablets: tuple[Tablet, Tablet]) -> None:
    one, _ = tablets
    one.open(rings, TALL)
    one.see(STARTED)
    at = middle(one, STARTED)
    # A mouse: of a finger that stays down for half a second, browsers make something else than a tap.
    mouse(one, "mousePressed", at)
    number = rings.tap("finished", "Ab1").data["number"]
    one.until(knows(one, number))
    assert middle(one, STARTED) == at
    assert one.standing("Ab1") == "running"
    mouse(one, "mouseReleased", at)
    one.until(lambda: last(shift) == ["finished Ab1", "started Ab3"])
    one.until(lambda: one.standing("Ab1") is None)


def test_a_finger_that_comes_down_just_after_a_change_means_what_was_there_before(
    rings: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    one.open(rings, TALL)
    one.see(STARTED)
    one.browser.execute_script(ARRIVED, STARTED, 0)
    rings.tap("finished", "Ab1")
    one.until(lambda: len(recorded(shift)) == 7)
    assert one.run("under") == "Ab4"
    assert last(shift) == ["finished Ab1", "started Ab3"]


def test_a_finger_that_comes_down_where_there_was_nothing_records_nothing(
    rings: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    one.open(rings, TALL)
    one.see(STARTED)
    one.browser.execute_script(ARRIVED, STARTED, 33)
    rings.tap("finished", "Ab1")
    one.until(lambda: one.run("under !== null"))
    assert one.run("under") == "Ab4"
    one.until(lambda: one.standing("Ab1") is None)
    one.tap("started", "Ab2")
    one.until(lambda: last(shift) == ["finished Ab1", "started Ab2"])


def test_two_taps_in_a_row_are_one(rings: Board, shift: Path, tablets: tuple[Tablet, Tablet]) -> None:
    one, _ = tablets
    one.open(rings, TALL)
    one.see(STARTED)
    at = middle(one, STARTED)
    for _ in range(2):
        finger(one, "touchStart", at)
        finger(one, "touchEnd", at)
    one.until(lambda: one.standing("Ab3") == "running")
    one.tap("+5", "Ab3")
    one.until(lambda: last(shift) == ["started Ab3", "overrunning Ab3"])
    assert one.told() == []


def test_a_finger_that_slides_away_to_look_further_down_taps_nothing(
    rings: Board, shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    one.open(rings, (390, 700))
    one.see(STARTED)
    x, y = middle(one, STARTED)
    before = one.run("scrollY")
    finger(one, "touchStart", (x, y))
    for step in range(1, 8):
        finger(one, "touchMove", (x, y + 30 * step))
    finger(one, "touchEnd", (x, y))
    one.until(lambda: one.run("scrollY") < before)
    number = rings.tap("finished", "Ab1").data["number"]
    one.until(knows(one, number))
    one.until(lambda: one.standing("Ab1") is None)
    assert last(shift) == ["started Ab1", "finished Ab1"]


def test_what_somebody_reads_stays_where_it_is(rings: Board, tablets: tuple[Tablet, Tablet]) -> None:
    one, _ = tablets
    one.open(rings, (390, 700))
    card = "#glance .card[data-label=Ab3]"
    one.run("document.querySelector(arguments[0]).scrollIntoView({block: 'start'})", card)
    before = middle(one, card)
    rings.tap("finished", "Ab1")
    one.until(lambda: one.standing("Ab1") is None)
    assert abs(middle(one, card)[1] - before[1]) <= 1


def test_a_key_that_is_held_down_is_one_tap(rings: Board, shift: Path, tablets: tuple[Tablet, Tablet]) -> None:
    one, _ = tablets
    one.open(rings, TALL)
    one.run("document.querySelector(arguments[0]).focus()", "#glance .card[data-label=Ab1] [data-kind='+5']")
    key = {"key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13, "text": "\r"}
    for repeat in (False, True, True):
        one.browser.execute_cdp_cmd("Input.dispatchKeyEvent", {"type": "keyDown", "autoRepeat": repeat, **key})
    one.browser.execute_cdp_cmd("Input.dispatchKeyEvent", {"type": "keyUp", **key})
    one.until(knows(one, 6))
    one.tap("finished", "Ab1")
    one.until(lambda: last(shift, 3) == ["started Ab1", "overrunning Ab1", "finished Ab1"])
