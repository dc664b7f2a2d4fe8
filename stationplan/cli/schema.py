"""``stationplan schema``: the JSON Schema of the scenario format."""

from __future__ import annotations

import json

import click

from stationplan.cli.output import show


@click.command(short_help="Print the JSON Schema of scenario files.")
def schema() -> None:
    """Print the JSON Schema (2020-12) of scenario files, for editors that complete and check them."""
    from stationplan.scenario.schema import scenario_schema

    show(f"{json.dumps(scenario_schema(), indent=2)}\n")
