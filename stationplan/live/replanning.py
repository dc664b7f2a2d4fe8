"""From the record of a shift to the rest of it planned anew."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from stationplan.live.effective import effective, expressed
from stationplan.live.errors import EventError
from stationplan.live.moment import reasons_of
from stationplan.live.replan import WORTH_A_CHANGE, Replanned, replan
from stationplan.live.stranded import stranded_in
from stationplan.live.wording import unit_name
from stationplan.network.errors import NetworkError
from stationplan.plan.errors import ImpossibleError
from stationplan.plan.so_far import so_far_of
from stationplan.plan.why import Against
from stationplan.scenario.units import format_clock

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from stationplan.live.events import Recorded
    from stationplan.live.record import Log
    from stationplan.live.state import ShiftState
    from stationplan.plan.document import Plan
    from stationplan.plan.produce import Effort


AN_HOUR = 60


@dataclass(frozen=True, slots=True)
class Unmanned:
    """Work on a running batch, from a minute on, that is still somebody's who is away then."""

    label: str
    step: str
    person: str
    start: int


@dataclass(frozen=True)
class Proposal:
    """The rest of a shift planned anew from its record.

    Attributes:
        replanned: the plan and what is different in it.
        because: the events that the plan in force did not reckon with.
        after: number of the last entry that it reckons with.
        unmanned: work on running batches of somebody who is away then, and whom nobody can stand in for.
    """

    replanned: Replanned
    because: tuple[Recorded, ...]
    after: int
    unmanned: tuple[Unmanned, ...] = ()

    @property
    def breaks(self) -> bool:
        """Whether the plan in force is no longer good enough: more than its times has changed, or they have by much."""
        told = self.replanned.differences
        other = told.new or told.gone or told.stations_changed or told.hands_changed or told.resized or told.lifted
        later = told.lateness[1] > told.lateness[0]
        return bool(other) or later or any(abs(move.after - move.before) >= WORTH_A_CHANGE for move in told.moved)


def impossible(error: ImpossibleError, state: ShiftState, now: int) -> str:
    """Why nothing can be planned, in a sentence without its full stop, and what to record of equipment out of use.

    Args:
        error: with the reasons.
        state: what is recorded.
        now: minutes since midnight of the first day.
    """
    because = "; ".join(reason.sentence.rstrip(".") for reason in error.reasons)
    text = f"what is left cannot be done as it stands: {because}"
    for outage in state.outages:
        if outage.end is None:
            name, later = unit_name(outage.equipment, outage.unit, outage.chamber), format_clock(now + AN_HOUR)
            text += f". {name} is out of use: record back {name}, or until when, such as: out {name} until {later}"
    return text


def proposal(
    log: Log,
    now: int,
    limits: Effort,
    *,
    worth: int = WORTH_A_CHANGE,
    on_first: Callable[[Plan, bool], None] | None = None,
) -> Proposal:
    """Plan the rest of a shift anew.

    Args:
        log: its record.
        now: minutes since midnight of its first day.
        limits: how long to search.
        worth: minutes that another plan must finish earlier.
        on_first: called before the search begins with the first plan, and whether it is that in force, pushed right.

    Raises:
        EventError: when the shift has not opened yet, or batches are running on equipment that is out of use.
        ImpossibleError: there is no plan for what is left; carries the reasons.
        NothingFoundError: none was found within the limits, though there may be one.
    """
    if now < log.plan.opens:
        raise EventError("the shift has not opened yet; plan it anew with stationplan plan")
    state = log.state
    for batch in stranded_in(state):
        raise EventError(batch.sentence)
    scenario = expressed(log.first.scenario, state, now)
    so_far = so_far_of(log.plan, state.runs.values(), now, scenario)
    raw = effective(log.first.scenario, state, now)
    try:
        numbers = numbers_of_orders(log)
        found = replan(log.plan, raw, so_far, limits, worth=worth, on_first=on_first, numbers=numbers)
    except NetworkError as error:
        # More is ordered, or something else is there, than this kitchen and these recipes were for.
        raise ImpossibleError((Against(str(error), error.path),)) from error
    return Proposal(found, reasons_of(log), log.last, unmanned_in(found.plan, state, now))


def numbers_of_orders(log: Log) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The numbers of the orders that the plan in force serves, and of those that there are now.

    Args:
        log: the record.
    """
    known = replace(log, events=tuple(entry for entry in log.events if entry.number <= log.known))
    return _numbers(known.state), _numbers(log.state)


def _numbers(state: ShiftState) -> tuple[int, ...]:
    return tuple(line.number for line in state.orders if not line.cancelled)


def unmanned_in(plan: Plan, state: ShiftState, now: int) -> tuple[Unmanned, ...]:
    """Work on running batches that is still somebody's who is away then.

    Args:
        plan: the rest planned anew.
        state: what is recorded.
        now: when it was planned, minutes since midnight of the first day.
    """
    return tuple(_unmanned(plan, state, now))


def _unmanned(plan: Plan, state: ShiftState, now: int) -> Iterator[Unmanned]:
    for batch in plan.batches:
        run = state.runs.get(batch.label)
        for hand in batch.hands if run is not None and run.end is None else ():
            start = max(hand.start, now)
            if start < hand.end and state.absent(hand.person, start, hand.end):
                yield Unmanned(batch.label, batch.step, hand.person, start)
