"""Options that several commands share."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, Literal

import click

from stationplan.cli.output import NARROWEST, WIDEST, WIDTH_WITHOUT_TERMINAL

if TYPE_CHECKING:
    from stationplan.plan.document import Plan

Rows = Literal["equipment", "people", "products"]
Lists = Literal["time", "person", "station"]
Durations = Literal["longest", "typical", "shortest"]

SECONDS_EACH = 10.0
"""For each of many searches, where the user gives no limit."""


class Clock(click.ParamType[int]):
    """A time of day, as minutes since midnight of the first day."""

    name = "clock"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        """Read it as a scenario would."""
        from stationplan.scenario.errors import UnitError
        from stationplan.scenario.units import parse_clock

        try:
            return int(parse_clock(value))
        except UnitError as error:
            self.fail(str(error), param, ctx)


class Positive(click.FloatRange):
    """A number above zero."""

    def __init__(self) -> None:
        super().__init__(min=0, min_open=True)

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read it, and refuse what only computers take for a number."""
        try:
            number = float(value)
        except ValueError:
            number = math.nan
        if not math.isfinite(number) or number <= 0:
            self.fail(f"{value!r} is not a number above zero; write a number alone, such as 20.", param, ctx)
        return number


class Percent(click.ParamType[float]):
    """A share from 0 to less than 100 %, as a fraction; the sign may be left out."""

    name = "percent"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read it as hundredths."""
        try:
            number = float(str(value).removesuffix("%"))
        except ValueError:
            number = math.nan
        if not 0 <= number < 100:
            self.fail(f"{value!r} is no share from 0 to less than 100 %; write a number such as 2.", param, ctx)
        return number / 100


def span_of(plan: Plan, begin: int | None, end: int | None) -> tuple[int, int] | None:
    """From when to when to show a plan; None when neither was asked for.

    Args:
        plan: the plan.
        begin: minutes since midnight of the first day; without it, when the kitchen opens.
        end: the same; without it, when the plan is finished.
    """
    if begin is None and end is None:
        return None
    return plan.opens if begin is None else begin, plan.finish if end is None else end


from_option = click.option("--from", "begin", type=Clock(), help="Begin at this time, such as 08:00 or 'day 2 05:00'.")
to_option = click.option("--to", "end", type=Clock(), help="End at this time.")
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
durations_of_plan_option = click.option(
    "--durations",
    type=click.Choice(["longest", "typical", "shortest"]),
    help="Which end of times such as 11..13 min to plan on (default longest); a saved plan has its own.",
)
seed_option = click.option(
    "--seed",
    type=click.IntRange(min=0, max=2**31 - 1),
    default=0,
    show_default=True,
    help="Another seed searches in another order.",
)
time_limit_each_option = click.option(
    "--time-limit",
    metavar="SECONDS",
    type=Positive(),
    help=f"Each search takes at most this many seconds (default {SECONDS_EACH:g}, none with --effort).",
)
effort_each_option = click.option(
    "--effort",
    metavar="NUMBER",
    type=Positive(),
    help="Each search does this much work, in units of the solver: the same answers on every run.",
)
searches_at_a_time_option = click.option(
    "--workers", type=click.IntRange(1, 64), help="Searches at a time (default: all processors)."
)
cluster_option = click.option(
    "--cluster", metavar="ADDRESS", help="Search on the Dask cluster whose scheduler is there."
)
