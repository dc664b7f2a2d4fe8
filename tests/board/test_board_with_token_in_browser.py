"""Who is let in by the token stays in, however the address was come by, and is told when it is no longer good."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from .serving import serving
from .test_board_in_browser import Tablet, recorded, tablets

if TYPE_CHECKING:
    from selenium.webdriver import Chrome

__all__ = ["tablets"]


def test_the_address_can_be_opened_from_a_page_of_another_site(shift: Path, browser: Chrome) -> None:
    """A strict cookie is not sent on the way from there (draft of RFC 6265bis, 5.2)."""
    with serving(shift, "token-of-the-morning") as board:
        link = f"{board.address}?token=token-of-the-morning"
        browser.get(f"data:text/html,<a href='{link}'>to the board</a>")
        browser.find_element("css selector", "a").click()
        tablet = Tablet(browser, browser.current_window_handle)
        tablet.until(lambda: browser.current_url == board.address)
        tablet.until(lambda: tablet.link == "connected")
        [cookie] = [cookie for cookie in browser.get_cookies() if cookie["name"] == f"board-{board.port}"]
        assert (cookie["sameSite"], cookie["httpOnly"]) == ("Strict", True)
        # Nobody who goes back finds the token in the address.
        browser.back()
        tablet.until(lambda: browser.current_url.startswith("data:"))
        browser.get("about:blank")


def test_taps_of_a_tablet_that_is_locked_out_are_sent_once_it_is_let_in(
    shift: Path, tablets: tuple[Tablet, Tablet]
) -> None:
    one, _ = tablets
    with serving(shift, "token-of-the-morning") as board:
        one.turn_to()
        one.browser.get(f"{board.address}?token=token-of-the-morning")
        one.open(board)
        board.stop()
        board.token = "another-token"
        board.start()
        one.until(lambda: "This tablet is not let in" in one.link)
        one.tap("started", "Aa1")
        assert len(one.queue()) == 1
        assert recorded(shift) == []
        one.browser.get(f"{board.address}?token=another-token")
        one.until(lambda: one.browser.current_url == board.address and one.link == "connected")
        one.until(lambda: not one.queue())
        assert recorded(shift) == ["started Aa1"]
        one.browser.get("about:blank")
