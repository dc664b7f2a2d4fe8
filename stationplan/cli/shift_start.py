"""``stationplan shift start``: begin the record of a shift."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import click

from stationplan.cli.failure import BadInputError, working_on
from stationplan.cli.output import show
from stationplan.cli.saved import is_shift, load_checked_plan
from stationplan.cli.shift_options import moment


@click.command(short_help="Begin the record of a shift from a plan.")
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--file",
    "path",
    metavar="SHIFT",
    type=click.Path(path_type=Path),
    help="The new file; without it, named as the plan, with .shift at its end.",
)
@click.option(
    "--date",
    "day",
    metavar="YYYY-MM-DD",
    type=click.DateTime(["%Y-%m-%d"]),
    help="The first day of the shift; today if not given.",
)
def start(plan: Path, path: Path | None, day: datetime | None) -> None:
    """Begin the record of a shift that works from the saved PLAN.

    The file holds the plan and, from now on, everything that is recorded. One that is there already is left as it is.
    """
    from stationplan.live.record import create

    if is_shift(plan):
        raise BadInputError(f"{plan}: this is a shift already; how it stands: stationplan shift status {plan}")
    document = load_checked_plan(plan)
    target = plan.with_suffix(".shift") if path is None else path
    first = date.today() if day is None else day.date()
    try:
        with working_on(target):
            create(target, document, first, moment())
    except BadInputError as error:
        if target.exists():
            raise BadInputError(f"{target}: there is such a file already; choose another name with --file") from error
        raise
    show(f"The shift of {first.isoformat()} is kept in {target}: record what happens with shift record.\n")
