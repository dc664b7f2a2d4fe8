"""``stationplan shift log``: everything that was recorded."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.failure import working_on
from stationplan.cli.options import ascii_option, width_option
from stationplan.cli.output import columns, show, unicode_works
from stationplan.cli.shift_options import shift_argument


@click.command(short_help="List everything that was recorded in a shift.")
@shift_argument
@width_option
@ascii_option
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
def log(shift: Path, width: int | None, ascii_only: bool, as_json: bool) -> None:
    """List every event in the file SHIFT with its number, who recorded it, and whether it was undone."""
    from stationplan.live.record import read
    from stationplan.render.shift import log_page
    from stationplan.render.shift_json import log_json

    with working_on(shift):
        found = read(shift)
    if as_json:
        show(log_json(found.day, found.events).encode("utf-8"))
    else:
        show(log_page(found.events, width=columns(width), unicode=unicode_works(ascii_only)))
