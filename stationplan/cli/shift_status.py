"""``stationplan shift status``: how a shift stands."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.failure import working_on
from stationplan.cli.options import ascii_option, width_option
from stationplan.cli.output import columns, show, unicode_works
from stationplan.cli.shift_options import now_of, now_option, shift_argument


@click.command(short_help="Show how a shift stands and what comes next.")
@shift_argument
@now_option
@width_option
@ascii_option
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
def status(shift: Path, now: int | None, width: int | None, ascii_only: bool, as_json: bool) -> None:
    """Show how the shift in the file SHIFT stands: what to see to, what is running, and what everybody does next.

    Nothing is planned anew: what has not begun is expected in the order of the plan, as late as it must be.
    """
    from stationplan.live.moment import moment_of
    from stationplan.live.record import read
    from stationplan.render.shift import status_page
    from stationplan.render.shift_json import status_json

    with working_on(shift):
        log = read(shift)
    moment = moment_of(log, now_of(log.day, now))
    if as_json:
        show(status_json(moment).encode("utf-8"))
    else:
        show(status_page(moment, width=columns(width), unicode=unicode_works(ascii_only)))
