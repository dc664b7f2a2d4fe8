"""What is to be expected from now on, if everybody goes on in the order of the plan.

No search: batches that have not begun are pushed right, one after another in their planned order, until what they need
is there (serial schedule generation with the plan as its list; Kolisch 1996). They are never pulled forward: a kitchen
that is ahead keeps to its plan. A running batch ends as told or, past that, now.

Left out, so that a glance costs no planning: room in places where things wait, and the cooling of an oven that is
opened late.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from stationplan.live.drawn import Standing
from stationplan.live.heating import Heating
from stationplan.live.hours import Away, times_away
from stationplan.live.state import Run, ShiftState, minutes_of
from stationplan.plan.document import Batch, Delivered, Hand, Seat, Stocked
from stationplan.plan.passing import Passing
from stationplan.plan.so_far import needs_on, setting_of, use_of
from stationplan.scenario.models import Item, Scenario
from stationplan.scenario.units import Setting, format_clock

_Setting = tuple[Setting | None, str | None]
"""What a chamber is set to, and what is in a bowl."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """A batch as it stands.

    Attributes:
        batch: as planned.
        standing: what has become of it.
        start: when it began, or is expected to.
        end: when it ended, or is expected to.
        because: what keeps it until its start, or blocks it; '' for nothing but the plan.
        overdue: minutes by which a running batch has gone past its expected end.
        stations: where it is, or is to be, one for each of its seats.
    """

    batch: Batch
    standing: Standing
    start: int
    end: int
    because: str = ""
    overdue: int = 0
    stations: tuple[str, ...] = ()

    @property
    def begun(self) -> bool:
        """Whether it has been started."""
        return self.standing in ("done", "lost", "running")

    @property
    def drift(self) -> int:
        """Minutes by which it ends later than planned, below 0 for earlier."""
        return self.end - self.batch.end

    def span(self, hand: Hand) -> tuple[int, int]:
        """From when to when hands are at it, or are expected to be."""
        return _span(self.batch, hand, self.start, self.end)


@dataclass(frozen=True, slots=True)
class Delivery:
    """An order of the plan, when it is expected to be ready, and whether a batch for it is blocked or lost."""

    order: Delivered
    ready: int
    blocked: bool

    @property
    def late(self) -> int:
        """Minutes, 0 when in time."""
        return 0 if self.order.due is None else max(0, self.ready - self.order.due)


@dataclass(frozen=True)
class Forecast:
    """A shift at a moment: what has happened and what is to be expected.

    Attributes:
        now: minutes since midnight of the first day.
        outlooks: every batch of the plan by label, in the order of the plan.
        deliveries: its orders.
        finish: when the last batch or wait is expected to end.
    """

    now: int
    outlooks: Mapping[str, Outlook]
    deliveries: tuple[Delivery, ...]
    finish: int

    @property
    def blocked(self) -> bool:
        """Whether something cannot be done as long as nobody changes the plan."""
        standings = (outlook.standing for outlook in self.outlooks.values())
        return "blocked" in standings or any(delivery.blocked for delivery in self.deliveries)


@dataclass
class _Station:
    """What is taken of a station: when how much of it becomes free, and what it is set to."""

    capacity: int
    free: list[tuple[int, int]] = field(default_factory=list)
    setting: _Setting | None = None
    busy_until: int = 0

    def ready(self, amount: int, setting: _Setting, change: int) -> int:
        """When it can take so much at a setting, if coming to another one takes ``change`` minutes."""
        room, ready = self.capacity - sum(taken for _, taken in self.free), 0
        for end, taken in sorted(self.free):
            if room >= amount:
                break
            room, ready = room + taken, end
        if self.setting is not None and self.setting != setting:
            return max(ready, self.busy_until + change)
        return ready

    def take(self, start: int, end: int, amount: int, setting: _Setting) -> None:
        """Take room from start to end."""
        self.free = [(until, taken) for until, taken in self.free if until > start]
        self.free.append((end, amount))
        self.setting = setting
        self.busy_until = max(self.busy_until, end)


def expect(state: ShiftState, scenario: Scenario, passings: Sequence[Passing], now: int) -> Forecast:
    """What is to be expected from now on.

    Args:
        state: what is recorded.
        scenario: the one that the shift began with.
        passings: what goes from batch to batch in the plan in force.
        now: minutes since midnight of the first day.

    Returns:
        The forecast.
    """
    return _Pass(state, scenario, passings, now).forecast()


class _Pass:
    def __init__(self, state: ShiftState, scenario: Scenario, passings: Sequence[Passing], now: int) -> None:
        self.state, self.plan, self.now = state, state.plan, now
        self.before: dict[str, list[Passing]] = defaultdict(list)
        # What is in stock keeps nobody waiting, but does not keep for ever.
        stock = {stock.label: stock for stock in self.plan.stock}
        self.there = {label: one.start for label, one in stock.items()}
        self.trailing: dict[str, int] = {}
        self.stock: dict[str, list[Stocked]] = defaultdict(list)
        for passing in passings:
            if passing.after is not None and passing.before in stock:
                self.stock[passing.after].append(stock[passing.before])
            elif passing.after is not None:
                self.before[passing.after].append(passing)
            else:
                self.trailing[passing.before] = sum(stay.least for stay in passing.stays)
        # One batch at a time in a bowl, however little of it that fills.
        self.stations = {
            station.name: _Station(1 if station.kind == "mixer" else station.capacity) for station in self.plan.stations
        }
        self.kinds = {station.name: station.kind for station in self.plan.stations}
        # For each pair of hands at work, when it was to begin, from when until when it is expected to be, and for which
        # batch if that is blocked.
        self.hands: dict[str, list[tuple[int, int, int, str]]] = defaultdict(list)
        self.away = _away(state, scenario)
        self.heating = Heating(self.plan, scenario)
        self.scenario, self.items = scenario, scenario.items
        self.found: dict[str, Outlook] = {}

    def forecast(self) -> Forecast:
        """What has begun as it ran, and then the rest in the order of the plan."""
        runs = self.state.runs
        begun = [batch for batch in self.plan.batches if batch.label in runs]
        for batch in sorted(begun, key=lambda batch: runs[batch.label].start):
            self._ran(batch, runs[batch.label])
        rest = [batch for batch in self.plan.batches if batch.label not in runs]
        for batch in sorted(rest, key=lambda batch: (batch.start, batch.end)):
            self._push(batch)
        outlooks = {batch.label: self.found[batch.label] for batch in self.plan.batches}
        deliveries = tuple(self._delivery(order) for order in self.plan.orders)
        ends = [outlook.end for outlook in outlooks.values()] + [delivery.ready for delivery in deliveries]
        return Forecast(self.now, outlooks, deliveries, max(ends, default=self.plan.opens))

    def _ran(self, batch: Batch, run: Run) -> None:
        end = max(run.expected_end, self.now) if run.end is None else run.end
        overdue = max(0, self.now - run.expected_end) if run.end is None else 0
        stations = run.stations or _stations(batch)
        self.found[batch.label] = Outlook(batch, run.outcome, run.start, end, overdue=overdue, stations=stations)
        self._take(batch, run.start, end, run.stations, run.people)

    def _push(self, batch: Batch) -> None:
        start = max(self.now, batch.start)
        found = list(self._hindrances(batch, start))
        # What is over its time is expected to end now, and keeps others until somebody says that it has.
        keeping = [why for until, why in found if until == start]
        while (later := max((until for until, _ in found), default=start)) > start:
            keeping = [why for until, why in found if until == later]
            start = later
            found = list(self._hindrances(batch, start))
        end = start + minutes_of(self.state, batch, start)
        because = keeping[0] if keeping and start > batch.start else ""
        blocked = self._blocked(batch)
        standing: Standing = "late" if start == self.now > batch.start and not because else "waiting"
        if blocked:
            standing, because = "blocked", blocked
        self.found[batch.label] = Outlook(batch, standing, start, end, because, stations=_stations(batch))
        self._take(batch, start, end)

    def _hindrances(self, batch: Batch, start: int) -> Iterator[tuple[int, str]]:
        """What keeps a batch that would start then, each until when and what it is."""
        for passing in self.before[batch.label]:
            ready = self.found[passing.before].end + sum(stay.least for stay in passing.stays)
            waits = [stay.name for stay in passing.stays if stay.least and stay.name]
            yield ready, f"{passing.before}: {', '.join(waits)}" if waits else f"{passing.before} comes first"
        for seat in batch.seats:
            offset, length = seat.start - batch.start, seat.end - seat.start
            station = self.stations[seat.station]
            ready = station.ready(self._amount(seat), _setting(seat), self._change_before(seat))
            yield ready - offset, f"{seat.station} is busy"
            for since, until in self._outages(seat.station):
                heats = self.heating.minutes(seat)
                if since < start + offset + length and start + offset <= until + heats:
                    yield until + heats - offset, f"{seat.station} {'heats up' if heats else 'is out of use'}"
        end = start + minutes_of(self.state, batch, start)
        for hand in batch.hands:
            begins, ends = _span(batch, hand, start, end)
            offset = begins - start
            # Whoever is to take something out of the oven later is free for this until then.
            at = " at the unload" if hand.doing == "unload" else ""
            for planned, since, until, kept in self.hands[hand.person]:
                if planned < hand.start or (since < ends and begins <= until):
                    # A batch that is blocked may keep hands free for it that do nothing.
                    yield until - offset, f"{hand.person} is {f'kept for {kept}, blocked' if kept else f'busy{at}'}"
            for away in self.away.get(hand.person, ()):
                if away.start < ends and begins <= away.end:
                    yield away.end - offset, _absent(hand.person, away, begins, at)
        for late in self.state.goods:
            if self._takes(batch, late.ingredient):
                yield late.until, f"{late.ingredient} comes late"

    def _blocked(self, batch: Batch) -> str:
        """What has to be done about before a batch can begin, if anything."""
        for passing in self.before[batch.label]:
            other = self.found[passing.before]
            if other.standing == "lost":
                return f"{passing.before} failed"
            if other.standing == "blocked":
                return other.because
        for stock in self.stock[batch.label]:
            if stock.use_by is not None and stock.use_by < self.now:
                return f"{stock.item} in stock is past its use-by of {format_clock(stock.use_by)}"
        for seat in batch.seats:
            if any(o.end is None or o.end <= self.now for o in self.state.outages_of(seat.station)):
                return f"{seat.station} is out of use"
        for hand in batch.hands:
            away = self.state.away(hand.person, self.now)
            if away is not None and away.end is None:
                return f"{hand.person} is away"
        return ""

    def _outages(self, station: str) -> Iterator[tuple[int, int]]:
        for outage in self.state.all_outages_of(station):
            # What should be back is not, until somebody says so.
            end = self.now if outage.end is None else outage.end
            yield outage.start, end if outage.ended is not None else max(end, self.now)

    def _takes(self, batch: Batch, ingredient: str) -> bool:
        """Whether an ingredient goes in at this batch's step."""
        return takes(batch, ingredient, self.items, self.before[batch.label])

    def _change_before(self, seat: Seat) -> int:
        """Minutes in which the station gets ready for this: a chamber from what it is at, a bowl as planned."""
        setting = self.stations[seat.station].setting
        minutes = None if setting is None else self.heating.between(setting[0], seat)
        if minutes is not None:
            return minutes
        before = [c for c in self.plan.changes if c.station == seat.station and c.end <= seat.start]
        last = max(before, key=lambda change: change.end, default=None)
        return 0 if last is None else last.end - last.start

    def _amount(self, seat: Seat) -> int:
        return 1 if self.kinds[seat.station] == "mixer" else seat.amount

    def _take(
        self, batch: Batch, start: int, end: int, stations: Sequence[str] = (), people: Sequence[str] = ()
    ) -> None:
        for number, seat in enumerate(batch.seats):
            name = stations[number] if number < len(stations) else seat.station
            begins = start + seat.start - batch.start
            ends = max(begins, end - (batch.end - seat.end))
            setting = _setting(seat) if name == seat.station else self._setting_at(name, batch, seat)
            self.stations[name].take(begins, ends, self._amount(seat), setting)
        for number, hand in enumerate(batch.hands):
            person = people[number] if number < len(people) else hand.person
            blocked = self.found[batch.label].standing == "blocked"
            span = _span(batch, hand, start, end)
            self.hands[person].append((hand.start, *span, batch.label if blocked else ""))

    def _setting_at(self, station: str, batch: Batch, seat: Seat) -> _Setting:
        """What a station is set to for a batch that is planned elsewhere."""
        needs = needs_on(self.scenario, batch, {row.equipment for row in self.plan.stations if row.name == station})
        use = use_of(seat, needs)
        return use.setting, use.holding

    def _delivery(self, order: Delivered) -> Delivery:
        own = [self.found[label] for label in order.batches if label in self.found]
        # It is ready when the last of what it is made from is, each after a wait of its own.
        ready = [outlook.end + self.trailing.get(outlook.batch.label, 0) for outlook in own]
        ready += [self.there[label] for label in order.batches if label in self.there]
        return Delivery(
            order, max(ready, default=order.ready), any(outlook.standing in ("blocked", "lost") for outlook in own)
        )


