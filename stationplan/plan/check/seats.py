"""Seats: every batch on the right equipment, at the right setting, filled right, for as long as it takes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from stationplan.plan.check.case import Case, Run
from stationplan.plan.check.duration import batch_minutes
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.check.measure import CHAMBER_KINDS, batch_room, room_unit, station_room
from stationplan.plan.check.out_of_use import slower_on
from stationplan.plan.check.ways import can_be_set
from stationplan.plan.document import Seat
from stationplan.scenario.models import Equipment, EquipmentNeed
from stationplan.scenario.units import Quantity, Setting, StepTime, format_quantity


def check_seats(case: Case) -> Iterator[Fault]:
    """Check each batch's seats and its length against what its step asks for."""
    for run in case.all_runs():
        if run.began is None:
            yield from _check_run(case, run)


def _check_run(case: Case, run: Run) -> Iterator[Fault]:
    step, batch = run.stage.step, run.batch
    for seat in batch.seats:
        if case.equipment_of(seat.station) is None:
            sentence = f"{run.title} is on {seat.station}, which the kitchen does not have."
            yield _fault(run, FaultKind.STATION_UNKNOWN, sentence)
        if (seat.start, seat.end) != (batch.start, batch.end):
            sentence = (
                f"{run.title} has {seat.station} from {clock(seat.start)} to {clock(seat.end)}, "
                f"but runs from {clock(batch.start)} to {clock(batch.end)}."
            )
            yield _fault(run, FaultKind.SEAT_TIME, sentence)
    seats = list(batch.seats)
    for place, quantity in step.also.items():
        meant = _seat_for(case, seats, place, quantity)
        if meant is None:
            yield _fault(run, FaultKind.SEAT_MISSING, f"{run.title} has no {place}.")
        else:
            seats.remove(meant)
            yield from _check_also(case, run, meant, quantity)
    if not step.equipment:
        yield from _check_duration(case, run, step.takes)
    elif not seats:
        wanted = " or ".join(need.use for need in step.equipment)
        yield _fault(run, FaultKind.SEAT_MISSING, f"{run.title} has no {wanted}.")
    else:
        seat, faults = _best_reading(case, run, seats)
        seats.remove(seat)
        yield from faults
    for seat in seats:
        yield _fault(run, FaultKind.SEAT_EXTRA, f"{run.title} does not need {seat.station}.")


def _seat_for(case: Case, seats: list[Seat], place: str, quantity: Quantity) -> Seat | None:
    """The seat that is meant for a further place, the one with the right amount first."""
    found = []
    for seat in seats:
        equipment = case.equipment_of(seat.station)
        if equipment is not None and case.answers(equipment, place):
            found.append(seat)
    amount = math.ceil(quantity.amount)
    return min(found, key=lambda seat: seat.amount != amount, default=None)


def _check_also(case: Case, run: Run, seat: Seat, quantity: Quantity) -> Iterator[Fault]:
    equipment = case.equipment_of(seat.station)
    assert equipment is not None  # _seat_for picked it by its equipment
    if seat.amount != math.ceil(quantity.amount) or quantity.unit != room_unit(equipment):
        sentence = f"{run.title} takes {seat.amount} of {seat.station}, but needs {quantity}."
        yield _fault(run, FaultKind.SEAT_AMOUNT, sentence)
    yield from _check_state(run, seat, equipment, None)


def _best_reading(case: Case, run: Run, seats: list[Seat]) -> tuple[Seat, list[Fault]]:
    """The seat and alternative that agree best, and what is wrong with them even so."""
    readings = []
    for seat in seats:
        equipment = case.equipment_of(seat.station)
        needs = [need for need in run.stage.step.equipment if equipment and case.answers(equipment, need.use)]
        readings += [(seat, list(_check_alternative(case, run, seat, need))) for need in needs]
    if readings:
        return min(readings, key=lambda reading: len(reading[1]))
    seat = seats[0]
    if case.equipment_of(seat.station) is None:
        return seat, []
    wanted = " or ".join(need.use for need in run.stage.step.equipment)
    return seat, [_fault(run, FaultKind.STATION_WRONG, f"{run.title} is on {seat.station}, but needs {wanted}.")]


