"""Ovens and provers: one setting at a time, with time to heat and cool in between."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from itertools import pairwise
from typing import Literal

from stationplan.plan.check.case import Case
from stationplan.plan.check.fault import MINUTES_PER_DAY, Fault, FaultKind, clock
from stationplan.plan.check.measure import CHAMBER_KINDS
from stationplan.plan.check.out_of_use import times_out
from stationplan.plan.document import Batch, Seat, Station
from stationplan.scenario.models import Equipment
from stationplan.scenario.units import format_duration

COLD = Fraction(20)
HEATS = Fraction(10)
COOLS = Fraction(4)
# Recovers the exact value of a temperature given in °F, a ninth of a degree, from the plan's decimal number.
_FINEST = 1000


@dataclass(frozen=True)
class State:
    """What a chamber is set to; ``celsius`` is None when a load asks for no temperature."""

    celsius: Fraction | None
    mode: str

    def __str__(self) -> str:
        return "no temperature" if self.celsius is None else f"{float(self.celsius):g} C {self.mode}".rstrip()


@dataclass(frozen=True)
class Turnover:
    """A change that a station must go through in the empty time from ``since`` to ``until``."""

    station: str
    since: int
    until: int
    minutes: int
    kind: Literal["heat", "cool", "setting", "wash"]
    before: State | str
    after: State | str


def state_of(seat: Seat) -> State:
    """The setting that a load needs."""
    celsius = seat.celsius
    if celsius is None or not math.isfinite(celsius):
        return State(None, seat.setting)
    return State(Fraction(celsius).limit_denominator(_FINEST), seat.setting)


def loads_of(case: Case, station: Station) -> list[tuple[Batch, Seat]]:
    """Everything that goes into one station, by start."""
    loads = [(batch, seat) for batch in case.plan.batches for seat in batch.seats if seat.station == station.name]
    return sorted(loads, key=lambda load: (load[1].start, load[1].end, load[0].label))


def chambers(case: Case) -> Iterator[tuple[Station, Equipment]]:
    """The plan's oven and prover chambers with the kitchen's entries for them."""
    for station in case.stations.values():
        equipment = case.equipment_of(station.name)
        if equipment is not None and equipment.kind in CHAMBER_KINDS:
            yield station, equipment


def mornings(case: Case) -> list[int]:
    """When the kitchen opens again on a later day after nobody has been in, minutes since midnight of the first day."""
    found = []
    morning = case.opens + MINUTES_PER_DAY
    while morning < case.closes:
        hours = [
            span
            for person in case.people.values()
            for span in ([(one.start, one.end) for one in person.hours] or [(case.opens, case.closes)])
        ]
        if all(end < morning or start >= morning for start, end in hours):
            found.append(morning)
        morning += MINUTES_PER_DAY
    return found


def _fresh_from(case: Case, station: Station, equipment: Equipment, place: int) -> tuple[int, State] | None:
    """When a chamber was last cold, or as the plan was told, and what it was at.

    Only for the first load to come since then; for the others None.
    """
    loads = loads_of(case, station)
    planned = to_come(case, loads)
    start = planned[place][1].start
    openings = [(case.now, _state_now(case, station, equipment))] + [
        (morning, at_opening(equipment))
        for morning in mornings(case)
        if case.now < morning <= start and not any(seat.start < morning < seat.end for _, seat in loads)
    ]
    before = [seat.start for _, seat in planned[:place]]
    return None if any(earlier >= openings[-1][0] for earlier in before) else openings[-1]


def check_ovens(case: Case) -> Iterator[Fault]:
    """Check that loads at different settings keep the time that the chamber takes from one to the other."""
    for station, equipment in chambers(case):
        loads = loads_of(case, station)
        planned = to_come(case, loads)
        for place, (batch, seat) in enumerate(planned):
            fresh = _fresh_from(case, station, equipment, place)
            ready = seat.start if fresh is None else fresh[0] + first_minutes(equipment, state_of(seat), fresh[1])
            if seat.start < ready:
                sentence = f"{batch.label} goes into {station.name} at {clock(seat.start)}, but it is {state_of(seat)}"
                yield Fault(FaultKind.OVEN_COLD, f"{sentence} only from {clock(ready)}.", (batch.label,))
        begun = [seat.start for batch, seat in loads if batch.label in case.began]
        for _, back in times_out(case, station, equipment):
            if any(start >= back for start in begun):
                # Whoever put something in has made it hot, however that was done.
                continue
            for batch, seat in planned:
                ready = back + first_minutes(equipment, state_of(seat))
                if back <= seat.start < ready:
                    sentence = (
                        f"{batch.label} goes into {station.name} at {clock(seat.start)}, but it was out of use until "
                        f"{clock(back)} and is {state_of(seat)} only from {clock(ready)}."
                    )
                    yield Fault(FaultKind.OVEN_COLD, sentence, (batch.label,))
        yield from _check_loads(case, station, equipment, loads)


def oven_turnovers(case: Case) -> Iterator[Turnover]:
    """Every heating and cooling that the loads of the plan ask for."""
    for station, equipment in chambers(case):
        loads = loads_of(case, station)
        state = _state_now(case, station, equipment)
        empty_since = max([case.now, *(seat.end for batch, seat in loads if batch.label in case.began)])
        times = times_out(case, station, equipment)
        for place, (_, seat) in enumerate(to_come(case, loads)):
            wanted = state_of(seat)
            fresh = _fresh_from(case, station, equipment, place)
            if fresh is not None:
                state, empty_since = fresh[1], max(empty_since, fresh[0])
            back = max((end for _, end in times if empty_since < end <= seat.start), default=None)
            if back is not None:
                state, empty_since = at_opening(equipment), back
            at_first = fresh is not None or back is not None
            minutes = first_minutes(equipment, wanted, state) if at_first else change_minutes(equipment, state, wanted)
            if minutes:
                kind = _kind(state, wanted)
                yield Turnover(station.name, empty_since, seat.start, minutes, kind, state, wanted)
            state = wanted
            empty_since = max(empty_since, seat.end)


def count_setting_changes(case: Case) -> int:
    """How often a chamber changes its setting between two loads."""
    changes = 0
    for station, _ in chambers(case):
        loads = loads_of(case, station)
        inside = _inside(case, loads)
        if len({state_of(seat) for _, seat in inside}) > 1 or (station.capacity == 1 and len(inside) > 1):
            # Nothing can be said of an oven with loads in it that do not go together.
            inside = []
        states = [state_of(seat) for _, seat in (*inside, *to_come(case, loads))]
        changes += sum(earlier != later for earlier, later in pairwise(states))
    return changes


def change_minutes(equipment: Equipment, before: State, after: State) -> int:
    """Minutes a chamber stands empty from one setting to another, at least 1 when they differ.

    Args:
        equipment: the oven or prover.
        before: what it is set to.
        after: what it is to be set to.

    Returns:
        Whole minutes, 0 for the same setting.
    """
    if before == after:
        return 0
    return max(1, _minutes_between(equipment, before, after))


def at_opening(equipment: Equipment) -> State:
    """What a chamber is at when the shift opens."""
    return State(COLD if equipment.starts_at is None else equipment.starts_at, "")


def first_minutes(equipment: Equipment, after: State, before: State | None = None) -> int:
    """Minutes until a chamber is at its first setting to come, 0 when it is there already.

    Args:
        equipment: the oven or prover.
        after: its first setting to come.
        before: what it is at, None for what it is at when the shift opens.
    """
    before = before or at_opening(equipment)
    if after.celsius is None and not after.mode:
        return 0
    return change_minutes(equipment, before, after)


def _minutes_between(equipment: Equipment, before: State, after: State) -> int:
    if before.celsius is None or after.celsius is None:
        return 0
    if after.celsius > before.celsius:
        rate = HEATS if equipment.heats is None else equipment.heats
    else:
        rate = COOLS if equipment.cools is None else equipment.cools
    return math.ceil(abs(after.celsius - before.celsius) / rate)


def _kind(before: State, after: State) -> Literal["heat", "cool", "setting"]:
    if before.celsius is None or after.celsius is None or before.celsius == after.celsius:
        return "setting"
    return "heat" if after.celsius > before.celsius else "cool"


def to_come(case: Case, loads: list[tuple[Batch, Seat]]) -> list[tuple[Batch, Seat]]:
    """Those of some loads that had not begun when the plan was made."""
    return [load for load in loads if load[0].label not in case.began]


def _is_at(state: State, seat: Seat) -> bool:
    return state_of(seat) == state


def _inside(case: Case, loads: list[tuple[Batch, Seat]]) -> list[tuple[Batch, Seat]]:
    """The loads that were in a station when the plan was made."""
    return [load for load in loads if load[0].label in case.began and load[1].end > case.now]


def been_since(case: Case, loads: list[tuple[Batch, Seat]], like: Callable[[Seat], bool], start: int) -> bool:
    """Whether a station had been like that since a load that began at ``start``, or was when the plan was made."""
    since = [
        seat for batch, seat in loads if batch.label in case.began and (seat.start >= start or seat.end > case.now)
    ]
    return any(like(seat) for seat in since)


def _state_now(case: Case, station: Station, equipment: Equipment) -> State:
    """What a chamber is at when the plan was made, or at opening: as its loads need it, else as the plan was told."""
    inside = _inside(case, loads_of(case, station))
    if inside:
        return state_of(inside[-1][1])
    for told in () if case.plan.past is None else case.plan.past.ovens:
        if told.station == station.name:
            return State(Fraction(told.celsius), told.setting)
    return at_opening(equipment)


def _check_loads(
    case: Case, station: Station, equipment: Equipment, loads: list[tuple[Batch, Seat]]
) -> Iterator[Fault]:
    """Hold each load against the last one of every other setting before it."""
    last: dict[State, tuple[Seat, str]] = {}
    for batch, seat in loads:
        state = state_of(seat)
        for other, (earlier, label) in last.items():
            begun, end = label in case.began, earlier.end
            if other == state or (begun and batch.label in case.began):
                continue
            minutes = change_minutes(equipment, other, state)
            if begun and been_since(case, loads, partial(_is_at, state), earlier.start):
                minutes = 0
            if seat.start < end:
                kind = FaultKind.OVEN_TWO_SETTINGS
                sentence = f"{station.name} would be at {other} for {label} and at {state} for {batch.label} at once."
            elif seat.start < end + minutes:
                kind = FaultKind.OVEN_CHANGE_TOO_SHORT
                sentence = (
                    f"{station.name} takes {format_duration(minutes)} from {other} ({label}, until {clock(end)}) "
                    f"to {state} ({batch.label}, from {clock(seat.start)})."
                )
            else:
                continue
            yield Fault(kind, sentence, (label, batch.label))
        if state not in last or last[state][0].end < seat.end:
            last[state] = (seat, batch.label)