def takes(batch: Batch, ingredient: str, items: Mapping[str, Item], before: Sequence[Passing]) -> bool:
    """Whether an ingredient goes in at a batch's step.

    Args:
        batch: of the plan.
        ingredient: its name.
        items: what is made, by name.
        before: what the batch takes up from others.
    """
    item = items.get(batch.item)
    if item is None:
        return False
    return item.takes_in(ingredient, batch.step, first=all(passing.item != batch.item for passing in before))


def _setting(seat: Seat) -> _Setting:
    return setting_of(seat), seat.holding


def _stations(batch: Batch) -> tuple[str, ...]:
    return tuple(seat.station for seat in batch.seats)


def _span(batch: Batch, hand: Hand, start: int, end: int) -> tuple[int, int]:
    """When hands are at a batch that goes from start to end: unloading, and what else is last, moves with its end."""
    until = end if hand.end == batch.end else start + hand.end - batch.start
    begins = start + hand.start - batch.start
    return until - (hand.end - hand.start) if hand.doing == "unload" else begins, until


def _away(state: ShiftState, scenario: Scenario) -> dict[str, list[Away]]:
    """When people are not there: before their hours, in breaks, and as recorded; after hours work may run on."""
    closes = int(scenario.shift.closes)
    found: dict[str, list[Away]] = defaultdict(list)
    for person, spans in times_away(scenario).items():
        found[person] += [away for away in spans if away.rests or away.end < closes]
    for absence in state.absences:
        if absence.end is not None:
            found[absence.person].append(Away(absence.start, absence.end, rests=False))
    return found


def _absent(person: str, away: Away, minute: int, at: str) -> str:
    """Why somebody cannot work on from a minute, in words."""
    start = format_clock(away.start)
    if minute < away.start:
        return f"{person}'s break at {start} is too near" if away.rests else f"{person} is away from {start}"
    return f"{person} {'has a break' if away.rests else 'is away'}{at}"
