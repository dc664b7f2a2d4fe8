"""``stationplan plan``: the main job."""

from __future__ import annotations

from pathlib import Path

import click

from stationplan.cli.failure import BadInputError, ProgramError, reason
from stationplan.cli.options import (
    Durations,
    Lists,
    Percent,
    Positive,
    Rows,
    ascii_option,
    color_option,
    durations_option,
    list_option,
    rows_option,
    seed_option,
    width_option,
)
from stationplan.cli.output import colors_wanted, columns, show, tell, unicode_works

DEFAULT_SECONDS = 20.0


@click.command(short_help="Find the shortest plan for a scenario and show it.")
@click.argument("scenario", type=click.Path(path_type=Path))
@click.option("--out", metavar="FILE", type=click.Path(path_type=Path), help="Save the plan as JSON in this file.")
@click.option(
    "--time-limit",
    metavar="SECONDS",
    type=Positive(),
    help=f"Search for at most this many seconds (default {DEFAULT_SECONDS:g}, none with --effort or --stall).",
)
@click.option(
    "--effort",
    metavar="NUMBER",
    type=Positive(),
    help="Search for this much work, in units of the solver, whatever the clock says: the same plan on every run.",
)
@click.option(
    "--gap",
    metavar="PERCENT",
    type=Percent(),
    help="Stop when nothing is late that need not be and no plan could be shorter by more than this, such as 2.",
)
@click.option(
    "--stall",
    metavar="SECONDS",
    type=Positive(),
    help="Stop when nothing has improved for so long (with --effort alone: for so much work).",
)
@seed_option
@click.option(
    "--workers",
    type=click.IntRange(1, 64),
    help="Parallel workers (default: all processors; 1 with --effort alone).",
)
@durations_option
@click.option(
    "--confident",
    metavar="PERCENT",
    type=Percent(),
    help="Look for slack until each order is in time in this share of simulated runs; plans on typical times.",
)
@rows_option
@list_option
@width_option
@ascii_option
@color_option
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON instead of the chart.")
@click.option("--quiet", is_flag=True, help="Print the headline only, and no progress.")
@click.pass_context
def plan(
    ctx: click.Context,
    scenario: Path,
    out: Path | None,
    time_limit: float | None,
    effort: float | None,
    gap: float | None,
    stall: float | None,
    seed: int,
    workers: int | None,
    durations: Durations,
    confident: float | None,
    rows: Rows,
    listed: Lists | None,
    width: int | None,
    ascii_only: bool,
    color: str,
    as_json: bool,
    quiet: bool,
) -> None:
    """Find the shortest plan for SCENARIO and show it.

    SCENARIO is a folder with a scenario.yaml, or such a file. Lateness counts first, then the finish, then short waits
    and few changes of oven temperature. Ctrl-C ends the search with the best plan so far; a second one leaves at once.
    """
    from stationplan.cli.explaining import look_into
    from stationplan.cli.interruption import Interruption
    from stationplan.cli.loading import impossible, load_network
    from stationplan.cli.progress import ProgressLine
    from stationplan.plan.errors import ImpossibleError
    from stationplan.plan.produce import Effort, search, write_down
    from stationplan.plan.store import save, to_json, try_out
    from stationplan.render.lines import listing
    from stationplan.render.simulation import confidence
    from stationplan.render.text import headline, page

    if out is not None:
        # Before the search, so that nobody waits for a plan that then has no place to go.
        try:
            try_out(out)
        except OSError as error:
            raise BadInputError(f"{out}: no plan can be saved there: {reason(error)}") from error
    if confident is not None and ctx.get_parameter_source("durations") is click.core.ParameterSource.DEFAULT:
        durations = "typical"
    loaded, network = load_network(scenario, durations)
    if time_limit is None and effort is None and stall is None:
        time_limit = DEFAULT_SECONDS
    limits = Effort(time_limit, effort, seed, workers, gap, stall)
    unsaved = slack = None
    with Interruption() as interruption:
        line = ProgressLine(quiet=quiet, opens=network.opens, stopping=lambda: interruption.wished)
        try:
            with line:
                result = search(network, limits, line, loaded.scenario)
                if confident is not None:
                    from stationplan.live.confident import with_slack

                    slack = with_slack(
                        network,
                        loaded.raw,
                        result,
                        confident,
                        lambda changed: search(changed, limits, line, loaded.scenario),
                        seed,
                    )
                interruption.hold()
        except ImpossibleError as error:
            explanation = look_into(loaded, network, time_limit, effort, seed, quiet=quiet)
            raise impossible(scenario, loaded, error.reasons, explanation) from None
        document = write_down(network, result, loaded.raw, seed) if slack is None else slack.found.plan
        if out is not None:
            try:
                save(document, out)
            except OSError as error:
                unsaved = BadInputError(f"{out}: the plan could not be saved: {reason(error)}")
    if result.interrupted or (slack is not None and interruption.wished):
        tell("Interrupted: this is the best plan so far.")
    unicode, colored = unicode_works(ascii_only), colors_wanted(color)
    try:
        if as_json:
            # JSON is always UTF-8 (RFC 8259), whatever else the output is encoded in.
            show(to_json(document).encode("utf-8"))
        elif quiet:
            show(f"{headline(document, columns(width), unicode)}\n")
        elif listed is not None:
            show(listing(document, by=listed, width=columns(width), unicode=unicode))
        else:
            show(page(document, width=columns(width), unicode=unicode, color=colored, rows=rows), color=colored)
        if slack is not None and not as_json:
            show(("" if quiet else "\n") + confidence(slack, columns(width), unicode))
    finally:
        # Also when whoever read the page has had enough of it.
        if unsaved is not None:
            raise unsaved
        if out is not None and not quiet:
            tell(f"Saved in {out}.")
    if slack is not None and not slack.reached:
        raise ProgramError(
            f"No plan was found that has each order in time with {100 * slack.wanted:g} % confidence; there may be one."
        )
