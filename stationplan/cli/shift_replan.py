"""``stationplan shift replan`` and ``accept``: the rest of a shift planned anew."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from stationplan.cli.failure import NoSuchPlanError, working_on
from stationplan.cli.options import Positive, ascii_option, width_option
from stationplan.cli.output import columns, show, tell, unicode_works
from stationplan.cli.shift_options import moment, now_of, now_option, shift_argument

if TYPE_CHECKING:
    from stationplan.live.record import Log
    from stationplan.live.replanning import Proposal
    from stationplan.plan.document import Plan
    from stationplan.plan.produce import Effort

SECONDS = 10.0
"""To search in, where no limit is given."""


@click.command(short_help="Plan the rest of a shift anew.")
@shift_argument
@click.option("--accept", is_flag=True, help="Go by the new plan at once, instead of proposing it.")
@click.option(
    "--worth",
    type=click.IntRange(min=0),
    default=5,
    show_default=True,
    help="Minutes that another plan must finish earlier for the plan in force to be given up.",
)
@click.option("--time-limit", type=Positive(), metavar="SECONDS", help="Search for at most so long (default: 10).")
@click.option(
    "--effort", type=Positive(), metavar="UNITS", help="Search for so much work instead: the same plan on every run."
)
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=0, show_default=True, help="Random seed.")
@now_option
@width_option
@ascii_option
def replan(
    shift: Path,
    accept: bool,
    worth: int,
    time_limit: float | None,
    effort: float | None,
    seed: int,
    now: int | None,
    width: int | None,
    ascii_only: bool,
) -> None:
    """Plan what is left of the shift in the file SHIFT, around everything that is recorded.

    What has begun stays. The plan in force is pushed later where it must be; another one takes its place only if it is
    less late, or finishes early enough to be worth learning. It is proposed, and counts once it is accepted.
    """
    from stationplan.live.record import add_plan, read
    from stationplan.plan.produce import Effort

    if time_limit is None and effort is None:
        time_limit = SECONDS
    with working_on(shift):
        log = read(shift)
    found = proposal_of(shift, log, now_of(log.day, now), Effort(time_limit, effort, seed), worth)
    with working_on(shift):
        number = add_plan(shift, found.replanned.plan, accepted=accept, after=found.after, moment=moment())
    show(told(found, width, ascii_only))
    if accept:
        show(f"{number}: this plan is in force now\n")
    else:
        show(f"{number}: proposed; to go by it: stationplan shift accept {shift}\n")


@click.command(short_help="Go by the plan that was proposed.")
@shift_argument
@click.option("--who", metavar="NAME", help="Who decides so; without it, whoever is logged in.")
@now_option
def accept(shift: Path, who: str | None, now: int | None) -> None:
    """Go by the plan that was proposed last for the shift in the file SHIFT, if nothing was recorded since."""
    import getpass

    from stationplan.live.errors import EventError
    from stationplan.live.events import Accepted, Event
    from stationplan.live.proposed import decided
    from stationplan.live.record import add_event

    name = getpass.getuser() if who is None else who

    def decision(log: Log) -> Event:
        if log.proposed is None:
            raise EventError(f"no plan is proposed; make one: stationplan shift replan {shift}")
        try:
            return decided(log, "accept", log.proposed_as, at=now_of(log.day, now), who=name)
        except EventError as error:
            raise EventError(f"{error}: stationplan shift replan {shift}") from None

    with working_on(shift):
        entry = add_event(shift, decision, moment())
    assert isinstance(entry.event, Accepted)
    show(f"{entry.number}: the plan proposed as {entry.event.plan} is in force now\n")


def proposal_of(shift: Path, log: Log, now: int, limits: Effort, worth: int) -> Proposal:
    """Plan the rest of a shift anew, and tell at once what becomes of the plan in force.

    Args:
        shift: the file.
        log: what is in it.
        now: minutes since midnight of the first day.
        limits: how long to search; with no effort at all, the first plan stays.
        worth: minutes that another plan must finish earlier.

    Raises:
        NoSuchPlanError: when there is no plan for what is left.
    """
    from stationplan.live.replanning import impossible, proposal
    from stationplan.plan.errors import ImpossibleError
    from stationplan.scenario.units import format_clock

    def first(plan: Plan, kept: bool) -> None:
        what = "the plan in force, pushed later where it must be," if kept else "a first plan, in another order,"
        tell(f"{what} finishes {format_clock(plan.finish)}; looking for a better one")

    try:
        return proposal(log, now, limits, worth=worth, on_first=first if limits.effort != 0 else None)
    except ImpossibleError as error:
        raise NoSuchPlanError(f"{shift}: {impossible(error, log.state, now)}") from None


def told(found: Proposal, width: int | None, ascii_only: bool) -> str:
    """What is different, in words."""
    from stationplan.render.replan import replan_page

    return replan_page(found, width=columns(width), unicode=unicode_works(ascii_only))
