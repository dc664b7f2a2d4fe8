"""``stationplan chart``: show a saved plan again."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from stationplan.cli.guard import guarded
from stationplan.cli.output import colors_wanted, columns, look_options, unicode_works


@click.command(short_help="Show a saved plan again.")
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--rows",
    type=click.Choice(["equipment", "people", "products"]),
    default="equipment",
    show_default=True,
    help="What the chart has a row for.",
)
@click.option("--from", "begin", metavar="CLOCK", help="Begin the chart at this time, such as 08:00.")
@click.option("--to", "end", metavar="CLOCK", help="End the chart at this time.")
@look_options
@guarded
def chart(
    plan: Path,
    rows: Literal["equipment", "people", "products"],
    begin: str | None,
    end: str | None,
    width: int | None,
    ascii_only: bool,
    color: str,
) -> None:
    """Show the saved PLAN as a chart."""
    from stationplan.plan.store import load
    from stationplan.render.text import page

    document = load(plan)
    span = None
    if begin is not None or end is not None:
        first = _clock(begin, "--from") if begin is not None else document.opens
        last = _clock(end, "--to") if end is not None else max(document.finish, first + 1)
        if last <= first:
            raise click.BadParameter("the chart must end after it begins", param_hint="--to")
        span = (first, last)
    click.echo(
        page(
            document,
            width=columns(width),
            unicode=unicode_works(ascii_only),
            color=colors_wanted(color),
            rows=rows,
            span=span,
        ),
        color=colors_wanted(color),
    )


def _clock(text: str, option: str) -> int:
    from stationplan.scenario.errors import UnitError
    from stationplan.scenario.units import parse_clock

    try:
        return int(parse_clock(text))
    except UnitError as error:
        raise click.BadParameter(str(error), param_hint=option) from None
