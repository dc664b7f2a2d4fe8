"""``stationplan export``: a saved plan as files for other programs."""

from __future__ import annotations

import os
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, get_args

import click

from stationplan.cli.failure import BadInputError, working_on
from stationplan.cli.options import Rows
from stationplan.cli.output import show, write_files
from stationplan.cli.saved import load_checked_plan
from stationplan.render.files.formats import FORMATS, Format
from stationplan.render.files.tables import TABLES
from stationplan.render.files.wishes import Wishes

if TYPE_CHECKING:
    from zoneinfo import ZoneInfo

_BY_NAME = {format.name: format for format in FORMATS}
_STDOUT = "-"
_YEARS = range(1970, 9990)


@click.command(short_help="Write a saved plan as files for other programs.")
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--out",
    metavar="FILE",
    required=True,
    help="File to write, or a folder for one file each (it ends with / if it is new), or - for the output.",
)
@click.option("--to", "to", type=click.Choice([*_BY_NAME]), help="Format; by default as the name of FILE ends.")
@click.option("--date", "day", metavar="YYYY-MM-DD", help="The date of the plan's first day.")
@click.option("--timezone", metavar="ZONE", help="Where the kitchen is, such as Europe/Lisbon; by default, anywhere.")
@click.option("--for", "person", metavar="NAME", help="Only what this person does.")
@click.option("--table", type=click.Choice(TABLES), help=f"Which table; {TABLES[0]} by default.")
@click.option("--rows", type=click.Choice(get_args(Rows)), help="What a drawn chart has a row for.")
@click.option("--replace", is_flag=True, help="Replace files that are there already.")
def export(
    plan: Path,
    out: str,
    to: str | None,
    day: str | None,
    timezone: str | None,
    person: str | None,
    table: str | None,
    rows: Rows | None,
    replace: bool,
) -> None:
    """Write the saved PLAN as a file that calendars, spreadsheets or other programs read.

    Of the file of a shift, the plan in force is written.
    """
    into_folder = out != _STDOUT and (out.endswith(("/", os.sep)) or Path(out).is_dir())
    format = _format(out, to, into_folder)
    given = {"date": ("--date", day), "timezone": ("--timezone", timezone), "person": ("--for", person)}
    given |= {"table": ("--table", table), "rows": ("--rows", rows)}
    for wish, (option, value) in given.items():
        if value is not None and wish not in format.heeds:
            able = " and ".join(other.name for other in FORMATS if wish in other.heeds)
            raise click.UsageError(f"{option} goes with {able}, not with {format.name}.")
    if into_folder and format.parts is not None and given[format.parts][1] is not None:
        raise click.UsageError(f"{given[format.parts][0]} gives one file: name it instead of a folder.")
    first, zone = _date(day), _zone(timezone)
    document = load_checked_plan(plan)
    with working_on(plan):
        revised = datetime.fromtimestamp(int(plan.stat().st_mtime), UTC)
    if person is not None and person not in document.people:
        raise BadInputError(f"{plan}: nobody in it is called '{person}', only {', '.join(document.people)}")
    wishes = Wishes(first, zone, person, table, rows, revised)
    if out == _STDOUT:
        show(format.write(document, wishes))
    elif into_folder:
        files = [(Path(out) / name, content) for name, content in format.files(document, wishes)]
        with working_on(out):
            Path(out).mkdir(exist_ok=True)
        write_files(files, replace)
    else:
        write_files([(Path(out), format.write(document, wishes))], replace)


def _format(out: str, to: str | None, into_folder: bool) -> Format:
    """The format asked for, or that of the file's name."""
    suffix = "" if into_folder else Path(out).suffix.lower().removeprefix(".")
    name = to or suffix
    if name in _BY_NAME:
        return _BY_NAME[name]
    raise click.UsageError(f"'{out}' does not tell the format: say --to {', --to '.join(_BY_NAME)}.")


def _date(text: str | None) -> date | None:
    if text is None:
        return None
    try:
        day = datetime.strptime(text, "%Y-%m-%d").date()
    except ValueError:
        raise click.BadParameter(f"'{text}' is not a date like 2026-03-14", param_hint="'--date'") from None
    if day.year not in _YEARS:
        raise click.BadParameter(f"{text}: years go from {_YEARS[0]} to {_YEARS[-1]}", param_hint="'--date'")
    return day


def _zone(name: str | None) -> ZoneInfo | None:
    if name is None:
        return None
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(name)
    except (ValueError, OSError, LookupError):
        raise click.BadParameter(
            f"'{name}' is not a time zone of the IANA database, such as Europe/Lisbon", param_hint="'--timezone'"
        ) from None
