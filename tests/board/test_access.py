"""Only a page of the board may use it, and only who knows the token where there is one.

Origin: RFC 6454, 7. Host: RFC 9110, 7.2. Policy: W3C Content Security Policy Level 3.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from live.conftest import DAY, MOMENT

from stationplan.live.record import create, read
from stationplan.plan.document import Plan

from .serving import Board, serving

TOKEN = "a-token-that-nobody-guesses"


@pytest.fixture(scope="module")
def record(plan: Plan, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("access") / "morning.shift"
    create(path, plan, DAY, MOMENT)
    return path


@pytest.fixture(scope="module")
def board(record: Path) -> Iterator[Board]:
    """A board that only this machine can reach."""
    with serving(record) as served:
        yield served


@pytest.fixture(scope="module")
def guarded(record: Path) -> Iterator[Board]:
    """A board that asks for a token."""
    with serving(record, TOKEN) as served:
        yield served


@pytest.mark.parametrize("host", ["127.0.0.1", "LOCALHOST:8410", "[::1]:8410", "192.0.2.7:1", "kitchen.local"])
def test_it_answers_to_its_own_names_and_to_addresses(board: Board, host: str) -> None:
    assert board.ask(Host=host).status == 200


@pytest.mark.parametrize("host", [None, "", "evil.example:8410", "127.0.0.1.evil.example", "[::1", "x@evil"])
def test_it_answers_to_no_other_name(board: Board, host: str | None) -> None:
    assert board.ask(Host=host).status in (400, 403)
    assert board.ask("/board.js", Host=host).status in (400, 403)


@pytest.mark.parametrize(
    "origin", [None, "null", "http://evil.example", "http://127.0.0.1:1", "file://127.0.0.1", "http://[", ""]
)
def test_no_other_page_may_tap(board: Board, record: Path, origin: str | None) -> None:
    answer = board.ask("/taps", method="POST", body="{}", Origin=origin)
    assert answer.status == 403
    assert read(record).events == ()


def test_no_other_page_may_read_along(board: Board) -> None:
    assert board.ask("/events", Origin="http://evil.example").status == 403
    assert board.ask("/chart", Origin="http://evil.example").status == 403


def test_everything_says_what_browsers_may_do_with_it(board: Board) -> None:
    for answer in (board.ask(), board.ask("/board.js"), board.ask("/nothing"), board.ask(Host="evil.example")):
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["referrer-policy"] == "no-referrer"
        assert answer.headers["x-content-type-options"] == "nosniff"


def test_the_page_names_no_other_address_and_no_script_of_its_own(board: Board) -> None:
    page = board.ask().text
    assert "://" not in page
    assert " onclick" not in page
    assert page.count("<script") == page.count("<script src=") == 1
    assert "<style" not in page


@pytest.mark.parametrize(
    "path",
    ["/", "/board.js", "/chart", "/events", "/?token=wrong", "/?token=", "/?token=%C3%A4", "/chart?token={token}"],
)
def test_without_the_token_nothing_is_shown(guarded: Board, path: str) -> None:
    answer = guarded.ask(path.format(token=TOKEN))
    assert (answer.status, answer.text) == (403, "open the address that the board has printed, with its token")


@pytest.mark.parametrize("cookie", ["{name}=wrong", "other={token}", "{name}=", "{name}=\u00e4", ";;=;\\"])
def test_without_the_right_token_nothing_is_recorded(guarded: Board, record: Path, cookie: str) -> None:
    sent = cookie.format(name=f"board-{guarded.port}", token=TOKEN).encode().decode("latin-1")
    assert guarded.ask("/taps", method="POST", body="{}", Cookie=sent).status == 403
    assert read(record).events == ()


def test_who_opens_the_address_with_the_token_is_let_in_from_then_on(guarded: Board) -> None:
    answer = guarded.ask(f"/?token={TOKEN}")
    given, *kept = answer.headers["set-cookie"].lower().split("; ")
    assert (answer.status, TOKEN in answer.text) == (200, False)
    assert {"httponly", "samesite=strict", "path=/"} < set(kept)
    assert guarded.ask(Cookie=given).status == 200


def test_a_name_made_to_lead_here_is_refused_even_with_the_token(guarded: Board) -> None:
    """DNS rebinding: such a page would be of its own origin, with the port of the board."""
    evil = f"evil.example:{guarded.port}"
    cookie = f"board-{guarded.port}={TOKEN}"
    assert guarded.ask(f"/?token={TOKEN}", Host=evil).status == 403
    assert guarded.ask(Host=evil, Cookie=cookie).status == 403
    assert guarded.ask("/taps", method="POST", body="{}", Host=evil, Origin=f"http://{evil}").status == 403


def test_a_page_of_another_site_cannot_tap_with_the_cookie_of_this_one(guarded: Board, record: Path) -> None:
    cookie = f"board-{guarded.port}={TOKEN}"
    for origin in ("http://evil.example", f"http://127.0.0.1:{guarded.port + 1}", "null", None):
        assert guarded.ask("/taps", method="POST", body="{}", Cookie=cookie, Origin=origin).status == 403
    assert read(record).events == ()
