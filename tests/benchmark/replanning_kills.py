"""Any number of kills of processes that plan a shift anew: ``python -m tests.benchmark.replanning_kills 200``.

After each, the record is looked at and planned anew once more; it ends with an error when anything is missing.
"""

from __future__ import annotations

import tempfile
from datetime import date
from pathlib import Path

import click

from stationplan.live.events import Started
from stationplan.live.record import add_event, create
from stationplan.network import build
from stationplan.plan.produce import Effort, produce
from stationplan.scenario import load

from ..live.replanning_nursery import main

FIRST_SHIFT = Path(__file__).parents[2] / "scenarios" / "first-shift"


@click.command()
@click.argument("kills", type=click.IntRange(min=1))
@click.option("--seed", default=1, show_default=True, help="Of the moments of the kills.")
def run(kills: int, seed: int) -> None:
    """Kill processes that record, plan anew and accept plans of the first shift."""
    loaded = load(FIRST_SHIFT)
    plan = produce(build(loaded.scenario), loaded.raw, Effort(effort=2, workers=1))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "day.shift"
        create(path, plan, date(2026, 11, 26), "")
        add_event(path, lambda _: Started(at=361, who="Ida", label="Aa1"), "")
        for what, count in main(path, seed, kills, often=1).items():
            click.echo(f"{what}: {count}")


if __name__ == "__main__":
    run(prog_name="python -m tests.benchmark.replanning_kills")
