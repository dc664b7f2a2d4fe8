"""What somebody should see to, in sentences: a glance at a shift must not need a second one.

They are hints, made from what was recorded and from the times in the recipes; nothing here knows how warm anything is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Sequence
from dataclasses import dataclass

from stationplan.live.expecting import Forecast, Outlook, takes
from stationplan.live.heating import Heating
from stationplan.live.state import ShiftState
from stationplan.live.stranded import stranded_in
from stationplan.live.turns import turns_in
from stationplan.live.wording import unit_name
from stationplan.plan.document import Change, Plan, Seat, Stay
from stationplan.plan.passing import Passing
from stationplan.plan.so_far import needs_on, use_of
from stationplan.scenario.models import Scenario
from stationplan.scenario.units import Setting, format_clock, format_duration

SOON = 15
"""Minutes before the end of a wait's most at which it is told of."""
AHEAD = 30
"""Minutes ahead of which ovens are named that have to be heated."""


@dataclass(frozen=True, slots=True)
class Alarm:
    """Something to see to at, or since, a minute; ``breaks`` says that the plan in force does not hold with it."""

    minute: int
    sentence: str
    breaks: bool = False


def alarms_of(
    state: ShiftState, forecast: Forecast, passings: Sequence[Passing], scenario: Scenario
) -> tuple[Alarm, ...]:
    """Everything to see to, the most pressing first: before all else batches in equipment that is out of use.

    Args:
        state: what is recorded.
        forecast: what is expected.
        passings: what goes from batch to batch in the plan in force.
        scenario: the one that the shift began with.

    Returns:
        These, and then the others by the minute at which they matter.
    """
    stranded = tuple(stranded_in(state))
    found = [
        *_running(forecast, {one.run.label for one in stranded}),
        *_late(forecast),
        *_blocked(forecast),
        *_goods(state, forecast, passings, scenario),
        *_places(state, forecast, passings),
        *_waits(state.plan, forecast, passings),
        *_hands(state, forecast),
        *_ovens(state, forecast, Heating(state.plan, scenario), scenario),
        *_should_be_back(state, forecast.now),
        *_orders(forecast),
    ]
    first = (Alarm(one.outage.start, one.sentence, breaks=True) for one in stranded)
    return (*first, *sorted(found, key=lambda alarm: alarm.minute))


def _running(forecast: Forecast, told: Container[str]) -> Iterator[Alarm]:
    for label, outlook in forecast.outlooks.items():
        if outlook.standing == "running" and outlook.overdue and label not in told:
            since = forecast.now - outlook.overdue
            yield Alarm(
                since,
                f"{label} {outlook.batch.step} should have ended at {format_clock(since)}: "
                f"record finished {label}, or overrunning {label} +10",
            )


def _late(forecast: Forecast) -> Iterator[Alarm]:
    for label, outlook in forecast.outlooks.items():
        if outlook.standing == "late":
            planned = outlook.batch.start
            yield Alarm(
                planned,
                f"{label} {outlook.batch.step} should have begun at {format_clock(planned)}, "
                f"{format_duration(forecast.now - planned)} ago, and nothing keeps it",
            )


def _blocked(forecast: Forecast) -> Iterator[Alarm]:
    """One alarm a cause: the batch that it holds up first, and how many more."""
    causes: dict[str, list[Outlook]] = {}
    for outlook in forecast.outlooks.values():
        if outlook.standing == "blocked":
            causes.setdefault(outlook.because, []).append(outlook)
    for because, outlooks in causes.items():
        first = min(outlooks, key=lambda outlook: outlook.batch.start)
        more = f" and {len(outlooks) - 1} more" if len(outlooks) > 1 else ""
        yield Alarm(
            first.batch.start,
            f"{because}: {first.batch.label} {first.batch.step}{more} cannot begin "
            f"(planned {format_clock(first.batch.start)})",
            breaks=True,
        )


