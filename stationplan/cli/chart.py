"""``stationplan chart``: show a saved plan again."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.failure import working_on
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
from stationplan.cli.saved import is_shift, load_checked_plan
from stationplan.cli.shift_options import now_of, now_option


@click.command(short_help="Show a saved plan again, or a shift that works from it.")
@click.argument("plan", type=click.Path(path_type=Path))
@rows_option
@list_option
@from_option
@to_option
@now_option
@width_option
@ascii_option
@color_option
def chart(
    plan: Path,
    rows: Rows,
    listed: Lists | None,
    begin: int | None,
    end: int | None,
    now: int | None,
    width: int | None,
    ascii_only: bool,
    color: str,
) -> None:
    """Show the saved PLAN as a chart, or as a list.

    PLAN may also be the file of a shift: then the chart shows what has happened until now, what is expected from then
    on, and what the plan had said. With --list it is the plan in force that is listed.
    """
    if is_shift(plan) and listed is None:
        _chart_of_shift(plan, rows, (begin, end), now, width, ascii_only, color)
        return
    if now is not None:
        raise click.UsageError(
            "--now is for shifts; this is a plan" if listed is None else "--now does not go with --list"
        )
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


def _chart_of_shift(
    path: Path,
    rows: Rows,
    ends: tuple[int | None, int | None],
    now: int | None,
    width: int | None,
    ascii_only: bool,
    color: str,
) -> None:
    from stationplan.live.moment import moment_of
    from stationplan.live.record import read
    from stationplan.live.standing import as_it_stands
    from stationplan.render.shift import chart_page

    with working_on(path):
        log = read(path)
    moment = moment_of(log, now_of(log.day, now))
    colored, unicode = colors_wanted(color), unicode_works(ascii_only)
    span = span_of(as_it_stands(moment), *ends)
    text = chart_page(moment, width=columns(width), unicode=unicode, color=colored, rows=rows, span=span)
    show(text, color=colored)
