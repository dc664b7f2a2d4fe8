"""What somebody might type into a shift next: what the plan says, what goes wrong, now and then nonsense."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from stationplan.live.moment import Moment, moment_of
from stationplan.live.record import Log
from stationplan.scenario.units import format_clock

NONSENSE = (
    "started Zz9",
    "finished",
    "overrunning Aa1",
    "out deep fryer",
    "back stove 7",
    "slower mixer 400%",
    "away nobody",
    "late egg",
    "order cancel 99",
    "order change 1",
    "stock 3 buckets base",
    "undo 500",
    "melted Aa1",
    "in Ines at 30:00",
    "finished Aa1 at 23:59",
)
PLACES = ("deck oven", "mixer", "freezer", "rack", "stove", "rack 1", "deck oven 2", "stove 2", "small oven")
PLANNING = ("replan", "accept", "accept", "search")
"""Words that plan the rest anew: only to look at it, to go by it, or to look for a better one to go by."""
GOODS = ("flour", "egg", "sugar", "milk")
PEOPLE = ("Ines", "Odo", "Ada")


def moves(chance: Random, log: Log, now: int) -> Iterator[str]:
    """What is typed at a time, in order; words of :data:`PLANNING` among them.

    Args:
        chance: what draws.
        log: the record before the first of them.
        now: minutes since midnight of the first day.
    """
    moment = moment_of(log, now)
    yield from _as_it_goes(chance, moment)
    for _ in range(chance.choice((0, 0, 1, 1, 2))):
        yield mishap(chance, log, moment)
    if chance.random() < 0.1:
        yield chance.choice(NONSENSE)
    if chance.random() < 0.35:
        yield chance.choice(PLANNING)


def _as_it_goes(chance: Random, moment: Moment) -> Iterator[str]:
    """What has ended and begun meanwhile, some of it forgotten."""
    now = moment.now
    for outlook in moment.forecast.outlooks.values():
        label = outlook.batch.label
        if outlook.standing == "running" and outlook.end <= now + 3 and chance.random() < 0.85:
            yield f"finished {label}{_ago(chance, now, 4)}"
    for outlook in sorted(moment.forecast.outlooks.values(), key=lambda outlook: outlook.start):
        label, hands, seats = outlook.batch.label, outlook.batch.hands, outlook.batch.seats
        if not outlook.begun and outlook.start <= now and outlook.standing != "blocked" and chance.random() < 0.85:
            by = f" by {chance.choice(PEOPLE)}" if hands and chance.random() < 0.1 else ""
            on = f" on {chance.choice(PLACES)}" if seats and chance.random() < 0.1 else ""
            yield f"started {label}{by}{on}{_ago(chance, now, 8)}"


def _ago(chance: Random, now: int, most: int) -> str:
    ago = chance.choice((0, 0, chance.randint(1, most)))
    return f" at {format_clock(max(360, now - ago))}" if ago else ""


def _until(chance: Random, often: float, now: int) -> str:
    return f" until {format_clock(now + chance.randint(1, 90))}" if chance.random() < often else ""


def _over(chance: Random, now: int) -> str:
    """What nobody has told while it lasted."""
    since = max(360, now - chance.randint(2, 40))
    return f" at {format_clock(since)} until {format_clock(since + chance.randint(1, 40))}"


def mishap(chance: Random, log: Log, moment: Moment) -> str:
    """Something that goes wrong, or that only seems to."""
    plan, now = moment.state.plan, moment.now
    # Where all that is ordered is in stock, there is nothing left to do.
    labels = [batch.label for batch in plan.batches] or ["Aa1"]
    begun = list(moment.state.runs) or labels
    place, person = chance.choice(PLACES), chance.choice(PEOPLE)
    product = chance.choice(plan.orders or log.first.orders).product
    item = chance.choice(plan.amounts or log.first.amounts).item
    back = [f"{o.equipment}{'' if o.unit is None else f' {o.unit}'}" for o in moment.state.outages if o.ended is None]
    away = [absence.person for absence in moment.state.absences if absence.ended is None]
    late = [goods.ingredient for goods in moment.state.goods if goods.until > now]
    return chance.choice(
        (
            f"overrunning {chance.choice(begun)} +{chance.randint(1, 30)}",
            f"overrunning {chance.choice(begun)} until {format_clock(now + chance.randint(-5, 40))}",
            f"failed {chance.choice(begun)}{_ago(chance, now, 10)}",
            f"failed {chance.choice(begun)}",
            f"finished {chance.choice(labels)}",
            f"started {chance.choice(labels)}{_ago(chance, now, 10)}",
            f"out {place}{_until(chance, 0.7, now)}{_ago(chance, now, 10)}",
            f"back {chance.choice(back or [place])}{_ago(chance, now, 5)}",
            f"back {chance.choice(back or [place])}",
            f"slower {place} {chance.choice((0, 20, 50))}%{_ago(chance, now, 10)}",
            f"away {person}{_until(chance, 0.7, now)}{_ago(chance, now, 10)}",
            f"out {place}{_over(chance, now)}",
            f"away {person}{_over(chance, now)}",
            f"in {chance.choice(away or [person])}{_ago(chance, now, 5)}",
            f"in {chance.choice(away or [person])}",
            f"late {person} until {format_clock(now + chance.randint(5, 60))}",
            f"late {chance.choice(GOODS)} until {format_clock(now + chance.randint(1, 60))}",
            f"in {chance.choice(late or GOODS)}{_ago(chance, now, 5)}",
            f"order add {chance.randint(1, 4)} {product}{chance.choice(('', ' due 10:30'))}",
            f"order change {chance.choice((1, 1, 2, 3))} {chance.randint(1, 7)}",
            f"order change {chance.choice((1, 2, 3))} due {format_clock(now + chance.randint(10, 200))}",
            f"order cancel {chance.choice((1, 2, 3))}",
            f"stock {chance.randint(1, 4)} trays {item}{_until(chance, 0.6, now)}",
            f"stock {chance.randint(1, 4)} trays {item}{_until(chance, 0.6, now)}{_ago(chance, now, 30)}",
            "note it rains",
            "undo",
            f"undo {chance.randint(1, max(1, log.last))}",
        )
    )
