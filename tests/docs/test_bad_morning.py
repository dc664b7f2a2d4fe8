"""The page on a bad morning shows what the commands print, one after another."""

from __future__ import annotations

import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from stationplan.cli import main
from stationplan.live.events import Event, Finished, Started
from stationplan.live.record import add_event, read
from stationplan.plan.check import check_plan

from .pages import DOCS, ROOT, blocks

SHIFT = Path("day.shift")


def go_on_as_planned() -> None:
    """Record all that is left as the plan in force has it."""
    log = read(SHIFT)
    runs, events = log.state.runs, list[Event]()
    for batch in log.plan.batches:
        if batch.label not in runs:
            events.append(Started(at=batch.start, who="Tamsin", label=batch.label))
        if batch.label not in runs or runs[batch.label].end is None:
            events.append(Finished(at=batch.end, who="Tamsin", label=batch.label))
    for event in sorted(events, key=lambda event: (event.at, event.kind == "started")):
        add_event(SHIFT, lambda _, event=event: event, "")  # type: ignore[misc]


def test_the_morning_goes_as_the_page_tells(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "scenarios", tmp_path / "scenarios")
    monkeypatch.chdir(tmp_path)
    page = DOCS / "bad-morning.md"
    steps = [part.partition("\n") for block in blocks(page, "console") for part in block.split("$ stationplan ")[1:]]
    assert len(steps) > 15
    for command, _, shown in steps:
        if command.startswith("shift report"):
            assert check_plan(read(SHIFT).plan) == ()
            go_on_as_planned()
        result = CliRunner().invoke(main, shlex.split(command))
        assert result.exit_code == 0, result.stderr
        assert result.stdout == shown
