"""The page on simulation shows what the commands print for the scenario that stands in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from click.testing import CliRunner

from stationplan.cli import main

from .pages import DOCS, blocks

if TYPE_CHECKING:
    from pathlib import Path

    import pytest

PAGE = DOCS / "simulation.md"


def test_the_commands_print_what_the_page_shows(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    [scenario] = blocks(PAGE, "yaml")
    (tmp_path / "two-orders").mkdir()
    (tmp_path / "two-orders" / "scenario.yaml").write_text(scenario, encoding="utf-8")
    steps = [part.partition("\n") for block in blocks(PAGE, "console") for part in block.split("$ stationplan ")[1:]]
    assert len(steps) == 3
    for command, _, shown in steps:
        result = CliRunner().invoke(main, command.split())
        assert result.exit_code == 0
        assert not shown or result.stdout == shown
