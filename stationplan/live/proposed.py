"""The plan that is proposed: what would be different by it, and the decision to go by it or not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from stationplan.live.differences import Differences, differences_of
from stationplan.live.errors import EventError
from stationplan.live.events import Accepted, Left, Recorded
from stationplan.live.moment import reasons_of, telling
from stationplan.live.replanning import Unmanned, numbers_of_orders, unmanned_in

if TYPE_CHECKING:
    from stationplan.live.record import Log

Decision = Literal["accept", "leave"]


@dataclass(frozen=True)
class Proposed:
    """A plan that is proposed.

    Attributes:
        number: of its entry.
        made: minutes since midnight of the first day.
        differences: what would be different from the plan in force.
        because: the events that it reckons with and the plan in force does not.
        unmanned: work on running batches of somebody who is away then.
        outdated: more was recorded since, so that it cannot be accepted any more.
    """

    number: int
    made: int
    differences: Differences
    because: tuple[Recorded, ...]
    unmanned: tuple[Unmanned, ...]
    outdated: bool


def proposed_in(log: Log) -> Proposed | None:
    """The plan that is proposed and that nobody has decided on, None without one.

    Args:
        log: the record.
    """
    if log.proposed is None:
        return None
    before = replace(log, events=tuple(entry for entry in log.events if entry.number < log.proposed_as))
    made = log.plan.opens if log.proposed.past is None else log.proposed.past.now
    return Proposed(
        number=log.proposed_as,
        made=made,
        differences=differences_of(log.plan, log.proposed, numbers_of_orders(before)),
        because=reasons_of(before),
        unmanned=unmanned_in(log.proposed, before.state, made),
        outdated=_outdated(log),
    )


def decided(log: Log, decision: Decision, number: int, *, at: int, who: str) -> Accepted | Left:
    """Decide on a plan that is proposed.

    Args:
        log: the record.
        decision: to go by it or not.
        number: of its entry.
        at: minutes since midnight of the first day; not before the plan was made, whatever the clock says.
        who: who decides.

    Returns:
        The event, which can be recorded.

    Raises:
        EventError: when there is no such plan to decide on, or more was recorded since.
    """
    if number == 0 or number != log.proposed_as:
        last = f"; the one that is has number {log.proposed_as}" if log.proposed_as else ""
        raise EventError(f"no plan is proposed as {number} any more{last}")
    proposed = log.proposed
    if proposed is not None and proposed.past is not None:
        at = max(at, proposed.past.now)
    if decision == "leave":
        return Left(at=at, who=who, plan=number)
    if _outdated(log):
        raise EventError("more was recorded since that plan was proposed; plan once more")
    return Accepted(at=at, who=who, plan=number)


def _outdated(log: Log) -> bool:
    return any(entry.number > log.proposed_as for entry in telling(log.events))
