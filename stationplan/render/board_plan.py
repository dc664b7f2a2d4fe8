"""The plan on a board: whether it holds, and the one that is proposed in its place."""

from __future__ import annotations

from dataclasses import dataclass

from stationplan.live.moment import Moment
from stationplan.live.proposed import Proposed
from stationplan.live.wording import told
from stationplan.render.replan import replan_lines
from stationplan.scenario.units import format_clock


@dataclass(frozen=True)
class Offer:
    """A proposed plan in words: its number, when it was made, what would be different, and whether it is outdated."""

    number: int
    made: str
    lines: tuple[str, ...]
    outdated: bool


@dataclass(frozen=True)
class PlanPart:
    """What there is to say of the plan.

    Attributes:
        broken: why it does not hold any more.
        offer: the plan that is proposed.
        since: since when the rest is being planned anew; '' when it is not.
        why: why the last planning has found nothing.
    """

    broken: tuple[str, ...]
    offer: Offer | None
    since: str
    why: str


def plan_part(moment: Moment, proposed: Proposed | None, since: int | None, why: str) -> PlanPart:
    """What there is to say of the plan.

    Args:
        moment: the shift at a moment.
        proposed: the plan that is proposed.
        since: since when the rest is being planned anew, minutes since midnight of the first day.
        why: why the last planning has found nothing.
    """
    offer = None
    if proposed is not None:
        lines = tuple(replan_lines(proposed.differences, proposed.because, proposed.unmanned))
        offer = Offer(proposed.number, format_clock(proposed.made), lines, proposed.outdated)
    return PlanPart(_broken(moment), offer, "" if since is None else format_clock(since), why)


def news(moment: Moment, proposed: Proposed | None) -> str:
    """Whether the plan holds and whether another one is proposed, for who cannot see it; '' when there is no news.

    Args:
        moment: the shift at a moment.
        proposed: the plan that is proposed.
    """
    parts = ["The plan does not hold any more."] if _broken(moment) else []
    if proposed is not None:
        parts.append("The proposed plan is outdated." if proposed.outdated else "A plan is proposed.")
    return " ".join(parts)


def _broken(moment: Moment) -> tuple[str, ...]:
    alarms = [alarm.sentence for alarm in moment.alarms if alarm.breaks]
    if moment.unheeded:
        events = ", ".join(f"{entry.number} {told(entry.event)}" for entry in moment.unheeded)
        alarms.append(f"not in this plan yet: {events}")
    return tuple(alarms)
