"""``stationplan shift record``: write down what happens."""

from __future__ import annotations

import getpass
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from stationplan.cli.failure import ProgramError, working_on
from stationplan.cli.output import show, unicode_works
from stationplan.cli.shift_options import moment, now_of, now_option, shift_argument

if TYPE_CHECKING:
    from stationplan.live.events import Event, Recorded

SECONDS_AT_ONCE = 3.0
"""To search in when the rest is planned anew at once."""
MOST_TRIES = 3
"""How often that is begun anew because others have recorded something meanwhile."""


@click.command(short_help="Record an event of a shift.")
@shift_argument
@click.argument("words", nargs=-1, required=True)
@click.option("--who", metavar="NAME", help="Who records it; without it, whoever is logged in.")
@click.option("--auto", is_flag=True, help="Plan the rest anew if this breaks the plan in force, and go by it.")
@now_option
def record(shift: Path, words: tuple[str, ...], who: str | None, auto: bool, now: int | None) -> None:
    """Record an event in the file SHIFT: it counts as soon as its number is printed.

    \b
    started Ac3                 it has begun; with on STATION, by PERSON
    finished Ac3                it has ended well
    overrunning Ac3 +10         it takes ten minutes more; or: until 09:50
    failed Ac3                  what it gives is lost
    out deck oven               out of use; with until 11:00 if that is known
    back deck oven              in use again
    slower deck oven 20%        takes so much longer from now on; 0%: as it should
    away Odo                    is not there; with until 10:30
    in Odo                      is there again; in butter: has come, before it was expected
    late Odo until 07:30        comes late, somebody or an ingredient
    order add 24 plum tart      with due 15:00
    order change 2 36           order 2 is now for 36; or: due 16:00
    order cancel 2              nobody wants order 2 any more
    stock 40 discs sponge       was there already; use it until 14:00: until 14:00
    note anything               changes nothing
    undo                        the last event was a mistake; undo 12: number 12 was

    All of them may end with: at 09:40, when it was a while ago. An event that cannot be is told why, and changes
    nothing.
    """
    from stationplan.live.record import add_event
    from stationplan.live.recording import understood
    from stationplan.live.wording import told
    from stationplan.render.lettering import clean

    name = getpass.getuser() if who is None else who
    with working_on(shift):
        entry = add_event(shift, lambda log: understood(log, words, now=now_of(log.day, now), who=name), moment())
    show(f"{clean(f'{entry.number}: {told(entry.event)}', unicode_works())}\n")
    if entry.event.kind in ("undo", "order changed"):
        _tell_what_is_true(shift, entry)
    if entry.event.kind == "started":
        _tell_what_is_not_by_recipe(shift, entry.event)
    if auto and entry.event.kind != "note":
        _plan_anew(shift, now)


def _tell_what_is_true(shift: Path, entry: Recorded) -> None:
    from stationplan.live.record import read
    from stationplan.live.undone import now_true
    from stationplan.render.lettering import clean

    with working_on(shift):
        log = read(shift)
    about = entry.event.number if entry.event.kind == "undo" else entry.number
    event = next(other.event for other in log.events if other.number == about)
    show(f"{clean(f'now: {now_true(log.state, event)}', unicode_works())}\n")


def _tell_what_is_not_by_recipe(shift: Path, event: Event) -> None:
    from stationplan.live.by_recipe import not_by_recipe
    from stationplan.live.record import read
    from stationplan.render.lettering import clean
    from stationplan.scenario import from_plain

    with working_on(shift):
        log = read(shift)
    sentence = not_by_recipe(event, log.plan, from_plain(log.first.scenario))
    if sentence is not None:
        show(f"{clean(sentence, unicode_works())}\n")


def _plan_anew(shift: Path, now: int | None) -> None:
    """Plan the rest anew and go by it, if the plan in force is no longer good enough.

    What others record meanwhile is planned around as well, which takes another try.
    """
    from stationplan.cli.shift_replan import proposal_of
    from stationplan.cli.shift_replan import told as differences
    from stationplan.live.errors import OutdatedError
    from stationplan.live.record import add_plan, read
    from stationplan.live.replan import WORTH_A_CHANGE
    from stationplan.plan.produce import Effort

    for _ in range(MOST_TRIES):
        with working_on(shift):
            log = read(shift)
        found = proposal_of(shift, log, now_of(log.day, now), Effort(SECONDS_AT_ONCE), WORTH_A_CHANGE)
        if not found.breaks:
            return
        with working_on(shift), suppress(OutdatedError):
            number = add_plan(shift, found.replanned.plan, accepted=True, after=found.after, moment=moment())
            show(f"{differences(found, None, False)}{number}: this plan is in force now\n")
            return
    raise ProgramError(
        "it is recorded, but no plan reckons with it yet: others record faster than that; "
        f"plan once more: stationplan shift replan {shift}"
    )
