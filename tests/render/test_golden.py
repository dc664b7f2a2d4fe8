"""Whole pages against text that somebody has read and found good."""

from __future__ import annotations

import pytest

from .golden_pages import FOLDER, PAGES


@pytest.mark.parametrize("name", PAGES)
def test_the_page_is_as_it_was_found_good(name: str) -> None:
    assert PAGES[name]() == (FOLDER / f"{name}.txt").read_text(encoding="utf-8")


def test_there_is_no_golden_text_without_its_page() -> None:
    assert {path.stem for path in FOLDER.iterdir()} == set(PAGES)
