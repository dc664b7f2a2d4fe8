"""``stationplan smallest``: the smallest kitchen that still has every order ready in time."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.options import (
    SECONDS_EACH,
    Durations,
    ascii_option,
    cluster_option,
    durations_of_plan_option,
    effort_each_option,
    searches_at_a_time_option,
    seed_option,
    time_limit_each_option,
    width_option,
)
from stationplan.cli.output import columns, show, tell, unicode_works


@click.command(short_help="Find the smallest kitchen that still has every order in time.")
@click.argument("source", metavar="SCENARIO|PLAN", type=click.Path(path_type=Path))
@time_limit_each_option
@effort_each_option
@seed_option
@searches_at_a_time_option
@cluster_option
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
    from stationplan.cli.parallel import Alone, executor
    from stationplan.cli.source import load_source
    from stationplan.cli.status_line import StatusLine
    from stationplan.plan.comparing import Ending
    from stationplan.plan.errors import NothingFoundError
    from stationplan.plan.produce import Effort
    from stationplan.plan.smallest import smallest as find
    from stationplan.render.smallest import page, to_json

    given = load_source(source, durations)
    if time_limit is None and effort is None:
        time_limit = SECONDS_EACH
    line = StatusLine("is it enough: ", quiet=quiet)
    limits = Effort(time_limit, effort, seed)
    with Interruption(), executor(workers, cluster) as pool:
        found = find(given.network, given.scenario, given.raw, limits, pool, line.show, Alone())
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
