"""``stationplan new``: a small scenario to start from."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.failure import BadInputError, working_on


@click.command(short_help="Write a small scenario to start from.")
@click.argument("folder", type=click.Path(path_type=Path))
def new(folder: Path) -> None:
    """Write a small commented scenario into FOLDER, to start from."""
    from stationplan.scenario.template import TEMPLATE

    target = folder / "scenario.yaml"
    if target.exists():
        raise BadInputError(f"{target}: is there already and is left as it is; choose another folder")
    with working_on(target):
        folder.mkdir(parents=True, exist_ok=True)
        target.write_text(TEMPLATE, encoding="utf-8")
    click.echo(f"Wrote {target}. Read it, change it, then run: stationplan plan {folder}")