def _check_alternative(case: Case, run: Run, seat: Seat, need: EquipmentNeed) -> Iterator[Fault]:
    equipment = case.equipment_of(seat.station)
    assert equipment is not None  # the alternative was picked by its equipment
    yield from _check_state(run, seat, equipment, need.at)
    yield from _check_room(case, run, seat, equipment, need)
    slower = slower_on(case, seat.station, equipment)
    yield from _check_duration(case, run, need.takes or run.stage.step.takes, slower)


def _check_state(run: Run, seat: Seat, equipment: Equipment, wanted: Setting | None) -> Iterator[Fault]:
    """The oven's setting and the bowl's content; anything else has neither."""
    celsius = None if wanted is None else float(wanted.celsius)
    mode = "" if wanted is None else wanted.mode
    if equipment.kind not in CHAMBER_KINDS:
        celsius, mode = None, ""
    if not _same_temperature(seat.celsius, celsius) or seat.setting != mode:
        is_set = _setting(seat.celsius, seat.setting)
        sentence = f"{run.title} has {seat.station} at {is_set}, but needs {_setting(celsius, mode)}."
        yield _fault(run, FaultKind.SETTING_WRONG, sentence)
    elif wanted is not None and equipment.kind in CHAMBER_KINDS and not can_be_set(equipment, wanted):
        sentence = f"{run.title} is in {seat.station}, which cannot be set to {_setting(celsius, mode)}."
        yield _fault(run, FaultKind.SETTING_OUT_OF_RANGE, sentence)
    step = run.stage.step
    holding = (step.holding or run.stage.item) if equipment.kind == "mixer" else None
    if seat.holding != holding:
        sentence = f"{run.title} has {seat.holding or 'nothing'} in {seat.station}, but makes {holding or 'nothing'}."
        yield _fault(run, FaultKind.HOLDING_WRONG, sentence)


def _check_room(case: Case, run: Run, seat: Seat, equipment: Equipment, need: EquipmentNeed) -> Iterator[Fault]:
    item, unit = case.recipes[run.stage.item].item, room_unit(equipment)
    room = batch_room(item, run.stage.item, need.fills or run.stage.step.fills, run.size, equipment)
    if room is None:
        room = Fraction(1)
    elif room > station_room(equipment):
        sentence = f"{run.title} fills {format_quantity(room, unit)}, more than {seat.station} holds."
        yield _fault(run, FaultKind.DOES_NOT_FIT, sentence)
    elif equipment.kind == "mixer" and equipment.holds and room < equipment.least_fill * equipment.holds.amount:
        sentence = f"{run.title} fills {format_quantity(room, unit)}, too little for {seat.station} to work."
        yield _fault(run, FaultKind.LEAST_FILL_MISSED, sentence)
    if seat.amount != math.ceil(room):
        sentence = f"{run.title} fills {format_quantity(math.ceil(room), unit)} of {seat.station}, not {seat.amount}."
        yield _fault(run, FaultKind.SEAT_AMOUNT, sentence)


def _check_duration(case: Case, run: Run, takes: StepTime, slower: Fraction = Fraction(0)) -> Iterator[Fault]:
    item, batch = case.recipes[run.stage.item].item, run.batch
    expected = batch_minutes(item, run.stage.item, run.stage.step, takes, run.size, case.plan.durations, slower)
    if batch.end - batch.start != expected:
        sentence = (
            f"{run.title} runs from {clock(batch.start)} to {clock(batch.end)}, "
            f"{batch.end - batch.start} minutes, but takes {expected}."
        )
        yield _fault(run, FaultKind.DURATION_WRONG, sentence)


def _same_temperature(one: float | None, other: float | None) -> bool:
    if one is None or other is None:
        return one is other
    return abs(one - other) < 1e-6


def _setting(celsius: float | None, mode: str) -> str:
    return "no temperature" if celsius is None else f"{celsius:g} C {mode}".rstrip()


def _fault(run: Run, kind: FaultKind, sentence: str) -> Fault:
    return Fault(kind, sentence, (run.batch.label,))
