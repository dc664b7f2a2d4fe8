"""``stationplan chart``: show a saved plan again."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.failure import BadInputError
from stationplan.cli.options import Lists, Rows, ascii_option, color_option, list_option, rows_option, width_option
from stationplan.cli.output import colors_wanted, columns, show, unicode_works
from stationplan.cli.saved import load_plan


@click.command(short_help="Show a saved plan again.")
@click.argument("plan", type=click.Path(path_type=Path))
@rows_option
@list_option
@click.option("--from", "begin", metavar="CLOCK", help="Begin the chart at this time, such as 08:00 or 'day 2 05:00'.")
@click.option("--to", "end", metavar="CLOCK", help="End the chart at this time.")
@width_option
@ascii_option
@color_option
def chart(
    plan: Path,
    rows: Rows,
    listed: Lists | None,
    begin: str | None,
    end: str | None,
    width: int | None,
    ascii_only: bool,
    color: str,
) -> None:
    """Show the saved PLAN as a chart, or as a list."""
    from stationplan.plan.check import check_plan
    from stationplan.render.lines import listing
    from stationplan.render.text import page

    first = None if begin is None else _minutes(begin, "'--from'")
    last = None if end is None else _minutes(end, "'--to'")
    document = load_plan(plan)
    faults = check_plan(document)
    if faults:
        raise BadInputError(
            f"{plan}: this plan contradicts its scenario, so it is not shown: {faults[0].sentence} "
            f"All of it: stationplan verify {plan}"
        )
    span = None
    if first is not None or last is not None:
        span = (document.opens if first is None else first, document.finish if last is None else last)
    colored, unicode = colors_wanted(color), unicode_works(ascii_only)
    if listed is not None:
        text = listing(document, by=listed, width=columns(width), unicode=unicode, span=span)
    else:
        text = page(document, width=columns(width), unicode=unicode, color=colored, rows=rows, span=span)
    show(text, color=colored)


def _minutes(clock: str, option: str) -> int:
    from stationplan.scenario.errors import UnitError
    from stationplan.scenario.units import parse_clock

    try:
        return int(parse_clock(clock))
    except UnitError as error:
        raise click.BadParameter(str(error), param_hint=option) from None
