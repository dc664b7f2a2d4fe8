"""``stationplan import``: write orders and recipes of other formats down in ours."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from stationplan.cli.failure import BadInputError, working_on
from stationplan.cli.output import show, tell


@click.command(name="import", short_help="Turn an order table, or a recipe of schema.org, into our format.")
@click.argument("what", metavar="orders|recipe", type=click.Choice(["orders", "recipe"]))
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--out", metavar="NEW", type=click.Path(path_type=Path), help="Write it into this new file.")
def importing(what: Literal["orders", "recipe"], file: Path, out: Path | None) -> None:
    """Print FILE in the words of a scenario.

    orders: a table (.csv, .tsv, .xlsx) as a list of orders.

    recipe: a recipe in the vocabulary of schema.org (JSON-LD, or a saved web page with it inside) as a component,
    with ??? wherever the recipe does not say what a plan needs. Nothing is fetched from the network.
    """
    if out is not None and out.exists():
        raise BadInputError(f"{out}: is there already and is left as it is; choose another name")
    if what == "orders":
        from stationplan.scenario.imports.orders import orders_from

        text, remarks = orders_from(file)
        for remark in remarks:
            tell(remark)
    else:
        from stationplan.scenario.imports.recipes import recipes_from

        text = recipes_from(file)
    if out is None:
        # YAML is UTF-8, whatever else the output is encoded in.
        show(text.encode("utf-8"))
        return
    with working_on(out), out.open("x", encoding="utf-8", newline="\n") as target:
        target.write(text)
    blanks = text.count(": ???")
    tell(f"Wrote {out}{f': {blanks} blanks (???) to fill in' if blanks else ''}.")
