"""Options that several commands share."""

from __future__ import annotations

from typing import Literal

import click

from stationplan.cli.output import NARROWEST, WIDEST, WIDTH_WITHOUT_TERMINAL

Rows = Literal["equipment", "people", "products"]
Lists = Literal["time", "person", "station"]
Durations = Literal["longest", "typical", "shortest"]

width_option = click.option(
    "--width",
    type=click.IntRange(NARROWEST, WIDEST),
    help=f"Columns to print in; the terminal's width if not given, {WIDTH_WITHOUT_TERMINAL} where there is none.",
)
ascii_option = click.option("--ascii", "ascii_only", is_flag=True, help="Plain ASCII, for printers that know no more.")
color_option = click.option(
    "--color",
    type=click.Choice(["auto", "always", "never"]),
    default="auto",
    show_default=True,
    help="Colours: auto uses them on a terminal unless NO_COLOR is set.",
)
rows_option = click.option(
    "--rows",
    type=click.Choice(["equipment", "people", "products"]),
    default="equipment",
    show_default=True,
    help="What the chart has a row for.",
)
list_option = click.option(
    "--list",
    "listed",
    type=click.Choice(["time", "person", "station"]),
    help="Print one line for each batch and wait, with exact times and amounts, instead of the chart.",
)
durations_option = click.option(
    "--durations",
    type=click.Choice(["longest", "typical", "shortest"]),
    default="longest",
    show_default=True,
    help="Which end of times such as 11..13 min to plan on.",
)
