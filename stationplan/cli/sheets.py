"""``stationplan sheets``: what to hang up, one for each person and station, and a list of timers."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from stationplan.cli.options import ascii_option, from_option, span_of, to_option
from stationplan.cli.output import NARROWEST, WIDEST, show, unicode_works, write_files
from stationplan.cli.saved import load_checked_plan, outcomes_of

_WIDTH = 80


@click.command(short_help="Print a sheet for each person and station, and the timers.")
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--for",
    "names",
    metavar="NAME",
    multiple=True,
    help="Only this sheet: a person, a station, a kind of station such as oven, or timers; may be repeated.",
)
@from_option
@to_option
@click.option(
    "--html", metavar="FILE", type=click.Path(path_type=Path), help="Write a page to print instead, one sheet a page."
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="Paper that the page is printed on.",
)
@click.option("--replace", is_flag=True, help="Replace a file that is there already.")
@click.option(
    "--width", type=click.IntRange(NARROWEST, WIDEST), default=_WIDTH, show_default=True, help="Columns of the text."
)
@ascii_option
def sheets(
    plan: Path,
    names: tuple[str, ...],
    begin: int | None,
    end: int | None,
    html: Path | None,
    paper: Literal["a4", "letter"],
    replace: bool,
    width: int,
    ascii_only: bool,
) -> None:
    """Print the saved PLAN as sheets to hang up: who does what when, what goes in and out where, when timers ring.

    Of the file of a shift, the plan in force is printed: what is done is marked, and what failed is left out.
    """
    from stationplan.render.sheets import sheets_of

    document = load_checked_plan(plan)
    found = sheets_of(document, names=names, span=span_of(document, begin, end), outcomes=outcomes_of(plan))
    if html is None:
        from stationplan.render.sheets.text import as_text

        show(as_text(found, width=width, unicode=unicode_works(ascii_only)))
    else:
        from stationplan.render.sheets.html import as_document

        page = as_document(found, title=document.name, paper=paper)
        write_files([(html, page.encode("utf-8"))], replace)
