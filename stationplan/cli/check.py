"""``stationplan check``: what there is to do, before any solving."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from stationplan.cli.guard import IMPOSSIBLE, guarded
from stationplan.cli.output import NARROWEST, WIDEST, columns, unicode_works


@click.command(short_help="Show what a scenario asks for, without solving.")
@click.argument("scenario", type=click.Path(path_type=Path))
@click.option(
    "--durations",
    type=click.Choice(["longest", "typical", "shortest"]),
    default="longest",
    show_default=True,
    help="Which end of times such as 11..13 min to reckon with.",
)
@click.option("--width", type=click.IntRange(NARROWEST, WIDEST), default=None, help="Columns of the tables.")
@click.option("--ascii", "ascii_only", is_flag=True, help="Plain ASCII.")
@guarded
def check(
    scenario: Path, durations: Literal["longest", "typical", "shortest"], width: int | None, ascii_only: bool
) -> None:
    """Check SCENARIO and show what it asks for: quantities, batches, loads, busy time.

    Nothing is solved. The last table shows, for each station and each group of people, the moment before which its
    work cannot be done, whatever the plan.
    """
    from stationplan.cli.loading import load_network, tell_reasons
    from stationplan.plan.preview import preview
    from stationplan.render.overview import overview

    loaded, network = load_network(scenario, durations)
    known = preview(network)
    click.echo(overview(known, width=columns(width), unicode=unicode_works(ascii_only)), nl=False)
    if known.against:
        tell_reasons(scenario, loaded, known.against)
        raise SystemExit(IMPOSSIBLE)
