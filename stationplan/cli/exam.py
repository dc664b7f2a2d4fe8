"""``stationplan exam``: a practical exam that is alike for every candidate."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from stationplan.cli.failure import BadInputError, NoSuchPlanError, ProgramError, reason
from stationplan.cli.options import Durations, Positive, ascii_option, durations_option, seed_option, width_option
from stationplan.cli.output import columns, show, tell, unicode_works

if TYPE_CHECKING:
    from stationplan.plan.document import Plan
    from stationplan.plan.produce import Effort

DEFAULT_SECONDS = 30.0
Sheet = Literal["timetable", "cards", "events"]


@click.command(short_help="Plan a practical exam that is alike for every candidate.")
@click.argument("scenario", metavar="SCENARIO", type=click.Path(path_type=Path))
@click.option("--out", metavar="FILE", type=click.Path(path_type=Path), help="Save the plan as JSON in this file.")
@click.option(
    "--only",
    type=click.Choice(["timetable", "cards", "events"]),
    help="Print only the timetable, the candidates' cards, or the invigilators' list of events.",
)
@click.option(
    "--time-limit",
    metavar="SECONDS",
    type=Positive(),
    help=f"Search for at most this many seconds (default {DEFAULT_SECONDS:g}, none with --effort).",
)
@click.option(
    "--effort",
    metavar="NUMBER",
    type=Positive(),
    help="Search for this much work for the best timeline, and for a share of it for each question before that, "
    "whatever the clock says: the same plan on every run.",
)
@seed_option
@click.option("--workers", type=click.IntRange(1, 64), help="Parallel workers (default: all processors).")
@durations_option
@width_option
@ascii_option
@click.option("--no-advice", is_flag=True, help="Do not look for what would make the exam shorter.")
@click.option("--quiet", is_flag=True, help="Print the headline only.")
def exam(
    scenario: Path,
    out: Path | None,
    only: Sheet | None,
    time_limit: float | None,
    effort: float | None,
    seed: int,
    workers: int | None,
    durations: Durations,
    width: int | None,
    ascii_only: bool,
    no_advice: bool,
    quiet: bool,
) -> None:
    """Plan the practical exam of SCENARIO, and print its sheets.

    SCENARIO is a folder with a scenario.yaml that has an exam in it, or such a file; or a plan that this command has
    saved, to print its sheets again. Everybody gets the same timeline, moved by their start; or, where the exam allows
    for a difference, the least difference in waiting for shared equipment. The output says which, and what is proved.
    """
    from stationplan.plan.produce import Effort
    from stationplan.render.exam import sheets

    if scenario.suffix == ".json":
        document = _saved(scenario)
    else:
        if time_limit is None and effort is None:
            time_limit = DEFAULT_SECONDS
        document = _planned(scenario, out, Effort(time_limit, effort, seed, workers), durations, advise=not no_advice)
    wanted: tuple[Sheet, ...] = (only,) if only else ("timetable", "cards", "events")
    show(sheets(document, () if quiet else wanted, width=columns(width), unicode=unicode_works(ascii_only)))


def _saved(path: Path) -> Plan:
    """A saved plan, if it is one of an exam and holds."""
    from stationplan.cli.saved import load_plan
    from stationplan.plan.check import check_plan

    document = load_plan(path)
    if document.exam is None:
        raise BadInputError(f"{path}: this is no plan of an exam; show it with: stationplan chart {path}")
    faults = check_plan(document)
    if faults:
        raise BadInputError(f"{path}: this plan contradicts its scenario, so it is not shown: {faults[0].sentence}")
    return document


def _planned(path: Path, out: Path | None, limits: Effort, durations: Durations, *, advise: bool) -> Plan:
    """Search for a plan, and save it where that is wanted."""
    from stationplan.cli.interruption import Interruption
    from stationplan.cli.loading import load_scenario
    from stationplan.cli.status_line import StatusLine
    from stationplan.network import NetworkError
    from stationplan.plan.errors import NothingFoundError
    from stationplan.plan.exam.errors import ExamImpossibleError
    from stationplan.plan.exam.hold import hold
    from stationplan.plan.store import save, try_out
    from stationplan.scenario.errors import InvalidScenario, Problem

    if out is not None:
        try:
            try_out(out)
        except OSError as error:
            raise BadInputError(f"{out}: no plan can be saved there: {reason(error)}") from error
    loaded = load_scenario(path)
    if loaded.scenario.exam is None:
        raise BadInputError(f"{path}: there is no exam in this scenario; plan it with: stationplan plan {path}")
    line = StatusLine("looking into it: ", quiet=False)
    try:
        with Interruption():
            document = hold(loaded.scenario, loaded.raw, limits, durations, advise=advise, told=line.show)
    except NetworkError as error:
        raise InvalidScenario((Problem(loaded.where(error.path), str(error)),)) from None
    except ExamImpossibleError as error:
        where = loaded.where(("exam",))
        if error.proved:
            raise NoSuchPlanError(f"{where}: this exam cannot be held as it stands: {error}") from None
        raise ProgramError(f"{where}: no plan was found, and none is ruled out: {error}") from None
    except KeyboardInterrupt:
        raise NothingFoundError(interrupted=True) from None
    finally:
        line.show("")
    if out is not None:
        try:
            save(document, out)
        except OSError as error:
            raise BadInputError(f"{out}: the plan could not be saved: {reason(error)}") from error
        tell(f"Saved in {out}.")
    return document