def _goods(state: ShiftState, forecast: Forecast, passings: Sequence[Passing], scenario: Scenario) -> Iterator[Alarm]:
    """One alarm for each ingredient that comes later than the plan wants it."""
    before: dict[str | None, list[Passing]] = defaultdict(list)
    for passing in passings:
        before[passing.after].append(passing)
    for late in state.goods:
        waiting = [
            outlook.batch
            for label, outlook in forecast.outlooks.items()
            if not outlook.begun
            and outlook.batch.start < late.until > forecast.now
            and takes(outlook.batch, late.ingredient, scenario.items, before[label])
        ]
        if waiting:
            first = min(waiting, key=lambda batch: batch.start)
            more = f" and {len(waiting) - 1} more" if len(waiting) > 1 else ""
            yield Alarm(
                first.start,
                f"{late.ingredient} comes late: {first.label} {first.step}{more} cannot begin before "
                f"{format_clock(late.until)} (planned {format_clock(first.start)})",
                breaks=True,
            )


def _places(state: ShiftState, forecast: Forecast, passings: Sequence[Passing]) -> Iterator[Alarm]:
    """Places out of use: what stands in them, and what could not go in until they are back."""
    for name, stays in _stays_by_place(passings).items():
        outage = next(state.outages_of(name), None)
        if outage is None:
            continue
        end = None if outage.end is None or outage.end <= forecast.now else outage.end
        standing: dict[str, None] = {}
        coming: dict[str, int] = {}
        for stay in stays:
            before = forecast.outlooks.get(stay.before)
            after = None if stay.after is None else forecast.outlooks[stay.after]
            into = stay.start + (0 if before is None else before.drift)
            if (before is not None and before.standing in ("lost", "blocked")) or (after is not None and after.begun):
                continue
            if into > forecast.now or (before is not None and before.standing != "done"):
                if end is None or into < end:
                    coming[stay.before] = min(into, coming.get(stay.before, into))
            elif after is not None or stay.end > forecast.now:
                standing[stay.before] = None
        if standing:
            yield Alarm(outage.start, f"move {', '.join(standing)} out of {name}, which is out of use", breaks=True)
        if coming:
            first = min(coming.values())
            yield Alarm(
                first,
                f"{name} is out of use: {', '.join(coming)} cannot go in (expected from {format_clock(first)})",
                breaks=True,
            )


def _stays_by_place(passings: Sequence[Passing]) -> dict[str, list[Stay]]:
    found: dict[str, list[Stay]] = {}
    for stay in (stay for passing in passings for stay in passing.stays):
        if stay.station is not None:
            found.setdefault(stay.station, []).append(stay)
    return found


def _waits(plan: Plan, forecast: Forecast, passings: Sequence[Passing]) -> Iterator[Alarm]:
    """Waits that end too late, or have little left, the worst of each batch; one ends when the next batch begins."""
    worst: dict[str, tuple[int, int, Passing]] = {}
    use_by = {stock.label: stock.use_by for stock in plan.stock}
    for passing in passings:
        before = forecast.outlooks.get(passing.before)
        after = None if passing.after is None else forecast.outlooks[passing.after]
        # The most counts from when it was put there, which moves with the batch that it comes from.
        drift, there = (0, True) if before is None else (before.drift, before.begun and before.standing != "lost")
        latest = use_by[passing.before] if before is None else passing.latest
        if after is None or latest is None or not there or (before is None and latest < forecast.now):
            continue
        latest += drift
        if not after.begun and (after.start > latest or latest - forecast.now <= SOON):
            over = after.start - latest
            if passing.before not in worst or over > worst[passing.before][0]:
                worst[passing.before] = over, latest, passing
    for label, (over, latest, passing) in worst.items():
        late = f", expected {format_clock(latest + over)}: {format_duration(over)} too late" if over > 0 else ""
        source = "in stock" if label in use_by else f"of {label}"
        yield Alarm(
            latest,
            f"{passing.item} {source} must be taken up by {format_clock(latest)} at the latest, "
            f"by {passing.after}{late}",
            breaks=over > 0,
        )


def _hands(state: ShiftState, forecast: Forecast) -> Iterator[Alarm]:
    """Running batches that somebody who is away then is to work on."""
    for turn in turns_in(state, forecast):
        start, batch = max(turn.start, forecast.now), turn.outlook.batch
        if turn.outlook.standing == "running" and turn.end > start and state.absent(turn.person, start, turn.end):
            # A plan hands on only what has not begun.
            doing = "plan the rest anew to hand it over" if turn.start >= forecast.now else "lend it a hand"
            yield Alarm(
                start,
                f"{batch.label} {batch.step} needs hands at {format_clock(start)}, but {turn.person} is away: "
                f"{doing}, or record failed {batch.label}",
                breaks=turn.start >= forecast.now,
            )


