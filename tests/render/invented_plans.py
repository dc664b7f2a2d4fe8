"""Plans of invented kitchens, made by placing batch after batch at the first free minute: no solver needed."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from typing import Any, Literal

from stationplan.plan.document import (
    Amount,
    Batch,
    ChainLink,
    Change,
    Delivered,
    Hand,
    Legend,
    Plan,
    Reason,
    Seat,
    Station,
    Stay,
    Tier,
)
from stationplan.scenario.units import ClockSpan

from .invented_kitchen import AWAY, CLOSES, DAYS, OPENS, SHIFTS, STATIONS, Stage, Thing, things


@dataclass
class Kitchen:
    """What is taken so far, and the minutes at which people work or are away."""

    seats: dict[str, list[Seat]] = field(default_factory=lambda: {s.name: [] for s in STATIONS})
    hands: dict[str, set[int]] = field(
        default_factory=lambda: {name: {minute for span in AWAY[name] for minute in range(*span)} for name in SHIFTS}
    )
    changes: list[Change] = field(default_factory=list)


def _free_person(kitchen: Kitchen, start: int, end: int) -> str | None:
    minutes = range(start, end)
    return next((name for name, taken in kitchen.hands.items() if taken.isdisjoint(minutes)), None)


def _change(station: Station, stage: Stage, thing: Thing, before: Seat | None) -> tuple[int, str, str, str]:
    """Minutes, kind, before and after of getting the station ready."""
    if station.kind == "oven":
        assert stage.celsius is not None
        was = 20.0 if before is None or before.celsius is None else before.celsius
        mode = "" if before is None else before.setting
        names = (f"{was:g} C {mode}".strip(), f"{stage.celsius:g} C {stage.setting}".strip())
        if was == stage.celsius:
            return (0 if mode == stage.setting or before is None else 1), "setting", *names
        rate = 8 if stage.celsius > was else 4
        return -int(-abs(stage.celsius - was) // rate), "heat" if stage.celsius > was else "cool", *names
    if station.kind == "mixer" and before is not None and before.holding != thing.name:
        return 6, "wash", str(before.holding), thing.name
    return 0, "", "", ""


def _seat(kitchen: Kitchen, station: Station, stage: Stage, thing: Thing, start: int, end: int) -> Seat | None:
    taken = kitchen.seats[station.name]
    seat = Seat(
        station=station.name,
        start=start,
        end=end,
        amount=stage.room,
        celsius=stage.celsius,
        setting=stage.setting,
        holding=thing.name if station.kind == "mixer" else None,
    )
    if station.kind in ("oven", "mixer"):
        last = max(taken, key=lambda s: (s.end, s.start), default=None)
        alike = last is not None and (last.celsius, last.setting) == (stage.celsius, stage.setting)
        if station.kind == "oven" and last is not None and alike:
            inside = sum(s.amount for s in taken if s.start < end and start < s.end)
            return seat if inside + stage.room <= station.capacity and start >= last.start else None
        minutes = _change(station, stage, thing, last)[0]
        return seat if start >= (OPENS if last is None else last.end) + minutes else None
    inside = sum(s.amount for s in taken if s.start < end and start < s.end)
    return seat if inside + stage.room <= station.capacity else None


def _try(
    kitchen: Kitchen, stage: Stage, thing: Thing, start: int
) -> tuple[int, tuple[Seat, ...], tuple[Hand, ...]] | None:
    end = start + stage.load + stage.takes + stage.unload
    hands: list[Hand] = []
    parts: list[tuple[int, int, str]] = []
    if stage.load:
        parts.append((start, start + stage.load, "load"))
    if stage.people:
        parts.append((start + stage.load, end - stage.unload, "hands-on"))
    if stage.unload:
        parts.append((end - stage.unload, end, "unload"))
    for a, b, doing in parts:
        person = _free_person(kitchen, a, b)
        if person is None:
            return None
        hands.append(Hand(person=person, start=a, end=b, doing=doing))  # type: ignore[arg-type]
    if not stage.equipment:
        return end, (), tuple(hands)
    for station in STATIONS:
        if station.name.startswith(stage.equipment):
            seat = _seat(kitchen, station, stage, thing, start, end)
            if seat is not None:
                return end, (seat,), tuple(hands)
    return None


def _ranges(quantity: int, count: int) -> list[tuple[Fraction, Fraction]]:
    return [(Fraction(quantity * k, count), Fraction(quantity * (k + 1), count)) for k in range(count)]


@cache
def make(copies: int = 1, size: int = 1, *, due: int = 870, status: Literal["proved", "feasible"] = "feasible") -> Plan:
    """A plan of `copies` times `size` times about 30 batches; feasible on paper, not the shortest."""
    kitchen, batches, stays = Kitchen(), [], []
    everything = things(copies, size)
    last_of: dict[str, list[tuple[Batch, Stage]]] = {}
    for thing in everything:
        before: list[tuple[Batch, Stage]] = []
        for position, stage in enumerate(thing.stages):
            done: list[tuple[Batch, Stage]] = []
            for number, (first, last) in enumerate(_ranges(thing.quantity, stage.batches), 1):
                feeding = [(b, s) for b, s in before if Fraction(b.first) < last and first < Fraction(b.last)]
                if position == 0:
                    share = Fraction(number, stage.batches)
                    for name in thing.takes_up:
                        feeding += last_of[name][: -(-int(share * len(last_of[name]) * 100) // 100)][-1:]
                earliest = max([OPENS, *(b.end + s.least for b, s in feeding)])
                while (found := _try(kitchen, stage, thing, earliest)) is None:
                    earliest += 1
                end, seats, hands = found
                label = f"{thing.letters}{'abcdef'[position]}{number}"
                batch = Batch(
                    label=label,
                    item=thing.name,
                    step=stage.name,
                    number=number,
                    of=stage.batches,
                    first=str(first),
                    last=str(last),
                    unit=thing.unit,
                    start=earliest,
                    end=end,
                    seats=seats,
                    hands=hands,
                )
                for seat in seats:
                    station = next(s for s in STATIONS if s.name == seat.station)
                    taken = kitchen.seats[seat.station]
                    previous = max(taken, key=lambda s: (s.end, s.start), default=None)
                    minutes, kind, was, now = _change(station, stage, thing, previous)
                    if minutes and not (previous and station.kind == "oven" and was == now):
                        kitchen.changes.append(
                            Change(
                                station=seat.station,
                                start=seat.start - minutes,
                                end=seat.start,
                                kind=kind,  # type: ignore[arg-type]
                                before=was,
                                after=now,
                            )
                        )
                    taken.append(seat)
                for hand in hands:
                    kitchen.hands[hand.person].update(range(hand.start, hand.end))
                for source, feeder in feeding:
                    if feeder.wait:
                        stays.append(
                            Stay(
                                name=feeder.wait,
                                item=source.item,
                                before=source.label,
                                after=label,
                                start=source.end,
                                end=earliest,
                                least=feeder.least,
                                most=None,
                                station=feeder.place or None,
                                amount=feeder.place_room,
                            )
                        )
                batches.append(batch)
                done.append((batch, stage))
            before = done
        last_of[thing.name] = before
    orders = []
    for thing in (t for t in everything if t.product):
        final = last_of[thing.name]
        for batch, stage in final:
            if stage.wait:
                stays.append(
                    Stay(
                        name=stage.wait,
                        item=thing.name,
                        before=batch.label,
                        after=None,
                        start=batch.end,
                        end=batch.end + stage.least,
                        least=stage.least,
                        most=None,
                    )
                )
        ready = max(b.end + s.least for b, s in final)
        orders.append(
            Delivered(
                product=thing.name,
                quantity=thing.quantity,
                due=due,
                weight=1,
                ready=ready,
                late=max(0, ready - due),
                batches=tuple(b.label for b, _ in final),
            )
        )
    finish = max([*(b.end for b in batches), *(s.end for s in stays if s.after is None)])
    makespan = finish - OPENS
    bound = makespan if status == "proved" else makespan - 12
    late = sum(o.late for o in orders)
    return Plan(
        name="Saturday order",
        opens=OPENS,
        closes=CLOSES,
        status=status,
        stations=STATIONS,
        people=tuple(SHIFTS),
        amounts=tuple(
            Amount(item=t.name, quantity=str(t.quantity), unit=t.unit, needed=str(t.quantity), recipes="4")
            for t in everything
        ),
        batches=tuple(batches),
        stays=tuple(stays),
        changes=tuple(kitchen.changes),
        orders=tuple(orders),
        tiers=(
            Tier(name="lateness", value=late, bound=late, proved=True),
            Tier(name="makespan", value=makespan, bound=bound, proved=bound == makespan),
            Tier(name="tidiness", value=240, bound=30, proved=False),
        ),
        reasons=(
            Reason(minutes=bound, because="deck oven 1 and 2: 640 tray-minutes of baking, 42 min before, 90 min after"),
        ),
        chain=_chain(batches, stays),
        legend=tuple(
            Legend(letters=t.letters, item=t.name, steps=tuple(("abcdef"[k], s.name) for k, s in enumerate(t.stages)))
            for t in everything
        ),
        warnings=("The pear insert (Bb1) may stand 3 h at room temperature: check your local rule on cooling.",),
        scenario=scenario(),
    )


def _chain(batches: list[Batch], stays: list[Stay]) -> tuple[ChainLink, ...]:
    """Backwards from the last batch: whatever ended exactly when it could start."""
    chain: list[ChainLink] = []
    batch = max(batches, key=lambda b: (b.end, b.label))
    while True:
        waits = [s for s in stays if s.after == batch.label and s.end == batch.start and s.end - s.start == s.least]
        if waits:
            chain.append(ChainLink(label=batch.label, why="waits", on=waits[0].name))
            batch = next(b for b in batches if b.label == waits[0].before)
            continue
        earlier = [b for b in batches if b.end <= batch.start]
        if not earlier:
            chain.append(ChainLink(label=batch.label, why="opening", on=""))
            return tuple(reversed(chain))
        previous = max(earlier, key=lambda b: (b.end, b.item == batch.item, b.label))
        people = {h.person for h in batch.hands} & {h.person for h in previous.hands}
        stations = {s.station for s in batch.seats} & {s.station for s in previous.seats}
        if previous.item == batch.item and previous.step != batch.step:
            chain.append(ChainLink(label=batch.label, why="follows", on=previous.step))
        elif stations:
            chain.append(ChainLink(label=batch.label, why="station", on=min(stations)))
        else:
            chain.append(ChainLink(label=batch.label, why="person", on=min(people, default="Ines")))
        batch = previous


def scenario() -> dict[str, Any]:
    """As much of a scenario as the chart looks at."""

    def spans(begin: int, end: int) -> list[str]:
        return [str(ClockSpan(day * 1440 + begin, day * 1440 + end)) for day in range(DAYS)]

    people = [{"name": name, "hours": spans(*hours), "breaks": spans(*rest)} for name, (hours, rest) in SHIFTS.items()]
    return {"name": "Saturday order", "kitchen": {"people": people, "equipment": []}}
