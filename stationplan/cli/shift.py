"""``stationplan shift``: the commands for a shift that runs."""

from __future__ import annotations

import click

from stationplan.cli.shift_log import log
from stationplan.cli.shift_record import record
from stationplan.cli.shift_replan import accept, replan
from stationplan.cli.shift_report import report
from stationplan.cli.shift_start import start
from stationplan.cli.shift_status import status


@click.group(short_help="Record what happens in a shift, and see how it stands.")
def shift() -> None:
    """Record what happens while a plan is worked from, and see what is to be expected.

    A shift is one file, begun from a plan with "shift start".
    """


for command in (start, record, status, replan, accept, log, report):
    shift.add_command(command)
