"""The state of a shift: a fold over what was recorded, without a clock, a file or a guess.

What is undone counts as if it had never been recorded.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import reduce
from math import ceil, floor
from typing import Any, Literal

from stationplan.live.elsewhere import minutes_elsewhere
from stationplan.live.events import (
    Accepted,
    Away,
    Back,
    Event,
    Failed,
    Finished,
    GoodsIn,
    GoodsLate,
    In,
    Note,
    OrderAdded,
    OrderCancelled,
    OrderChanged,
    Out,
    Overrunning,
    Recorded,
    Slower,
    Started,
    StockFound,
    Undo,
)
from stationplan.live.wording import unit_name
from stationplan.plan.document import Batch, Plan

Outcome = Literal["running", "done", "lost"]


@dataclass(frozen=True, slots=True)
class Run:
    """A batch that has begun.

    Attributes:
        label: the batch.
        start: when it began.
        end: when it ended or was given up; None while it runs.
        expected_end: when it is, or was, expected to end: as long after its start as planned, or as told since.
        outcome: 'lost': whatever it gives is gone.
        stations: where, one for each of its seats in the plan.
        people: who, one for each of its hands in the plan.
    """

    label: str
    start: int
    end: int | None
    expected_end: int
    outcome: Outcome
    stations: tuple[str, ...] = ()
    people: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Outage:
    """Equipment out of use, all of it, a unit or a chamber; ``ended`` once it is back, ``until`` what was said."""

    equipment: str
    unit: int | None
    start: int
    until: int | None
    ended: int | None = None
    chamber: int | None = None

    @property
    def end(self) -> int | None:
        """When it was back, else when it is to be back; None when nobody knows."""
        return self.until if self.ended is None else self.ended


@dataclass(frozen=True, slots=True)
class Slowdown:
    """From when on equipment is slower, by how many percent, and the number of the event that says so; 0 for none."""

    equipment: str
    start: int
    percent: int | Fraction
    number: int
    unit: int | None = None
    chamber: int | None = None


@dataclass(frozen=True, slots=True)
class Absence:
    """Somebody away; ``ended`` once they are in again, ``until`` what was said."""

    person: str
    start: int
    until: int | None
    ended: int | None = None

    @property
    def end(self) -> int | None:
        """When they were in again, else when they are to be; None when nobody knows."""
        return self.until if self.ended is None else self.ended


@dataclass(frozen=True, slots=True)
class OrderLine:
    """An order as it stands now; ``asked`` is what the shift began with, None for one that came later."""

    number: int
    product: str
    quantity: int
    due: int | None
    asked: int | None
    cancelled: bool = False
    changed: bool = False


@dataclass(frozen=True)
class ShiftState:
    """Everything that is known of a shift.

    Attributes:
        plan: the plan in force.
        known: number of the last event that the plan in force reckons with.
        runs: batches that have begun, by label, in the order in which they were recorded.
        outages: equipment out of use, now or earlier.
        slow: equipment that is slower as the scenario says that the shift began with.
        slowdowns: equipment that became slower, or as it should be again.
        absences: people away, now or earlier.
        orders: what is ordered, cancelled ones included.
        stock: what was found.
        goods: what comes late, or has come.
        notes: what somebody wanted to be remembered.
        last: number of the last event, 0 before the first.
        last_standing: number of the last event that is neither an undo nor undone, 0 for none.
    """

    plan: Plan
    known: int = 0
    runs: Mapping[str, Run] = field(default_factory=dict)
    outages: tuple[Outage, ...] = ()
    slow: tuple[Slowdown, ...] = ()
    slowdowns: tuple[Slowdown, ...] = ()
    absences: tuple[Absence, ...] = ()
    orders: tuple[OrderLine, ...] = ()
    stock: tuple[StockFound, ...] = ()
    goods: tuple[GoodsLate, ...] = ()
    notes: tuple[Note, ...] = ()
    last: int = 0
    last_standing: int = 0

    def out(self, equipment: str, unit: int | None, chamber: int | None) -> Outage | None:
        """The outage of just this chamber, this unit, or with None of the whole entry, until it is recorded as back."""
        asked = (equipment, unit, chamber)
        same = (o for o in self.outages if (o.equipment, o.unit, o.chamber) == asked and o.ended is None)
        return next(same, None)

    def outages_of(self, station: str) -> Iterator[Outage]:
        """What keeps a station of the plan out of use until it is recorded as back."""
        return (outage for outage in self.all_outages_of(station) if outage.ended is None)

    def all_outages_of(self, station: str) -> Iterator[Outage]:
        """What keeps or kept a station of the plan out of use.

        A place that counts the room of several units together is out only when all of them are.
        """
        entry = next((other.equipment for other in self.plan.stations if other.name == station), station)
        for outage in self.outages:
            if outage.equipment == entry and _is_part(station, outage):
                yield outage

    def away(self, person: str, at: int, until: int | None = None) -> Absence | None:
        """The first absence of somebody that goes on after a time, and begins before another one if that is given.

        Whoever said when they are back is reckoned in from then.
        """
        own = (a for a in self.absences if a.person == person and (a.end is None or a.end > at))
        return min((a for a in own if until is None or a.start < until), key=lambda a: a.start, default=None)

    def absent(self, person: str, start: int, end: int) -> bool:
        """Whether somebody is recorded as away in a part of some minutes."""
        own = (absence for absence in self.absences if absence.person == person)
        return any(absence.start < end and (absence.end is None or absence.end > start) for absence in own)


def fold(
    plan: Plan, events: Sequence[Recorded], *, scenario: dict[str, Any] | None = None, known: int = 0
) -> ShiftState:
    """The state that events make.

    Args:
        plan: the plan in force.
        events: everything recorded, in the order of the numbers.
        scenario: the scenario that the shift began with; that of the plan if not given.
        known: number of the last event that the plan in force reckons with.

    Returns:
        The state.
    """
    raw = plan.scenario if scenario is None else scenario
    first = ShiftState(plan, known, orders=orders_of(raw), slow=slow_in(raw))
    state = reduce(apply, standing(events), first)
    return replace(state, last=events[-1].number if events else 0)


def standing(events: Sequence[Recorded]) -> list[Recorded]:
    """The events that are not undone."""
    undone = {entry.event.number for entry in events if isinstance(entry.event, Undo)}
    return [entry for entry in events if entry.number not in undone]


def orders_of(scenario: dict[str, Any]) -> tuple[OrderLine, ...]:
    """The orders of a scenario, as plain data, counted from 1."""
    from stationplan.scenario.models import Scenario

    return tuple(
        OrderLine(number, order.product, order.quantity, order.due, order.quantity)
        for number, order in enumerate(Scenario.model_validate(scenario).orders, 1)
    )


def slow_in(scenario: dict[str, Any]) -> tuple[Slowdown, ...]:
    """What a scenario, as plain data, says of equipment that is slower."""
    from stationplan.scenario.models import Equipment

    machines = [Equipment.model_validate(raw) for raw in scenario["kitchen"]["equipment"] if "slower" in raw]
    return tuple(
        Slowdown(machine.name, 0, slow.by * 100, 0, slow.unit, slow.chamber)
        for machine in machines
        for slow in machine.slower
    )


def apply(state: ShiftState, entry: Recorded) -> ShiftState:
    """The state after one more event; what an event says of something unknown is left out.

    Args:
        state: the state before it.
        entry: the event with its number.

    Returns:
        A new state.
    """
    event = entry.event
    if isinstance(event, Undo | Accepted):
        return state
    return replace(_applied(state, event, entry.number), last_standing=entry.number)


def _applied(state: ShiftState, event: Event, number: int) -> ShiftState:
    match event:
        case Started() | Finished() | Overrunning() | Failed():
            return replace(state, runs=_runs(state, event, number))
        case Out():
            before = state.out(event.equipment, event.unit, event.chamber)
            rest = tuple(o for o in state.outages if o is not before)
            start = event.at if before is None else before.start
            outage = Outage(event.equipment, event.unit, start, event.until, chamber=event.chamber)
            return replace(state, outages=(*rest, outage))
        case Back():
            return replace(
                state,
                outages=tuple(
                    replace(o, ended=event.at) if o.ended is None and _covers(event, o) else o for o in state.outages
                ),
            )
        case Slower():
            slow = Slowdown(event.equipment, event.at, event.percent, number, event.unit, event.chamber)
            return replace(state, slowdowns=(*state.slowdowns, slow))
        case Away():
            away = state.away(event.person, event.at, event.until)
            others = tuple(a for a in state.absences if a is not away)
            start = event.at if away is None else away.start
            return replace(state, absences=(*others, Absence(event.person, start, event.until)))
        case In():
            away = state.away(event.person, event.at)
            return replace(
                state, absences=tuple(replace(a, ended=event.at) if a is away else a for a in state.absences)
            )
        case OrderAdded() | OrderChanged() | OrderCancelled():
            return replace(state, orders=_orders(state.orders, event))
        case StockFound():
            return replace(state, stock=(*state.stock, event))
        case GoodsLate():
            return replace(state, goods=(*_others(state.goods, event.ingredient), event))
        case GoodsIn():
            here = GoodsLate(at=event.at, who=event.who, ingredient=event.ingredient, until=event.at)
            return replace(state, goods=(*_others(state.goods, event.ingredient), here))
        case Note():
            return replace(state, notes=(*state.notes, event))
        case _:
            return state


def _others(goods: tuple[GoodsLate, ...], ingredient: str) -> tuple[GoodsLate, ...]:
    return tuple(late for late in goods if late.ingredient != ingredient)


def _covers(event: Back, outage: Outage) -> bool:
    """Whether an outage ends with this event: all of the equipment is back, or just this unit or chamber."""
    same = event.unit in (None, outage.unit) and event.chamber in (None, outage.chamber)
    return event.equipment == outage.equipment and same


def _is_part(station: str, of: Outage | Slowdown) -> bool:
    """Whether a station of the equipment is all of what something is said of, or a part of that."""
    name = unit_name(of.equipment, of.unit, of.chamber)
    return name in (of.equipment, station) or station.startswith(f"{name}.")


def _runs(state: ShiftState, event: Started | Finished | Overrunning | Failed, number: int) -> dict[str, Run]:
    runs = dict(state.runs)
    if isinstance(event, Started):
        batch = next((batch for batch in state.plan.batches if batch.label == event.label), None)
        minutes = 0 if batch is None else minutes_of(state, batch, event.at, event.stations)
        people = event.people
        if batch is not None and number <= state.known:
            # A plan that reckons with it has handed on what somebody cannot do who is away.
            people = tuple(hand.person for hand in batch.hands)
        runs[event.label] = Run(event.label, event.at, None, event.at + minutes, "running", event.stations, people)
        return runs
    run = runs.get(event.label)
    if run is None:
        return runs
    match event:
        case Finished():
            runs[event.label] = replace(run, end=event.at, outcome="done")
        case Overrunning():
            runs[event.label] = replace(run, expected_end=event.until)
        case Failed():
            runs[event.label] = replace(run, end=event.at if run.end is None else run.end, outcome="lost")
    return runs


def minutes_of(state: ShiftState, batch: Batch, start: int, stations: Sequence[str] = ()) -> int:
    """How long a batch takes if it starts then: as planned, or longer on equipment that has become slower since.

    Args:
        state: with what is slower.
        batch: the batch.
        start: minutes since midnight of the first day.
        stations: where it is, one for each of its seats; empty: as planned.

    Returns:
        Minutes. Loading and unloading are work of people and take as long as ever.
    """
    minutes, planned = batch.end - batch.start, [seat.station for seat in batch.seats]
    before, percent = _percent(state, planned, None), _percent(state, stations or planned, start)
    there = minutes_elsewhere(state.plan, batch, stations, percent) if stations else None
    if there is not None:
        return there
    if percent == before:
        return minutes
    hands = sum(hand.end - hand.start for hand in batch.hands if hand.doing != "hands-on")
    # What the plan in force reckons with is in its minutes already, and was rounded up.
    machine = floor(max(0, minutes - hands) / (1 + Fraction(before) / 100))
    return minutes - max(0, minutes - hands) + ceil(machine * (1 + Fraction(percent) / 100))


def _percent(state: ShiftState, stations: Iterable[str], start: int | None) -> int | Fraction:
    """By how much the slowest of some stations is slower for what starts then; None: as the plan in force has it."""
    on = {station.name: station.equipment for station in state.plan.stations}
    known = [*state.slow, *(s for s in state.slowdowns if s.number <= state.known)]
    since = [s for s in state.slowdowns if start is not None and s.start <= start and s.number > state.known]
    found: list[int | Fraction] = [0]
    for name in stations:
        said = (s.percent for s in reversed([*known, *since]) if s.equipment == on[name] and _is_part(name, s))
        found.append(next(said, 0))
    return max(found)


def _orders(orders: tuple[OrderLine, ...], event: OrderAdded | OrderChanged | OrderCancelled) -> tuple[OrderLine, ...]:
    if isinstance(event, OrderAdded):
        return (*orders, OrderLine(len(orders) + 1, event.product, event.quantity, event.due, None))

    def changed(line: OrderLine) -> OrderLine:
        if line.number != event.order:
            return line
        if isinstance(event, OrderCancelled):
            return replace(line, cancelled=True)
        return replace(
            line,
            quantity=line.quantity if event.quantity is None else event.quantity,
            due=line.due if event.due is None else event.due,
            changed=True,
        )

    return tuple(changed(line) for line in orders)
