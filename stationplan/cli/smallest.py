"""``stationplan smallest``: the smallest kitchen that still has every order ready in time."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.options import (
    Durations,
    Positive,
    ascii_option,
    durations_of_plan_option,
    seed_option,
    width_option,
)
from stationplan.cli.output import columns, show, tell, unicode_works

DEFAULT_SECONDS = 10.0


@click.command(short_help="Find the smallest kitchen that still has every order in time.")
@click.argument("source", metavar="SCENARIO|PLAN", type=click.Path(path_type=Path))
@click.option(
    "--time-limit",
    metavar="SECONDS",
    type=Positive(),
    help=f"Search for at most this long whether a kitchen is enough (default {DEFAULT_SECONDS:g}, none with --effort).",
)
@click.option(
    "--effort",
    metavar="NUMBER",
    type=Positive(),
    help="Search for this much work, in units of the solver: the same answer on every run.",
)
@seed_option
@click.option("--workers", type=click.IntRange(1, 64), help="Kitchens tried at a time (default: all processors).")
@click.option("--cluster", metavar="ADDRESS", help="Try the kitchens on the Dask cluster whose scheduler is there.")
@durations_of_plan_option
@width_option
@ascii_option
@click.option("--json", "as_json", is_flag=True, help="Print it as JSON, with the scenario of the smallest kitchen.")
@click.option("--quiet", is_flag=True, help="Print no progress.")
def smallest(
    source: Path,
    time_limit: float | None,
    effort: float | None,
    seed: int,
    workers: int | None,
    cluster: str | None,
    durations: Durations | None,
    width: int | None,
    ascii_only: bool,
    as_json: bool,
    quiet: bool,
) -> None:
    """Find the smallest kitchen that still has every order of SCENARIO or PLAN ready in time.

    Things and people are taken away, what has the most time to spare first, until none can be left out any more. It
    ends by itself; Ctrl-C ends it with the smallest so far.
    """
    from stationplan.cli.interruption import Interruption
    from stationplan.cli.parallel import executor
    from stationplan.cli.source import load_source
    from stationplan.cli.status_line import StatusLine
    from stationplan.plan.comparing import Ending
    from stationplan.plan.errors import NothingFoundError
    from stationplan.plan.produce import Effort
    from stationplan.plan.smallest import smallest as find
    from stationplan.render.smallest import page, to_json

    given = load_source(source, durations)
    if time_limit is None and effort is None:
        time_limit = DEFAULT_SECONDS
    line = StatusLine("is it enough: ", quiet=quiet)
    limits = Effort(time_limit, effort, seed)
    with Interruption(), executor(workers, cluster) as pool:
        found = find(given.network, given.scenario, given.raw, limits, pool, line.show)
    line.show("")
    if found.whole is Ending.IMPOSSIBLE:
        raise given.never_in_time()
    if found.whole is not Ending.PLANNED:
        raise NothingFoundError(interrupted=found.interrupted)
    if found.interrupted:
        tell("Interrupted: this is the smallest kitchen so far.")
    if as_json:
        show(to_json(found).encode("utf-8"))
    else:
        show(page(found, width=columns(width), unicode=unicode_works(ascii_only)))