def _ovens(state: ShiftState, forecast: Forecast, heating: Heating, scenario: Scenario) -> Iterator[Alarm]:
    """Ovens that have to be heated or cooled within the next half hour, for the batch that is first to go in.

    Nobody records when an oven is switched on. It is taken to be as soon as it has to be for the plan.
    """
    loads: dict[str, list[tuple[int, Outlook, Seat]]] = {}
    for outlook in forecast.outlooks.values():
        run = state.runs.get(outlook.batch.label)
        for number, seat in enumerate(outlook.batch.seats):
            into = outlook.start + seat.start - outlook.batch.start
            station = run.stations[number] if run is not None and number < len(run.stations) else seat.station
            loads.setdefault(station, []).append((into, outlook, seat))
    equipment = {station.name: station.equipment for station in state.plan.stations}
    for station, entries in loads.items():
        before = state.plan.opens - 1
        # What the station is at for a batch that was to be elsewhere.
        guest: Setting | None = None
        for into, outlook, seat in sorted(entries, key=lambda entry: entry[0]):
            change = None
            if outlook.begun:
                elsewhere = station != seat.station
                needs = needs_on(scenario, outlook.batch, {equipment[station]}) if elsewhere else ()
                guest = use_of(seat, needs).setting if elsewhere else None
            elif guest is not None:
                change = heating.change(seat, guest) if heating.between(guest, seat) else None
                guest = None
            else:
                change = _getting_ready(state, seat, before, into, heating)
            before = into
            if change is None or outlook.standing == "blocked":
                continue
            minutes = change.end - change.start
            begin = into - minutes
            if begin <= forecast.now + AHEAD:
                yield Alarm(
                    begin,
                    f"{_heat(change, begin, forecast.now)}, for {outlook.batch.label} at "
                    f"{format_clock(into)}{_only_now(begin, forecast.now, minutes)}",
                )


def _getting_ready(state: ShiftState, seat: Seat, before: int, into: int, heating: Heating) -> Change | None:
    """What a station does for a load after one at ``before``: as planned, or from cold where it has had none since."""
    plan = state.plan
    starts = [other.start for batch in plan.batches for other in batch.seats if other.station == seat.station]
    last = max((start for start in starts if start < seat.start), default=plan.opens)
    own = (c for c in plan.changes if c.station == seat.station and c.kind != "wash" and last < c.end <= seat.start)
    change = next(own, None)
    backs = [outage.end for outage in state.all_outages_of(seat.station) if outage.end is not None]
    back = max((back for back in backs if back <= into), default=plan.opens)
    reckoned = back <= (plan.opens if plan.past is None else plan.past.now)
    if before >= back or (change is None and reckoned) or not heating.minutes(seat):
        return change
    return heating.change(seat)


def _heat(change: Change, begin: int, now: int) -> str:
    do, doing = {"heat": ("heat", "heating"), "cool": ("turn down", "cooling")}.get(change.kind, ("set", "set"))
    if begin < now:
        return f"{change.station} should be {doing} to {change.after} since {format_clock(begin)}"
    return f"{do} {change.station} to {change.after} {'now' if begin == now else f'at {format_clock(begin)}'}"


def _only_now(begin: int, now: int, minutes: int) -> str:
    return f"; if it is begun only now, at {format_clock(now + minutes)}" if begin < now else ""


def _should_be_back(state: ShiftState, now: int) -> Iterator[Alarm]:
    for outage in state.outages:
        if outage.ended is None and outage.until is not None and outage.until <= now:
            name, since = unit_name(outage.equipment, outage.unit, outage.chamber), format_clock(outage.until)
            yield Alarm(outage.until, f"{name} should be back since {since}: record back {name}, or out until when")


def _orders(forecast: Forecast) -> Iterator[Alarm]:
    for delivery in forecast.deliveries:
        order = delivery.order
        if order.due is not None and delivery.late > order.late:
            yield Alarm(
                order.due,
                f"{order.quantity} {order.product}, due {format_clock(order.due)}, are expected at "
                f"{format_clock(delivery.ready)}: {format_duration(delivery.late)} late",
                breaks=True,
            )
