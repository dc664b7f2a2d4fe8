"""``stationplan schema``: the JSON Schema of the scenario format."""

from __future__ import annotations

import json

import click

from stationplan.cli.guard import guarded


@click.command(short_help="Print the JSON Schema of scenario files.")
@guarded
def schema() -> None:
    """Print the JSON Schema (2020-12) of scenario files, for editors that complete and check them."""
    from stationplan.scenario.schema import scenario_schema

    click.echo(json.dumps(scenario_schema(), indent=2, ensure_ascii=False))
