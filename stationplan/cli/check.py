"""``stationplan check``: what there is to do, before any solving."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.options import Durations, ascii_option, durations_option, width_option
from stationplan.cli.output import columns, show, unicode_works


@click.command(short_help="Show what a scenario asks for, without solving.")
@click.argument("scenario", type=click.Path(path_type=Path))
@durations_option
@width_option
@ascii_option
def check(scenario: Path, durations: Durations, width: int | None, ascii_only: bool) -> None:
    """Check SCENARIO and show what it asks for: quantities, batches, loads, busy time.

    Nothing is solved. The last table shows, for each station and each group of people, the moment before which its
    work cannot be done, whatever the plan.
    """
    from stationplan.cli.loading import impossible, load_network
    from stationplan.plan.preview import preview
    from stationplan.render.overview import overview

    loaded, network = load_network(scenario, durations)
    known = preview(network, loaded.scenario)
    show(overview(known, width=columns(width), unicode=unicode_works(ascii_only)))
    if known.against:
        raise impossible(scenario, loaded, known.against)
