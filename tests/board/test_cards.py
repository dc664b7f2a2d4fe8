"""The cards of a board: each says what is to be done now, and when that was planned."""

from __future__ import annotations

import re
from pathlib import Path

from live.conftest import Tell

from stationplan.live.moment import moment_of
from stationplan.live.record import read
from stationplan.plan.document import Plan
from stationplan.render.board import glance
from stationplan.scenario.units import format_clock


def cards(shift: Path, label: str, now: int) -> dict[str, tuple[str, str]]:
    """The attributes and the note of each card of a batch, by what is to be done."""
    log = read(shift)
    found = re.findall(
        rf'<li class="card" data-label="{label}"([^>]*)>\n<p class="what"><b>{label}</b> ([^<]*)</p>\n'
        r'<p>[^<]*</p>\n(?:<p class="note">([^<]*)</p>)?',
        glance(moment_of(log, now), log.events),
    )
    return {what.rpartition(": ")[2]: (attributes, note) for attributes, what, note in found}


def test_what_should_have_begun_is_told_and_started_where_it_is_loaded(plan: Plan, shift: Path, tell: Tell) -> None:
    bake = next(batch for batch in plan.batches if batch.label == "Ac1")
    moments = [(b.start, 1, "started", b) for b in plan.batches] + [(b.end, 0, "finished", b) for b in plan.batches]
    for minute, _, word, batch in sorted(moments, key=lambda moment: moment[:2]):
        if batch.label != "Ac1" and minute <= bake.start:
            tell(f"{word} {batch.label}", now=minute)
    found = cards(shift, "Ac1", bake.start + 1)
    unload = next(hand for hand in bake.hands if hand.doing == "unload")
    assert found == {
        "load": (' data-now="late" data-standing="late"', f"planned {format_clock(bake.start)}"),
        "unload": (' data-now="waiting" data-standing="waiting" data-ends', f"planned {format_clock(unload.start)}"),
    }


def test_what_runs_is_finished_where_it_is_unloaded(plan: Plan, shift: Path, tell: Tell) -> None:
    bake = next(batch for batch in plan.batches if batch.label == "Ac1")
    tell("started Ac1", now=bake.start + 4)
    unload = next(hand for hand in bake.hands if hand.doing == "unload")
    attributes, note = cards(shift, "Ac1", bake.start + 6)["unload"]
    assert attributes == ' data-now="running" data-standing="running" data-ends'
    assert note == f"planned {format_clock(unload.start)}"
