"""What the rows of a chart hold: bars of work, waiting, washing and heating, before any drawing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from stationplan.live.drawn import Drawn, Standing
from stationplan.plan.document import Batch, Change, Delivered, Hand, Plan, Seat, Stay
from stationplan.plan.in_the_way import in_the_way
from stationplan.render.lettering import clean
from stationplan.render.marks import Kind
from stationplan.render.phrases import joined, label_stem
from stationplan.render.presence import Absence, times_away, times_out_of_use
from stationplan.scenario.units import format_number

RowKind = Literal["equipment", "people", "products"]


@dataclass(frozen=True)
class Source:
    """The batch, or the stay after it, that a bar or a part of it stands for, in minutes as the bar."""

    label: str
    start: int
    end: int


@dataclass(frozen=True)
class Bar:
    """Something that lasts from ``start`` to ``end``, minutes since midnight of the first day.

    ``texts`` are the wordings of its label, longest first. A bar with a single wording and
    ``must_show`` False may stand without it. ``taken`` are the minutes at which a part of a stay is taken out;
    from ``held`` on an oven holds its temperature; ``celsius`` are the one that it came from and this one. A ``loose``
    bar is drawn where there is room on the line of the bar named ``label``. ``sources`` are what was drawn together
    into this bar. ``standing`` is what has become of its batch in a shift that runs.
    """

    kind: Kind
    start: int
    end: int
    texts: tuple[str, ...] = ()
    must_show: bool = True
    item: str = ""
    critical: bool = False
    taken: tuple[int, ...] = ()
    held: int | None = None
    celsius: tuple[float, float] | None = None
    label: str = ""
    loose: bool = False
    sources: tuple[Source, ...] = ()
    standing: Standing | None = None


@dataclass(frozen=True)
class Row:
    """A named row. Bars of one group keep to the same lines if they can; ``away`` is drawn on the first line.

    ``below`` stands on lines of its own under the rest. ``kind`` is ``other`` for what is only a gathering of bars,
    such as the orders.
    """

    name: str
    groups: tuple[tuple[Bar, ...], ...]
    away: tuple[Bar, ...] = ()
    below: tuple[Bar, ...] = ()
    kind: Literal["station", "person", "item", "other"] = "other"

    def bars(self) -> Iterable[Bar]:
        """All bars but the times away."""
        return (*(bar for group in self.groups for bar in group), *self.below)


def rows_of(plan: Plan, kind: RowKind, unicode: bool) -> tuple[Row, ...]:
    """The rows of a chart, in the order of the plan.

    Args:
        plan: the plan.
        kind: ``equipment`` (stations, then people), ``people``, or ``products`` (one row an item).
        unicode: whether names may hold more than ASCII.

    Returns:
        The orders first; rows that are no station, person or item only when they hold a bar.
    """
    critical = frozenset(link.label for link in plan.chain)
    if kind == "products":
        found = _items(plan, critical)
    else:
        found = _people(plan, critical)
        if kind == "equipment":
            found = [*_stations(plan, critical), *found, *_by_itself(plan, critical)]
    found = [_orders(plan), *found]
    return tuple(_cleaned(row, unicode) for row in found if row.groups or row.kind != "other")


def letters(plan: Plan, item: str) -> str:
    """The letters that stand for an item, or its name when the legend has none."""
    return next((entry.letters for entry in plan.legend if entry.item == item), item)


def _singly(bars: Iterable[Bar]) -> tuple[tuple[Bar, ...], ...]:
    return tuple((bar,) for bar in bars)


def _cleaned(row: Row, unicode: bool) -> Row:
    def bar(old: Bar) -> Bar:
        return replace(old, texts=tuple(clean(text, unicode) for text in old.texts))

    return Row(
        name=clean(row.name, unicode),
        groups=tuple(tuple(bar(old) for old in group) for group in row.groups),
        away=tuple(bar(old) for old in row.away),
        below=tuple(bar(old) for old in row.below),
        kind=row.kind,
    )


def _orders(plan: Plan) -> Row:
    points: dict[tuple[int, Kind], list[Delivered]] = defaultdict(list)
    for order in plan.orders:
        points[order.ready, Kind.READY].append(order)
        if order.due is not None and order.due <= plan.finish:
            points[order.due, Kind.DUE].append(order)
    bars = []
    for (minute, kind), orders in sorted(points.items(), key=lambda entry: (entry[0][0], entry[0][1].value)):
        named = ", ".join(f"{order.quantity} {order.product}" for order in orders)
        short = ", ".join(f"{order.quantity} {letters(plan, order.product)}" for order in orders)
        word = kind.value
        texts = [f"{named} {word}", f"{short} {word}", f"{len(orders)} {word}"]
        bars.append(Bar(kind, minute, minute, tuple(texts[: min(len(orders), 2) + 1]), item=orders[0].product))
    return Row("orders", _singly(bars))


def _stations(plan: Plan, critical: frozenset[str]) -> list[Row]:
    seats: dict[str, list[Bar]] = defaultdict(list)
    settings: dict[str, list[Seat]] = defaultdict(list)
    changes: dict[str, list[Change]] = defaultdict(list)
    stays: dict[str, list[Stay]] = defaultdict(list)
    for batch in plan.batches:
        for seat in batch.seats:
            seats[seat.station].append(_work(plan, batch, seat.start, seat.end, critical))
            if seat.celsius is not None:
                settings[seat.station].append(seat)
    for change in plan.changes:
        changes[change.station].append(change)
    for stay in plan.stays:
        if stay.station is not None and stay.end > stay.start:
            stays[stay.station].append(stay)
    out = times_out_of_use(plan)
    rows = []
    for station in plan.stations:
        bars = seats[station.name] + _stay_bars(plan, stays[station.name])
        below: list[Bar] = []
        if station.kind in ("oven", "prover"):
            below = _temperatures(settings[station.name], changes[station.name], out.get(station.name, ()))
        else:
            bars += [Bar(Kind.WASH, c.start, c.end, ("wash",), must_show=False) for c in changes[station.name]]
        bars.sort(key=lambda bar: (bar.start, bar.kind is Kind.STAY, bar.end, bar.texts))
        absent = [Bar(Kind.OUT, *span, ("out of use", "out"), must_show=False) for span in out.get(station.name, ())]
        rows.append(
            Row(station.name, _since_planned(plan, bars), away=tuple(absent), below=tuple(below), kind="station")
        )
    anywhere = [stay for stay in plan.stays if stay.station is None and stay.name and stay.end > stay.start]
    bars = _stay_bars(plan, anywhere)
    rows.append(Row("waiting", _singly(sorted(bars, key=lambda bar: (bar.start, bar.end, bar.texts)))))
    return rows


def _work(plan: Plan, batch: Batch, start: int, end: int, critical: frozenset[str]) -> Bar:
    return Bar(
        Kind.WORK,
        start,
        end,
        (f"{batch.label} {batch.step}", batch.label),
        item=batch.item,
        critical=batch.label in critical,
        label=batch.label,
        sources=(Source(batch.label, start, end),),
        standing=plan.standings[batch.label] if isinstance(plan, Drawn) else None,
    )


def _since_planned(plan: Plan, bars: Iterable[Bar]) -> tuple[tuple[Bar, ...], ...]:
    """Each bar, and before it how long a batch that began late was waited for."""
    starts = {batch.label: batch.start for batch in plan.batches}
    planned = plan.planned if isinstance(plan, Drawn) else {}
    found = []
    for bar in bars:
        late = starts.get(bar.label, 0) - planned.get(bar.label, starts.get(bar.label, 0))
        slip = Bar(Kind.SLIP, bar.start - late, bar.start, item=bar.item, label=bar.label, loose=True)
        found.append((bar, slip) if late > 0 and bar.kind is not Kind.STAY else (bar,))
    return tuple(found)


def _stay_bars(plan: Plan, stays: list[Stay]) -> list[Bar]:
    """One bar for all that one batch left in a place, marked where a part of it is taken out."""
    lots: dict[tuple[str, str, int], list[Stay]] = defaultdict(list)
    for stay in stays:
        lots[stay.before, stay.name, stay.start].append(stay)
    alike: dict[tuple[str, str, int, tuple[int, ...]], list[str]] = defaultdict(list)
    numbers = {batch.label: (batch.item, batch.step, batch.round) for batch in plan.batches}
    for (label, name, start), parts in lots.items():
        ends = tuple(sorted({stay.end for stay in parts}))
        alike[str(numbers.get(label, label)), name, start, ends].append(label)
    waited = _waited(plan)
    bars = []
    for (_, name, start, ends), labels in alike.items():
        own = [stay for label in labels for stay in lots[label, name, start]]
        named = joined(labels)
        bars.append(
            Bar(
                Kind.STAY,
                start,
                ends[-1],
                (f"{named} {name}", named) if name else (named,),
                item=own[0].item,
                critical=any((stay.before, stay.after) in waited for stay in own),
                taken=ends[:-1],
                sources=tuple(Source(label, start, ends[-1]) for label in labels),
            )
        )
    return bars


def _waited(plan: Plan) -> frozenset[tuple[str, str | None]]:
    """The pairs of batches whose wait the finish hangs on, and the waits until delivery that it ends with."""
    pairs: set[tuple[str, str | None]] = {(a.label, b.label) for a, b in pairwise(plan.chain) if b.why == "waits"}
    pairs |= {(stay.before, stay.after) for stay in in_the_way(plan)}
    ends = {(stay.before, None) for stay in plan.stays if stay.after is None and stay.end == plan.finish}
    return frozenset(pairs | {end for end in ends if plan.chain and end[0] == plan.chain[-1].label})


def _temperatures(seats: list[Seat], changes: list[Change], out: Iterable[tuple[int, int]]) -> list[Bar]:
    """From the start of each heating or cooling to the end of the last load at that temperature, or until it is out."""
    bars: list[Bar] = []
    seats = sorted(seats, key=lambda seat: (seat.start, seat.end))
    # A plan that is made while a shift runs has no changes before that, only the loads.
    unseen = [seats[0].start] if seats and not any(change.end <= seats[0].start for change in changes) else []
    for seat, after in pairwise(seats):
        other = (seat.celsius, seat.setting) != (after.celsius, after.setting)
        if other and not any(seat.start < change.end <= after.start for change in changes):
            unseen.append(after.start)
    begun = [Change(station="", start=at, end=at, kind="setting", before="", after="") for at in dict.fromkeys(unseen)]
    ordered = sorted([*changes, *begun], key=lambda change: (change.start, change.end))
    for position, change in enumerate(ordered):
        until = ordered[position + 1].start if position + 1 < len(ordered) else None
        inside = [seat for seat in seats if seat.start >= change.end and (until is None or seat.start < until)]
        end = until if until is not None else max([change.end, *(seat.end for seat in inside)])
        end = min([end, *(start for start, _ in out if start >= change.end)])
        degrees = inside[0].celsius if inside else None
        number = "" if degrees is None else format_number(Fraction(round(abs(degrees), 1)).limit_denominator(10))
        short = f"-{number}" if degrees is not None and degrees < 0 else number
        full = f"{short} {inside[0].setting}" if inside and inside[0].setting else short
        kind = {"heat": Kind.HEAT, "cool": Kind.COOL}.get(change.kind, Kind.SETTING)
        text = full or change.after
        came = _degrees(change.before)
        goes = degrees if degrees is not None else _degrees(change.after)
        levels = None if goes is None else (goes if came is None else came, goes)
        bars.append(Bar(kind, change.start, end, (text,), held=change.end, celsius=levels))
    return bars


def _degrees(state: str) -> float | None:
    """The temperature of a state such as '180 C fan'."""
    number = state.partition(" ")[0]
    try:
        return float(number)
    except ValueError:
        return None


def _people(plan: Plan, critical: frozenset[str]) -> list[Row]:
    doing: dict[str, list[Bar]] = defaultdict(list)
    for batch in plan.batches:
        for hand in batch.hands:
            doing[hand.person].append(_hand(plan, batch, hand, critical))
    away = times_away(plan)
    rows = []
    for person in plan.people:
        bars = _runs(sorted(doing[person], key=lambda bar: (bar.start, bar.end, bar.texts)))
        recorded = plan.absences.get(person, ()) if isinstance(plan, Drawn) else ()
        times = away.get(person, ())
        absent = [
            _absence(a, recorded)
            for a in times
            # A break in a time for which somebody is away.
            if not any(other != a and other.start <= a.start and a.end <= other.end for other in times)
        ]
        rows.append(Row(person, _since_planned(plan, bars), away=tuple(absent), kind="person"))
    return rows


def _absence(absence: Absence, recorded: Iterable[tuple[int, int]]) -> Bar:
    """A break, time off, or a time for which somebody was recorded as away, which a scenario calls a break as well."""
    kind, text = (Kind.BREAK, "break") if absence.rests else (Kind.AWAY, "off")
    if absence.rests and any(start <= absence.start and absence.end <= end for start, end in recorded):
        kind, text = Kind.ABSENT, "away"
    return Bar(kind, absence.start, absence.end, (text,), must_show=False)


def _hand(plan: Plan, batch: Batch, hand: Hand, critical: frozenset[str]) -> Bar:
    bar = _work(plan, batch, hand.start, hand.end, critical)
    kind = {"hands-on": Kind.WORK, "load": Kind.LOAD, "unload": Kind.UNLOAD}[hand.doing]
    return replace(bar, kind=kind)


def _runs(bars: list[Bar]) -> list[Bar]:
    """One bar for loading, or unloading, several batches of a step without a break."""
    found: list[Bar] = []
    labels: list[str] = []
    for bar in bars:
        last = found[-1] if found else None
        same = last is not None and bar.kind is not Kind.WORK and (bar.kind, bar.start) == (last.kind, last.end)
        if last is not None and same and label_stem(bar.label) == label_stem(last.label):
            labels.append(bar.label)
            text = (joined(labels),)
            hot, sources = last.critical or bar.critical, last.sources + bar.sources
            found[-1] = replace(last, end=bar.end, texts=text, critical=hot, sources=sources)
        else:
            labels = [bar.label]
            found.append(bar)
    return found


def _by_itself(plan: Plan, critical: frozenset[str]) -> list[Row]:
    alone = [batch for batch in plan.batches if not batch.seats and not batch.hands]
    bars = [_work(plan, batch, batch.start, batch.end, critical) for batch in alone]
    return [Row("by itself", _singly(sorted(bars, key=lambda bar: (bar.start, bar.end, bar.texts))))]


def _items(plan: Plan, critical: frozenset[str]) -> list[Row]:
    """One row an item; what becomes of the same share of it keeps to one line."""
    batches: dict[str, list[Batch]] = defaultdict(list)
    for batch in plan.batches:
        batches[batch.item].append(batch)
    where = {batch.label: batch for batch in plan.batches}
    waits: dict[str, list[Bar]] = defaultdict(list)
    waited = _waited(plan)
    for stay in plan.stays:
        if stay.end > stay.start:
            beside = stay.after if stay.after in where and where[stay.after].item == stay.item else stay.before
            bar = Bar(
                Kind.STAY,
                stay.start,
                stay.end,
                (f"{stay.before} {stay.name}", stay.name) if stay.name else (),
                item=stay.item,
                critical=(stay.before, stay.after) in waited,
                label=str(beside),
                loose=True,
                sources=(Source(stay.before, stay.start, stay.end),),
            )
            waits[str(beside)].append(bar)
    rows = []
    for item in [amount.item for amount in plan.amounts] or sorted(batches):
        own = batches[item]
        finest = max(own, key=lambda batch: batch.of, default=None)
        chains: dict[int, list[Bar]] = defaultdict(list)
        for batch in own:
            share = _position(batch, [b for b in own if finest and b.step == finest.step and b.round == finest.round])
            chains[share].append(_work(plan, batch, batch.start, batch.end, critical))
            chains[share] += waits[batch.label]
        groups = [tuple(sorted(bars, key=lambda bar: (bar.start, bar.end, bar.texts))) for bars in chains.values()]
        lettered = f"{letters(plan, item)} {item}" if letters(plan, item) != item else item
        rows.append(Row(lettered, tuple(sorted(groups, key=lambda bars: (bars[0].start, bars[0].label))), kind="item"))
    return rows


def _position(batch: Batch, finest: list[Batch]) -> int:
    """Which share of the item a batch begins with."""
    begins = sorted(Fraction(other.first) for other in finest)
    return sum(1 for begin in begins if begin <= Fraction(batch.first))
