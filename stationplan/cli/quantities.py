"""``stationplan quantities``: what goes into each batch, and what to draw from the store."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

import click

from stationplan.cli.options import ascii_option, width_option
from stationplan.cli.output import columns, show, unicode_works


@click.command(short_help="Show what to weigh into each batch and to draw from the store.")
@click.argument("source", metavar="SCENARIO|PLAN", type=click.Path(path_type=Path))
@click.option(
    "--only",
    type=click.Choice(["batches", "store", "allergens"]),
    help="One part only: what goes into each batch, what to draw from the store, or allergens.",
)
@width_option
@ascii_option
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON, with exact amounts.")
def quantities(
    source: Path,
    only: Literal["batches", "store", "allergens"] | None,
    width: int | None,
    ascii_only: bool,
    as_json: bool,
) -> None:
    """Show every ingredient of SCENARIO, or of a saved PLAN, scaled to the orders.

    Losses and whole batches are reckoned in. A PLAN adds when each batch begins, and where equipment goes on from what
    holds an allergen to what it is not declared of. Of the file of a shift, the plan in force is shown.
    """
    from stationplan.cli.loading import load_network
    from stationplan.cli.saved import is_plan, load_checked_plan
    from stationplan.plan.weighing import weighing_of_network, weighing_of_plan
    from stationplan.render.quantities import weighing_page
    from stationplan.render.quantities_json import weighing_json

    if is_plan(source):
        known = weighing_of_plan(load_checked_plan(source))
    else:
        loaded, network = load_network(source, "longest")
        known = weighing_of_network(loaded.scenario, network)
    if as_json:
        show(weighing_json(known).encode("utf-8"))
    else:
        show(weighing_page(known, width=columns(width), unicode=unicode_works(ascii_only), only=only))
