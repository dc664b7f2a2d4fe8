"""``stationplan shift report``: what became of a plan."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stationplan.cli.failure import BadInputError, working_on
from stationplan.cli.options import ascii_option, width_option
from stationplan.cli.output import columns, show, tell, unicode_works

if TYPE_CHECKING:
    from stationplan.live.report_times import StepTimes


@click.command(short_help="Show what became of the plan, and what the times in the recipes should be.")
@click.argument("shifts", metavar="SHIFT...", nargs=-1, required=True, type=click.Path(path_type=Path))
@width_option
@ascii_option
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
@click.option(
    "--write-times",
    "recipes",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="Show instead how the times would be corrected in this scenario or file with recipes.",
)
@click.option("--replace", is_flag=True, help="With --write-times: write the file.")
def report(
    shifts: tuple[Path, ...],
    width: int | None,
    ascii_only: bool,
    as_json: bool,
    recipes: Path | None,
    replace: bool,
) -> None:
    """Compare what was recorded in the files SHIFT with the plans that they began with.

    Planned against actual by step and by station; what the finish and every order were late by, and what each of these
    minutes came from; and how long steps really take, from all the files together.
    """
    if replace and recipes is None:
        raise click.UsageError("--replace writes a file that --write-times names")
    if as_json and recipes is not None:
        raise click.UsageError("--json prints the report; leave --write-times out, or --json")
    from stationplan.live.record import read
    from stationplan.live.report import report_of
    from stationplan.render.shift_report import report_json, report_page

    logs = []
    for path in shifts:
        with working_on(path):
            logs.append(read(path))
    found = report_of(logs)
    if recipes is not None:
        _correct(recipes, found.times, replace)
    elif as_json:
        show(report_json(found).encode("utf-8"))
    else:
        show(report_page(found, width=columns(width), unicode=unicode_works(ascii_only)))


def _correct(path: Path, times: Sequence[StepTimes], replace: bool) -> None:
    """Show what would become of a file and, if that is wanted, write it."""
    from codecs import BOM_UTF8
    from difflib import unified_diff

    from stationplan.plan.store import write_whole
    from stationplan.render.lettering import clean
    from stationplan.scenario.merging import MAIN_FILE
    from stationplan.scenario.reading import UnreadableFile, read_bytes, read_text
    from stationplan.scenario.rewriting import Change, rewrite

    if path.is_dir():
        path = path / MAIN_FILE
    changes = [
        Change(entry.time.path, entry.time.depth, entry.time.written, str(entry.advice))
        for entry in times
        if entry.differs
    ]
    if not changes:
        tell(f"{path} is as it was: there is no time to correct.")
        return
    try:
        old, mark = read_text(path), read_bytes(path).startswith(BOM_UTF8)
        new = rewrite(old, str(path), changes)
    except UnreadableFile as error:
        raise BadInputError(f"{path}{f':{error.line}' if error.line else ''}: {error.sentence}") from error
    if not new.made:
        raise BadInputError(f"{path}: none of the steps whose times are to be corrected stands in this file")
    for line in unified_diff(old.splitlines(), new.text.splitlines(), str(path), str(path), lineterm="", n=1):
        show(f"{clean(line, unicode_works())}\n")
    for name in dict.fromkeys(str(change.path[1]) for change in new.elsewhere):
        tell(f"{name} does not stand in {path}; its times are to be corrected in another file.")
    if not replace:
        tell(f"{path} is as it was; to write it, add --replace.")
        return
    with working_on(path):
        write_whole(path, (BOM_UTF8 if mark else b"") + new.text.encode("utf-8"))
    tell(f"Saved in {path}.")
