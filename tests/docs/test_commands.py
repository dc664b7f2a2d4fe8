"""The commands that the pages tell to run do run."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from stationplan.cli import main

from .pages import ROOT


@pytest.mark.parametrize(
    ("command", "shown"),
    [
        ("plan docs/examples/first-look --effort 5", "07:51"),
        ("plan docs/examples/step-times --durations shortest --effort 5", "06:27"),
        ("check docs/examples/first-look", "fen bun"),
        ("schema", "https://json-schema.org/draft/2020-12/schema"),
    ],
)
def test_a_command_of_the_pages_runs(command: str, shown: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    result = CliRunner().invoke(main, command.split())
    assert result.exit_code == 0, result.output
    assert shown in result.output
