"""``stationplan chart``: show a saved plan again."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.options import (
    Lists,
    Rows,
    ascii_option,
    color_option,
    from_option,
    list_option,
    rows_option,
    span_of,
    to_option,
    width_option,
)
from stationplan.cli.output import colors_wanted, columns, show, unicode_works
from stationplan.cli.saved import load_checked_plan


@click.command(short_help="Show a saved plan again.")
@click.argument("plan", type=click.Path(path_type=Path))
@rows_option
@list_option
@from_option
@to_option
@width_option
@ascii_option
@color_option
def chart(
    plan: Path,
    rows: Rows,
    listed: Lists | None,
    begin: int | None,
    end: int | None,
    width: int | None,
    ascii_only: bool,
    color: str,
) -> None:
    """Show the saved PLAN as a chart, or as a list."""
    from stationplan.render.lines import listing
    from stationplan.render.text import page

    document = load_checked_plan(plan)
    span = span_of(document, begin, end)
    colored, unicode = colors_wanted(color), unicode_works(ascii_only)
    if listed is not None:
        text = listing(document, by=listed, width=columns(width), unicode=unicode, span=span)
    else:
        text = page(document, width=columns(width), unicode=unicode, color=colored, rows=rows, span=span)
    show(text, color=colored)
