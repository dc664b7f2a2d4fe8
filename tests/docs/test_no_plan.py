"""What the page on impossible scenarios shows is what the command prints."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from stationplan.cli import main

from .pages import DOCS, ROOT, blocks

SHOWN = [block.splitlines() for block in blocks(DOCS / "no-plan.md", "console")]
FOLDERS = {f"docs/impossible/{path.parent.name}" for path in (DOCS / "impossible").glob("*/scenario.yaml")}


@pytest.mark.parametrize("lines", SHOWN, ids=lambda lines: lines[0].rpartition("/")[2])
def test_an_impossible_scenario_is_answered_as_its_page_shows(
    monkeypatch: pytest.MonkeyPatch, lines: list[str]
) -> None:
    command, *shown = lines
    arguments = command.removeprefix("$ stationplan ").split()
    monkeypatch.chdir(ROOT)
    # All that it prints is proved, so that any search which gets there will do.
    result = CliRunner().invoke(main, [*arguments, "--effort", "60"])
    assert result.exit_code == 3
    assert result.stderr.splitlines() == shown
    assert "perhaps" not in result.stderr


def test_every_impossible_scenario_is_shown() -> None:
    assert {lines[0].rpartition(" ")[2] for lines in SHOWN} == FOLDERS
