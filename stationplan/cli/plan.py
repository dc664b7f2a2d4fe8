"""``stationplan plan``: the main job."""

from __future__ import annotations

import signal
from pathlib import Path
from types import FrameType
from typing import Literal, NoReturn

import click

from stationplan.cli.guard import BAD_INPUT, IMPOSSIBLE, guarded
from stationplan.cli.output import colors_wanted, columns, look_options, unicode_works

DEFAULT_SECONDS = 20.0


@click.command(short_help="Find the shortest plan for a scenario and show it.")
@click.argument("scenario", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), help="Save the plan as JSON in this file.")
@click.option(
    "--time-limit",
    type=click.FloatRange(min=0, min_open=True),
    default=None,
    help=f"Search for at most this many seconds (default {DEFAULT_SECONDS:g}, none when --effort is given).",
)
@click.option(
    "--effort",
    type=click.FloatRange(min=0, min_open=True),
    default=None,
    help="Search for this much deterministic work, whatever the clock says: the same plan on every run.",
)
@click.option("--seed", type=click.IntRange(min=0, max=2**31 - 1), default=0, help="Seed of the search.")
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    default=None,
    help="Parallel workers (default: all processors; 1 with --effort).",
)
@click.option(
    "--durations",
    type=click.Choice(["longest", "typical", "shortest"]),
    default="longest",
    show_default=True,
    help="Which end of times such as 11..13 min to plan on.",
)
@click.option(
    "--rows",
    type=click.Choice(["equipment", "people", "products"]),
    default="equipment",
    show_default=True,
    help="What the chart has a row for.",
)
@look_options
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON instead of the chart.")
@click.option("--quiet", is_flag=True, help="Print the headline only, and no progress.")
@guarded
def plan(
    scenario: Path,
    out: Path | None,
    time_limit: float | None,
    effort: float | None,
    seed: int,
    workers: int | None,
    durations: Literal["longest", "typical", "shortest"],
    rows: Literal["equipment", "people", "products"],
    width: int | None,
    ascii_only: bool,
    color: str,
    as_json: bool,
    quiet: bool,
) -> None:
    """Find the shortest plan for SCENARIO and show it.

    SCENARIO is a folder with a scenario.yaml, or such a file. Lateness counts first, then the finish, then short waits
    and few changes of oven temperature. Ctrl-C ends the search with the best plan so far.
    """
    from stationplan.cli.loading import load_network, tell_reasons
    from stationplan.cli.progress import ProgressLine
    from stationplan.plan.errors import ImpossibleError
    from stationplan.plan.produce import Effort, produce
    from stationplan.plan.store import save, to_json
    from stationplan.render.text import headline, page

    if out is not None and not out.absolute().parent.is_dir():
        click.echo(f"{out}: there is no folder {out.absolute().parent} to save the plan in", err=True)
        raise SystemExit(BAD_INPUT)
    loaded, network = load_network(scenario, durations)
    if time_limit is None and effort is None:
        time_limit = DEFAULT_SECONDS
    line = ProgressLine(quiet=quiet or as_json)
    signal.signal(signal.SIGTERM, _end_search)
    try:
        produced = produce(network, loaded.raw, Effort(time_limit, effort, seed, workers), line)
    except ImpossibleError as impossible:
        line.clear()
        tell_reasons(scenario, loaded, impossible.reasons)
        raise SystemExit(IMPOSSIBLE) from None
    finally:
        line.clear()
    if out is not None:
        save(produced.plan, out)
    if produced.result.interrupted:
        click.echo("Interrupted: this is the best plan so far.", err=True)
    if as_json:
        click.echo(to_json(produced.plan))
    elif quiet:
        click.echo(headline(produced.plan))
    else:
        click.echo(
            page(
                produced.plan,
                width=columns(width),
                unicode=unicode_works(ascii_only),
                color=colors_wanted(color),
                rows=rows,
            ),
            color=colors_wanted(color),
        )


def _end_search(_signal: int, _frame: FrameType | None) -> NoReturn:
    """Treat a request to terminate like Ctrl-C: the search ends with the best plan so far."""
    raise KeyboardInterrupt
