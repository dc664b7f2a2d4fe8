"""``stationplan simulate``: how likely a plan is to hold."""

from __future__ import annotations

from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stationplan.cli.failure import working_on
from stationplan.cli.options import ascii_option, width_option
from stationplan.cli.output import columns, show, unicode_works
from stationplan.cli.saved import is_shift, load_checked_plan
from stationplan.cli.shift_options import now_of, now_option

if TYPE_CHECKING:
    from stationplan.plan.document import Plan

DEFAULT_RUNS = 1000


@click.command(short_help="Work through a saved plan many times, and show how likely it is to hold.")
@click.argument("plan", type=click.Path(path_type=Path))
@click.option(
    "--runs",
    metavar="NUMBER",
    type=click.IntRange(20, 1_000_000),
    default=DEFAULT_RUNS,
    show_default=True,
    help="How many times.",
)
@click.option(
    "--as-soon-as-possible",
    "early",
    is_flag=True,
    help="Begin each batch as soon as it can be, not only when its time has come.",
)
@click.option(
    "--spread",
    type=click.Choice(["triangular", "uniform"]),
    default="triangular",
    show_default=True,
    help="How times such as 11..13 min spread over their range: mostly near the middle, or all alike.",
)
@click.option(
    "--fails",
    metavar="FAILURE",
    multiple=True,
    help="A share of the batches of a step fails and is made again, such as 'bake shells: 2 %'.",
)
@click.option(
    "--stops",
    metavar="STOPPAGE",
    multiple=True,
    help="Equipment stops now and then, such as 'deck oven: 10..20 min every 8 h' of work.",
)
@click.option(
    "--seed",
    type=click.IntRange(min=0, max=2**31 - 1),
    default=0,
    show_default=True,
    help="Another seed draws other times.",
)
@click.option("--workers", type=click.IntRange(1, 64), help="Processes that share the runs (default: 1).")
@click.option("--cluster", metavar="ADDRESS", help="Make the runs on the Dask cluster whose scheduler is there.")
@width_option
@ascii_option
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
@now_option
def simulate(
    plan: Path,
    runs: int,
    early: bool,
    spread: str,
    fails: tuple[str, ...],
    stops: tuple[str, ...],
    seed: int,
    workers: int | None,
    cluster: str | None,
    width: int | None,
    ascii_only: bool,
    as_json: bool,
    now: int | None,
) -> None:
    """Work through the saved PLAN many times, with times drawn from their ranges, and count what comes of it.

    PLAN may also be the file of a shift: then what is left of it is worked through from now on, in the order of its
    plan.

    People and stations keep to the order of the plan: whoever is late makes others late. It says how likely each order
    is in time, when all is done, which waits become too long, and where a few minutes pay most.
    """
    from stationplan.cli.parallel import executor
    from stationplan.live.drawing import Chance, check_mishaps
    from stationplan.live.figures import simulate as work_through
    from stationplan.live.following import course_of
    from stationplan.live.mishaps import parse_failure, parse_stoppage
    from stationplan.render.simulation import page, to_json

    failures, stoppages = tuple(map(parse_failure, fails)), tuple(map(parse_stoppage, stops))
    chance = Chance("uniform" if spread == "uniform" else "triangular", seed, failures, stoppages)
    if is_shift(plan):
        document = _rest_of(plan, now)
    elif now is not None:
        raise click.UsageError("--now is for shifts; this is a plan")
    else:
        document = load_checked_plan(plan)
    course = course_of(document, early=early)
    check_mishaps(course, chance)
    alone = cluster is None and (workers or 1) == 1
    with nullcontext() if alone else executor(workers, cluster) as others:
        found = work_through(document.name, course, chance, runs, early=early, closes=document.closes, executor=others)
    if as_json:
        show(to_json(found).encode("utf-8"))
    else:
        units = {amount.item: amount.unit for amount in document.amounts}
        show(page(found, units, width=columns(width), unicode=unicode_works(ascii_only)))


def _rest_of(shift: Path, now: int | None) -> Plan:
    """What is left of a shift: its plan, pushed later where it must be."""
    from stationplan.cli.shift_replan import proposal_of
    from stationplan.live.record import read
    from stationplan.plan.produce import Effort

    with working_on(shift):
        log = read(shift)
    minute = now_of(log.day, now)
    if minute < log.plan.opens:
        return log.plan
    return proposal_of(shift, log, minute, Effort(effort=0), worth=0).replanned.plan
