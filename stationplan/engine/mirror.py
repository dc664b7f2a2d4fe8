"""The same problem with time running backwards, to push a schedule together from its end.

Scheduling as late as possible is scheduling as early as possible in the mirror. Right-
then left-justifying a schedule (Valls, Ballestín and Quintanilla, "Justification and
RCPSP: a technique that pays", EJOR 165, 2005) often shortens it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from stationplan.engine.problem import (
    Chamber,
    Closure,
    Hold,
    Link,
    LinkKind,
    Mode,
    Pool,
    Problem,
    Task,
)
from stationplan.engine.windows import use_length

_MIRRORED_KIND = {
    LinkKind.END_START: LinkKind.END_START,
    LinkKind.START_START: LinkKind.END_END,
    LinkKind.END_END: LinkKind.START_START,
    LinkKind.START_END: LinkKind.START_END,
}


def mirrored(problem: Problem, end: int, latest: Mapping[int, int] | None = None) -> Problem:
    """Turn time round at ``end``: what ended at minute e then starts at minute end - e.

    Releases, deliveries and the chambers' first changeovers have no mirror image and are
    left out, so that a schedule of the mirror is a guide, not a plan.

    Args:
        problem: the problem.
        end: minute that becomes minute 0.
        latest: the latest ends of some tasks, to be kept in the mirror too.
    """
    latest = latest or {}
    return Problem(
        tasks=tuple(
            Task(
                task.name,
                tuple(_mirrored_mode(mode) for mode in task.modes),
                release=max(0, end - latest[number]) if number in latest else 0,
            )
            for number, task in enumerate(problem.tasks)
        ),
        resources=tuple(_mirrored_resource(resource, end) for resource in problem.resources),
        links=tuple(
            Link(link.after, link.before, link.least, link.most, _MIRRORED_KIND[link.kind]) for link in problem.links
        ),
        holds=tuple(Hold(hold.after, hold.before, hold.resources, hold.amount, hold.beside) for hold in problem.holds),
        horizon=2 * end,
    )


def _mirrored_mode(mode: Mode) -> Mode:
    return Mode(
        mode.duration,
        tuple(
            replace(use, offset=mode.duration - use.offset - use_length(mode, use), length=use_length(mode, use))
            for use in mode.uses
        ),
    )


def _mirrored_resource(resource: Pool | Chamber, end: int) -> Pool | Chamber:
    closures = tuple(
        Closure(max(0, end - closure.end), end - closure.start, closure.amount)
        for closure in resource.closures
        if closure.start < end
    )
    if isinstance(resource, Chamber):
        changeovers = {(after, before): minutes for (before, after), minutes in resource.changeovers.items()}
        return Chamber(resource.name, resource.capacity, changeovers, closures=closures)
    return Pool(resource.name, resource.capacity, closures)
