"""What the pages of the shipped scenarios show of a check is what the command prints."""

from __future__ import annotations

import re

import pytest
from click.testing import CliRunner

from stationplan.cli import main

from .pages import DOCS, ROOT, blocks

CHECK = "$ stationplan check scenarios/"


def shown() -> list[tuple[str, str]]:
    """The scenario and what a page shows, up to the next command of the block."""
    found = []
    for page in sorted((DOCS / "scenarios").glob("*.md")):
        for block in blocks(page, "console"):
            command, _, rest = block.partition("\n")
            if command.startswith(CHECK):
                found.append((command.removeprefix(CHECK), rest.split("$ ")[0]))
    return found


@pytest.mark.parametrize(("scenario", "text"), shown(), ids=[name for name, _ in shown()])
def test_a_page_shows_what_check_prints(scenario: str, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    result = CliRunner().invoke(main, ["check", f"scenarios/{scenario}"])
    # A line of three dots stands for any number of lines.
    pattern = "(?:.*\n)*".join(re.escape(part) for part in text.split("...\n"))
    assert re.fullmatch(pattern, result.output), f"it prints instead:\n{result.output}"


def test_the_pages_show_checks() -> None:
    assert {name for name, _ in shown()} == {"banquet", "first-shift", "pastry-counter", "rented-hall"}
