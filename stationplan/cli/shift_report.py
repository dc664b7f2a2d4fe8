"""``stationplan shift report``: what became of a plan."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.failure import working_on
from stationplan.cli.options import ascii_option, width_option
from stationplan.cli.output import columns, show, unicode_works


@click.command(short_help="Show what became of the plan, and what the times in the recipes should be.")
@click.argument("shifts", metavar="SHIFT...", nargs=-1, required=True, type=click.Path(path_type=Path))
@width_option
@ascii_option
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
def report(shifts: tuple[Path, ...], width: int | None, ascii_only: bool, as_json: bool) -> None:
    """Compare what was recorded in the files SHIFT with the plans that they began with.

    Planned against actual by step and by station; what the finish and every order were late by, and what each of these
    minutes came from; and how long steps really take, from all the files together.
    """
    from stationplan.live.record import read
    from stationplan.live.report import report_of
    from stationplan.render.shift_report import report_json, report_page

    logs = []
    for path in shifts:
        with working_on(path):
            logs.append(read(path))
    found = report_of(logs)
    if as_json:
        show(report_json(found).encode("utf-8"))
    else:
        show(report_page(found, width=columns(width), unicode=unicode_works(ascii_only)))
