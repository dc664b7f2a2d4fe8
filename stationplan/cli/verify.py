"""``stationplan verify``: the independent check of a saved plan."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.guard import BAD_INPUT, guarded


@click.command(short_help="Check a saved plan against its scenario.")
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--against",
    type=click.Path(path_type=Path),
    help="Check against this scenario instead of the one that the plan carries.",
)
@guarded
def verify(plan: Path, against: Path | None) -> None:
    """Check the saved PLAN against its scenario: quantities, waits, room, temperatures, people, times.

    The check shares nothing with the search that made the plan. It prints every fault and ends with exit code 2 when
    there is one.
    """
    from stationplan.plan.check import check_plan
    from stationplan.plan.store import load

    document = load(plan)
    if against is None:
        faults = check_plan(document)
    else:
        from stationplan.scenario import load as load_scenario

        faults = check_plan(document, load_scenario(against).scenario)
    for fault in faults:
        click.echo(f"{plan}: {fault.sentence}")
    if faults:
        click.echo(f"{len(faults)} {'fault' if len(faults) == 1 else 'faults'}: do not work from this plan.")
        raise SystemExit(BAD_INPUT)
    click.echo(
        f"The plan holds: {len(document.batches)} batches and {len(document.stays)} waits on "
        f"{len(document.stations)} stations with {len(document.people)} people, checked against the scenario."
    )
