"""From the record of a shift to what kept what: every batch that has ended, with all that it could not begin before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from stationplan.live.known import with_known
from stationplan.live.record import Log
from stationplan.live.report_delays import Before, Cause, Job, Keeping
from stationplan.live.state import Run, minutes_of
from stationplan.plan.document import Batch, Hand, Seat
from stationplan.plan.passing import Passing
from stationplan.scenario import from_plain
from stationplan.scenario.models import Person
from stationplan.scenario.units import format_clock


@dataclass(frozen=True, slots=True)
class Ran:
    """A batch that has ended.

    Attributes:
        batch: as the plan in force has it.
        planned: as the plan that the shift began with had it; None when it did not.
        run: what is recorded.
        end: when it ended.
    """

    batch: Batch
    planned: Batch | None
    run: Run
    end: int

    @property
    def reckoned(self) -> Batch:
        """As it was first planned."""
        return self.batch if self.planned is None else self.planned

    def person(self, number: int) -> str:
        """Whose hands one pair of hands was."""
        return self.run.people[number] if number < len(self.run.people) else self.batch.hands[number].person

    def station(self, number: int) -> str:
        """Where one of its seats was."""
        return self.run.stations[number] if number < len(self.run.stations) else self.batch.seats[number].station

    @property
    def stations(self) -> tuple[str, ...]:
        """Where it was, one for each of its seats."""
        return tuple(self.station(number) for number in range(len(self.batch.seats)))

    def hand_span(self, hand: Hand) -> tuple[int, int]:
        """From when to when hands were at it: unloading, and what goes on to the end, moves with the end."""
        end = self.end if hand.end == self.batch.end else self.run.start + hand.end - self.batch.start
        start = self.run.start + hand.start - self.batch.start
        if hand.doing == "unload":
            start = end - (hand.end - hand.start)
        return start, max(start, end)

    def seat_span(self, seat: Seat) -> tuple[int, int]:
        """From when to when it was on a station."""
        start = self.run.start + seat.start - self.batch.start
        return start, max(start, self.end - (self.batch.end - seat.end))


@dataclass(frozen=True, slots=True)
class _Stretch:
    """Something taken by a batch for a while: a person, or room on a station."""

    ran: Ran
    start: int
    end: int
    amount: int = 1
    setting: tuple[object, ...] = ()
    from_start: bool = False


@dataclass(frozen=True, slots=True)
class _Gone:
    """From when to when somebody or something was not there, and whether the end was known beforehand."""

    start: int
    end: int
    what: str
    told: bool = True


def ran_of(log: Log) -> dict[str, Ran]:
    """Every batch of the plan in force that has ended, by label, in the order of the plan.

    Args:
        log: the record.
    """
    first = {batch.label: batch for batch in log.first.batches}
    found = {}
    for batch in log.plan.batches:
        run = log.state.runs.get(batch.label)
        if run is not None and run.end is not None:
            found[batch.label] = Ran(batch, first.get(batch.label), run, run.end)
    return found


def jobs_of(log: Log, ran: Mapping[str, Ran], passings: Sequence[Passing]) -> dict[str, Job]:
    """Every batch that has ended, with what kept it.

    Args:
        log: the record.
        ran: its batches that have ended.
        passings: what goes from batch to batch in the plan in force.

    Returns:
        By label.
    """
    return _Jobs(log, ran, passings).all()


def ready_job(ran: Mapping[str, Ran], labels: Sequence[str], passings: Sequence[Passing], planned: int) -> Job | None:
    """The moment at which several batches were ready for delivery, as something to account for.

    Args:
        ran: the batches that have ended.
        labels: those that it takes.
        passings: what goes from batch to batch in the plan in force.
        planned: when it was to be, minutes since midnight of the first day.

    Returns:
        None while one of them has not ended.
    """
    if not labels or any(label not in ran for label in labels):
        return None
    standing: dict[str, int] = defaultdict(int)
    for passing in passings:
        if passing.after is None:
            standing[passing.before] = max(standing[passing.before], sum(stay.least for stay in passing.stays))
    before = tuple(Before(label, ran[label].end + standing[label], "waits", "") for label in labels)
    actual = max(other.ready for other in before)
    return Job("", "", (planned, planned), actual, actual, before)


class _Jobs:
    def __init__(self, log: Log, ran: Mapping[str, Ran], passings: Sequence[Passing]) -> None:
        self.log, self.ran = log, ran
        # What the plan in force reckons with already made nothing longer than the first plan said.
        self.slowed = replace(log.state, known=0)
        scenario = from_plain(log.first.scenario)
        self.state = with_known(log.state, scenario)
        self.stock = {stock.label for stock in log.plan.stock}
        self.people: dict[str, Person] = {person.name: person for person in scenario.kitchen.people}
        self.items = scenario.items
        self.opens, self.closes = int(scenario.shift.opens), int(scenario.shift.closes)
        self.passings: dict[str, list[Passing]] = defaultdict(list)
        for passing in passings:
            if passing.after is not None:
                self.passings[passing.after].append(passing)
        self.rooms = {station.name: 1 if station.kind == "mixer" else station.capacity for station in log.plan.stations}
        self.mixers = {station.name for station in log.plan.stations if station.kind == "mixer"}
        self.busy: dict[str, list[_Stretch]] = defaultdict(list)
        self.taken: dict[str, list[_Stretch]] = defaultdict(list)
        for other in ran.values():
            self._take(other)

    def _take(self, ran: Ran) -> None:
        for number, hand in enumerate(ran.batch.hands):
            start, end = ran.hand_span(hand)
            from_start = hand.end != ran.batch.end
            self.busy[ran.person(number)].append(_Stretch(ran, start, end, from_start=from_start))
        for number, seat in enumerate(ran.batch.seats):
            station, (start, end) = ran.station(number), ran.seat_span(seat)
            amount = 1 if station in self.mixers else seat.amount
            setting = seat.celsius, seat.setting, seat.holding
            self.taken[station].append(_Stretch(ran, start, end, amount, setting))

    def all(self) -> dict[str, Job]:
        """Every batch that has run, by its label."""
        return {label: self._job(ran) for label, ran in self.ran.items()}

    def _job(self, ran: Ran) -> Job:
        label, planned = ran.batch.label, ran.planned
        passings = self.passings[label]
        return Job(
            label,
            ran.batch.step,
            None if planned is None else (planned.start, planned.end),
            ran.run.start,
            ran.end,
            before=(*self._passed(passings), *self._people_before(ran), *self._stations_before(ran)),
            keeping=(*self._people_away(ran), *self._out(ran), *self._late(ran, passings)),
            longer=tuple(self._longer(ran)),
            unrecorded=tuple(dict.fromkeys(p.before for p in passings if p.before not in {*self.ran, *self.stock})),
            added=self._added(ran),
        )

    def _passed(self, passings: Sequence[Passing]) -> Iterator[Before]:
        for passing in passings:
            if passing.before in self.ran:
                ready = self.ran[passing.before].end + sum(stay.least for stay in passing.stays)
                on = ", ".join(stay.name for stay in passing.stays if stay.least and stay.name)
                yield Before(passing.before, ready, "waits", on)

    def _people_before(self, ran: Ran) -> Iterator[Before]:
        for number, hand in enumerate(ran.batch.hands):
            start, person = ran.hand_span(hand)[0], ran.person(number)
            others = [other for other in self.busy[person] if other.ran is not ran and other.end <= start]
            last = max(others, key=lambda other: other.end, default=None)
            if last is not None:
                ready = last.end - (start - ran.run.start)
                yield Before(last.ran.batch.label, ready, "people", person, last.from_start)

    def _stations_before(self, ran: Ran) -> Iterator[Before]:
        """The last batch on each station that left too little room beside it, or stood at another temperature."""
        for number, seat in enumerate(ran.batch.seats):
            station = ran.station(number)
            own = next(stretch for stretch in self.taken[station] if stretch.ran is ran)
            found = []
            for other in self.taken[station]:
                if other.ran is ran or other.end > own.start or other.start == other.end:
                    continue
                change = _change_before(self.log, station, seat) if other.setting != own.setting else 0
                beside = [one for one in self.taken[station] if one.start < other.end <= one.end and one.ran is not ran]
                full = sum(one.amount for one in beside) + own.amount > self.rooms[station]
                if full or other.setting != own.setting:
                    ready = min(other.end + change, own.start) - (own.start - ran.run.start)
                    found.append(Before(other.ran.batch.label, ready, "equipment", station))
            if found:
                yield max(found, key=lambda before: before.ready)

    def _people_away(self, ran: Ran) -> Iterator[Keeping]:
        for number, hand in enumerate(ran.batch.hands):
            doing = {"hands-on": "", "load": " from being loaded", "unload": " from being unloaded"}[hand.doing]
            for absence in self._absences(ran.person(number)):
                yield from _keepings("people", absence, hand, ran, doing)

    def _absences(self, name: str) -> Iterator[_Gone]:
        person = self.people.get(name)
        if person is not None:
            for rest in person.breaks:
                yield _Gone(rest.start, rest.end, f"{name}'s break until {format_clock(rest.end)}")
            left = 0
            for span in sorted(person.hours, key=lambda span: span.start):
                yield _Gone(left, span.start, f"{name}, in from {format_clock(span.start)},")
                left = span.end
        for absence in self.state.absences:
            if absence.person == name and absence.end is not None:
                what = f"{name}, away until {format_clock(absence.end)},"
                yield _Gone(absence.start, absence.end, what, told=absence.until is not None)

    def _out(self, ran: Ran) -> Iterator[Keeping]:
        for number, seat in enumerate(ran.batch.seats):
            station = ran.station(number)
            for outage in self.state.all_outages_of(station):
                if outage.end is not None:
                    what = f"{station}, out of use until {format_clock(outage.end)},"
                    gone = _Gone(outage.start, outage.end, what, told=outage.until is not None)
                    yield from _keepings("equipment", gone, seat, ran)

    def _late(self, ran: Ran, passings: Sequence[Passing]) -> Iterator[Keeping]:
        item = self.items.get(ran.batch.item)
        first = all(passing.item != ran.batch.item for passing in passings)
        for goods in self.state.goods:
            if item is not None and item.takes_in(goods.ingredient, ran.batch.step, first=first):
                what = f"{goods.ingredient}, which came at {format_clock(goods.until)},"
                yield Keeping("goods", 0, goods.until, what)

    def _longer(self, ran: Ran) -> Iterator[Cause]:
        """What the equipment did to the time of a batch while it ran."""
        for number, seat in enumerate(ran.batch.seats):
            start, end = ran.seat_span(seat)
            station = ran.station(number)
            for outage in self.state.all_outages_of(station):
                back = end if outage.end is None else outage.end
                minutes = min(end, back) - max(start, outage.start)
                if minutes > 0 and outage.start > start:
                    what = f"{station} was out of use while {ran.batch.label} was in it"
                    yield Cause("equipment", minutes, "", what)
        planned = ran.reckoned
        slower = minutes_of(self.slowed, planned, ran.run.start) - (planned.end - planned.start)
        stations = ", ".join(dict.fromkeys(seat.station for seat in planned.seats))
        yield Cause("equipment", slower, "", f"{stations} was slower, with {ran.batch.label} in it")

    def _added(self, ran: Ran) -> Cause:
        """Why a batch was made that the first plan did not have."""
        label = ran.batch.label
        lost = [other.batch for other in self.ran.values() if other.run.outcome == "lost"]
        same = [batch.label for batch in lost if self._on_the_way_to(ran.batch, batch)]
        changed = any(order.changed or order.asked is None or order.cancelled for order in self.state.orders)
        if same or (lost and not changed):
            names = ", ".join(same or [batch.label for batch in lost])
            return Cause("failed", 0, "", f"{names} failed, {label} was made for it")
        if changed and not lost:
            return Cause("orders", 0, "", f"the orders changed, {label} was made for it")
        return Cause("not known", 0, "", f"{label} was not in the first plan")

    def _on_the_way_to(self, batch: Batch, lost: Batch) -> bool:
        """Whether a batch is of the same step as one that failed, or of one before it in the same recipe."""
        item = self.items.get(batch.item)
        if item is None or batch.item != lost.item:
            return False
        steps = [step.name for step in item.all_steps]
        known = batch.step in steps and lost.step in steps
        return batch.step == lost.step or (known and steps.index(batch.step) < steps.index(lost.step))


def _keepings(
    kind: Literal["people", "equipment"], gone: _Gone, need: Hand | Seat, ran: Ran, doing: str = ""
) -> Iterator[Keeping]:
    """The beginnings that an absence forbids to a batch that needs what is absent from ``need.start`` on."""
    offset, length = need.start - ran.batch.start, need.end - need.start
    yield Keeping(kind, gone.start - offset - length + 1, gone.end - offset, gone.what, doing)
    if not gone.told:
        # While nobody knows when they are back, nothing that needs them can be begun.
        yield Keeping(kind, gone.start, gone.end, gone.what, doing)


def _change_before(log: Log, station: str, seat: Seat) -> int:
    """Minutes in which the station got ready for this in the plan in force."""
    ends = [change for change in log.plan.changes if change.station == station and change.end <= seat.start]
    last = max(ends, key=lambda change: change.end, default=None)
    return 0 if last is None else last.end - last.start
