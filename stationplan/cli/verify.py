"""``stationplan verify``: the independent check of a saved plan."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.failure import BadInputError, working_on
from stationplan.cli.output import show, unicode_works
from stationplan.cli.saved import is_shift, load_plan, which_plan


@click.command(short_help="Check a saved plan against its scenario.")
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--against",
    metavar="SCENARIO",
    type=click.Path(path_type=Path),
    help="Check against this scenario instead of the one that the plan carries.",
)
@click.pass_context
def verify(ctx: click.Context, plan: Path, against: Path | None) -> None:
    """Check the saved PLAN against its scenario: quantities, waits, room, temperatures, people, times.

    Of the file of a shift, the plan in force is checked.

    The check shares nothing with the search that made the plan. It prints every fault and ends with exit code 2 when
    there is one.
    """
    from stationplan.plan.check import check_plan
    from stationplan.render.lettering import clean

    document = load_plan(plan)
    scenario = None
    if against is not None:
        from stationplan.scenario import load as load_scenario

        with working_on(against):
            scenario = load_scenario(against).scenario
    faults = check_plan(document, scenario)
    held = f"The {which_plan(document)}" if is_shift(plan) else "The plan"
    lines = [f"{plan}: {fault.sentence}" for fault in faults]
    if faults:
        lines.append(f"{len(faults)} {'fault' if len(faults) == 1 else 'faults'}: do not work from this plan.")
    else:
        lines.append(
            f"{held} holds: {len(document.batches)} batches and {len(document.stays)} waits on "
            f"{len(document.stations)} stations with {len(document.people)} people, "
            f"checked against {against or 'the scenario that it carries'}."
        )
    show("".join(f"{clean(line, unicode_works())}\n" for line in lines))
    ctx.exit(BadInputError.exit_code if faults else 0)
