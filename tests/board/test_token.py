"""The token of a board lasts, is for its owner alone, and can be changed."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from stationplan.board.token import token_of

posix = pytest.mark.skipif(os.name != "posix", reason="modes of files are those of POSIX")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "monday.shift"


def kept(path: Path) -> Path:
    return path.with_name("monday.shift.token")


def test_it_is_the_same_when_the_board_is_started_again(path: Path) -> None:
    token = token_of(path)
    assert len(token) == 32
    assert token_of(path) == token
    assert token_of(path.with_name("tuesday.shift")) != token


def test_another_one_is_made_when_it_is_asked_for_and_then_lasts(path: Path) -> None:
    before = token_of(path)
    after = token_of(path, new=True)
    assert after != before
    assert token_of(path) == after


@posix
def test_nobody_else_may_read_it(path: Path) -> None:
    before = os.umask(0)
    try:
        token_of(path)
    finally:
        os.umask(before)
    assert kept(path).stat().st_mode & 0o777 == 0o600


@posix
def test_one_that_others_could_read_is_changed(path: Path) -> None:
    before = token_of(path)
    kept(path).chmod(0o640)
    assert token_of(path) != before
    assert kept(path).stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize("text", ["", "short", "\u00e4" * 32, "a" * 33, f"{'a' * 16}\n{'b' * 15}"])
def test_one_that_is_not_whole_is_changed(path: Path, text: str) -> None:
    kept(path).write_text(text, encoding="utf-8")
    kept(path).chmod(0o600)
    token = token_of(path)
    assert token != text
    assert token_of(path) == token


def test_nothing_is_left_beside_it(path: Path) -> None:
    token_of(path)
    assert [entry.name for entry in path.parent.iterdir()] == ["monday.shift.token"]
