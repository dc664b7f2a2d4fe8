"""``stationplan bottlenecks``: what holds a kitchen up, and what one thing more or fewer would change."""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import replace
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING

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

if TYPE_CHECKING:
    from stationplan.cli.source import Source
    from stationplan.plan.comparing import Comparison
    from stationplan.plan.document import Plan
    from stationplan.plan.produce import Effort
    from stationplan.plan.trials import Outcome
    from stationplan.plan.what_ifs import Choice
    from stationplan.plan.why import Against

MANY_SECONDS = 120
"""From here on a time is told in minutes."""

CHOICES = ("more-equipment", "more-people", "larger-oven", "later-close", "fewer-equipment", "fewer-people")


@click.command(short_help="Show what holds a kitchen up, and what one thing more or fewer would change.")
@click.argument("source", metavar="SCENARIO|PLAN", type=click.Path(path_type=Path))
@click.option("--only", metavar="KIND", type=click.Choice(CHOICES), multiple=True, help="Try only this kind of change.")
@click.option("--without", metavar="KIND", type=click.Choice(CHOICES), multiple=True, help="Do not try this kind.")
@click.option("--no-what-ifs", is_flag=True, help="Try no change at all: only say what holds the kitchen up.")
@time_limit_each_option
@effort_each_option
@seed_option
@searches_at_a_time_option
@cluster_option
@durations_of_plan_option
@width_option
@ascii_option
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
@click.option("--quiet", is_flag=True, help="Print no progress.")
def bottlenecks(
    source: Path,
    only: tuple[str, ...],
    without: tuple[str, ...],
    no_what_ifs: bool,
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
    """Show what holds the kitchen of SCENARIO or PLAN up, and what one thing more or fewer would change.

    SCENARIO is a folder with a scenario.yaml, or such a file; PLAN a file that "plan --out" has written. Every change
    is truly planned, each by a search of its own, several at a time. KIND is more-equipment, more-people, larger-oven,
    later-close, fewer-equipment or fewer-people. Ctrl-C ends it with what is known by then.
    """
    from stationplan.cli.loading import impossible
    from stationplan.cli.source import load_source
    from stationplan.plan.bottlenecks import bottlenecks as put_together
    from stationplan.plan.produce import Effort
    from stationplan.plan.what_ifs import Choice
    from stationplan.render.bottlenecks import page, to_json

    given = load_source(source, durations)
    if time_limit is None and effort is None:
        time_limit = SECONDS_EACH
    limits = Effort(time_limit, effort, seed, workers)
    choices = [Choice(name) for name in only or CHOICES if name not in without and not no_what_ifs]
    base, against, interrupted = _base(given, limits, quiet=quiet)
    comparison = None
    if choices and not interrupted:
        comparison = _try(given, base, choices, limits, cluster, quiet=quiet)
    known = put_together(given.network, given.scenario, base, comparison)
    if as_json:
        show(to_json(known).encode("utf-8"))
    else:
        show(page(known, base, width=columns(width), unicode=unicode_works(ascii_only)))
    if given.loaded is not None and base is None:
        raise impossible(source, given.loaded, against)


def _base(given: Source, limits: Effort, *, quiet: bool) -> tuple[Plan | None, tuple[Against, ...], bool]:
    """The plan as it is, or why there is none; and whether the user has interrupted the search for it."""
    from stationplan.cli.interruption import Interruption
    from stationplan.cli.progress import ProgressLine
    from stationplan.plan.errors import ImpossibleError
    from stationplan.plan.produce import search, write_down

    if given.plan is not None:
        return given.plan, (), False
    if limits.time_limit is None:
        # How many changes are tried at a time must not lead to another plan.
        limits = replace(limits, workers=1)
    with Interruption() as interruption:
        line = ProgressLine(quiet=quiet, opens=given.network.opens, stopping=lambda: interruption.wished)
        try:
            with line:
                result = search(given.network, limits, line, given.scenario)
                interruption.hold()
        except ImpossibleError as error:
            return None, error.reasons, interruption.wished
        if result.interrupted:
            tell("Interrupted: nothing else was tried, and this is the best plan so far.")
        return write_down(given.network, result, given.raw, limits.seed), (), result.interrupted


def _try(
    given: Source, base: Plan | None, choices: list[Choice], limits: Effort, cluster: str | None, *, quiet: bool
) -> Comparison:
    """Try the changes, and tell beforehand how long that can take."""
    from stationplan.cli.interruption import Interruption
    from stationplan.cli.parallel import Alone, executor
    from stationplan.cli.status_line import StatusLine
    from stationplan.engine.feasibility import Verdict
    from stationplan.plan.comparing import compare
    from stationplan.plan.store import to_json
    from stationplan.plan.trials import Outcome, Trial, known_of, run_trial, side_by_side
    from stationplan.plan.what_ifs import what_ifs

    changes = what_ifs(given.network, given.scenario, given.raw, _worth_trying(choices, base))
    plain = None if base is None else to_json(base)
    one = replace(limits, workers=1)
    trials = [Trial(change.scenario, given.network.durations, one, plain, change.takes_the_last) for change in changes]
    line = StatusLine("what if: ", quiet=quiet)
    done: list[int] = []

    def on_answer(number: int) -> None:
        done.append(number)
        line.show(f"{len(done)} of {len(trials)} done, the last: {changes[number].sentence}")

    outcomes: tuple[Outcome | None, ...] = (None,) * len(trials)
    with Interruption(), suppress(KeyboardInterrupt):
        if not quiet:
            tell(_announced(len(trials), limits, None if cluster else limits.workers or os.cpu_count() or 1))
        with executor(limits.workers, cluster) as pool:
            lost = Outcome(Verdict.UNDECIDED)
            outcomes = side_by_side(run_trial, trials, pool, on_answer, alone=Alone(), lost=lost)
    line.show("")
    if None in outcomes:
        tell("Interrupted: this is what was known by then.")
    return compare(None if base is None else known_of(base), changes, outcomes)


def _worth_trying(choices: list[Choice], base: Plan | None) -> list[Choice]:
    """Without a plan nothing can be taken away; closing later matters where there is none, or something is late."""
    from stationplan.plan.what_ifs import Choice

    late = base is None or any(order.late for order in base.orders)
    return [
        choice for choice in choices if (choice.adds or base is not None) and (choice is not Choice.LATER_CLOSE or late)
    ]


def _announced(number: int, limits: Effort, at_a_time: int | None) -> str:
    """What comes now and how long it can take: '15 changes to try, 2 at a time, ...: at most 80 s in all'."""
    from stationplan.scenario.units import format_duration

    text = f"{number} changes to try" if number != 1 else "1 change to try"
    if at_a_time is None:
        return f"{text}, on the cluster, each for at most {_length(limits)}."
    text = f"{text}, {at_a_time} at a time, each for at most {_length(limits)}"
    if limits.time_limit is None:
        return f"{text}."
    seconds = ceil(-(-number // at_a_time) * limits.time_limit)
    most = f"{seconds} s" if seconds < MANY_SECONDS else format_duration(ceil(seconds / 60))
    return f"{text}: at most {most} in all."


def _length(limits: Effort) -> str:
    parts = [f"{limits.time_limit:g} s"] if limits.time_limit else []
    return " or ".join([*parts, *([f"{limits.effort:g} units of effort"] if limits.effort else [])])
