"""Parts of a problem that may be left out, to find out what stands in the way."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from stationplan.engine.problem import Chamber, Closure, Hold, Pool, Problem, Use
from stationplan.engine.windows import calendar_of, horizon_of


@dataclass(frozen=True, slots=True)
class Requirement:
    """Something demanded of every schedule, that can be left out as a whole.

    All numbers are positions in the tuples of a problem. Left out means:

    Attributes:
        leasts: links whose least lag, where it is above 0, becomes 0.
        mosts: links that lose their most lag.
        limits: resources of which there are as many as anybody wants, each as soon and as
            long open as the one there is.
        closures: resources that are never closed.
        firsts: chambers that are in any state from the start.
        changeovers: chambers that change from state to state in no time.
        releases: tasks that may start as early as anything.
        tasks: tasks that are not done, with their links and holds, unless a requirement that is kept has them, too.
        horizon: no end: the horizon, and deadlines that are no earlier than it, fall away.
            A closure that lasts until the horizon has no end either.
    """

    leasts: tuple[int, ...] = ()
    mosts: tuple[int, ...] = ()
    limits: tuple[int, ...] = ()
    closures: tuple[int, ...] = ()
    firsts: tuple[int, ...] = ()
    changeovers: tuple[int, ...] = ()
    releases: tuple[int, ...] = ()
    tasks: tuple[int, ...] = ()
    horizon: bool = False


def without(problem: Problem, left_out: Iterable[Requirement], kept: Iterable[Requirement] = ()) -> Problem:
    """The problem without some of its requirements; every schedule of the problem is one of it.

    Args:
        problem: any problem.
        left_out: what is no longer required.
        kept: what still is; only its tasks matter.

    Returns:
        A problem with fewer tasks where tasks are left out, and with further chambers where the limit of one is.
    """
    parts = tuple(left_out)
    problem = _without_lags(
        problem,
        {index for part in parts for index in part.leasts},
        {index for part in parts for index in part.mosts},
    )
    problem = _without_releases(problem, {index for part in parts for index in part.releases})
    problem = _on_resources(problem, parts)
    needed = {index for part in kept for index in part.tasks}
    problem = _without_tasks(problem, {index for part in parts for index in part.tasks} - needed)
    return _without_end(problem) if any(part.horizon for part in parts) else problem


def _without_lags(problem: Problem, leasts: set[int], mosts: set[int]) -> Problem:
    links = list(problem.links)
    for index in leasts:
        least = links[index].least
        links[index] = replace(links[index], least=None if least is None else min(least, 0))
    for index in mosts:
        links[index] = replace(links[index], most=None)
    return replace(problem, links=tuple(links))


def _without_releases(problem: Problem, early: set[int]) -> Problem:
    tasks = tuple(replace(task, release=0) if index in early else task for index, task in enumerate(problem.tasks))
    return replace(problem, tasks=tasks)


def _on_resources(problem: Problem, parts: tuple[Requirement, ...]) -> Problem:
    limits = {index for part in parts for index in part.limits}
    open_always = {index for part in parts for index in part.closures}
    ready = {index for part in parts for index in part.firsts}
    quick = {index for part in parts for index in part.changeovers}
    plenty = sum(max(_room(mode.uses) for mode in task.modes) for task in problem.tasks)
    plenty += sum(hold.amount for hold in problem.holds)
    resources = list(problem.resources)
    for index, resource in enumerate(resources):
        if isinstance(resource, Pool):
            if index in open_always:
                resource = replace(resource, closures=())
            elif index in limits:
                shut = tuple(
                    Closure(start, end, plenty) for start, end, room in calendar_of(problem, index) if room <= 0
                )
                resource = replace(resource, closures=shut)
            resources[index] = replace(resource, capacity=plenty) if index in limits else resource
        else:
            first = {} if index in ready else resource.first
            changeovers = {} if index in quick else resource.changeovers
            closures = () if index in open_always else resource.closures
            resources[index] = replace(resource, first=first, changeovers=changeovers, closures=closures)
    problem = replace(problem, resources=tuple(resources))
    return _with_chambers_for_each_state(problem, limits, plenty)


def _room(uses: tuple[Use, ...]) -> int:
    return sum(use.amount for use in uses)


def _with_chambers_for_each_state(problem: Problem, limits: set[int], plenty: int) -> Problem:
    """As many chambers as anybody wants are one for each state, with room for everything."""
    resources = list(problem.resources)
    place: dict[tuple[int, str], int] = {}
    for task in problem.tasks:
        for use in (use for mode in task.modes for use in mode.uses if use.state is not None):
            for index in use.resources:
                chamber, state = resources[index], use.state or ""
                if index in limits and isinstance(chamber, Chamber) and (index, state) not in place:
                    place[index, state] = len(resources)
                    first = {state: chamber.first.get(state, 0)}
                    # What went on through a restart in another state cannot be seen from here.
                    alone = replace(chamber, capacity=plenty, changeovers={}, first=first, restarts=())
                    resources.append(alone)
    if not place:
        return problem

    def placed(use: Use) -> Use:
        return replace(use, resources=tuple(place.get((index, use.state or ""), index) for index in use.resources))

    tasks = tuple(
        replace(task, modes=tuple(replace(mode, uses=tuple(placed(use) for use in mode.uses)) for mode in task.modes))
        for task in problem.tasks
    )
    return replace(problem, tasks=tasks, resources=tuple(resources))


def _without_tasks(problem: Problem, gone: set[int]) -> Problem:
    if not gone:
        return problem
    kept = [index for index in range(len(problem.tasks)) if index not in gone]
    place = {index: position for position, index in enumerate(kept)}
    return replace(
        problem,
        tasks=tuple(problem.tasks[index] for index in kept),
        links=tuple(
            replace(link, before=place[link.before], after=place[link.after])
            for link in problem.links
            if link.before in place and link.after in place
        ),
        holds=_holds_between(problem, place),
        deliveries=tuple(
            replace(delivery, tasks=tuple(place[task] for task in delivery.tasks if task in place))
            for delivery in problem.deliveries
        ),
        series=tuple(
            tuple(tuple(place[task] for task in batch) for batch in series)
            for series in problem.series
            if all(task in place for batch in series for task in batch)
        ),
    )


def _holds_between(problem: Problem, place: dict[int, int]) -> tuple[Hold, ...]:
    """The holds between tasks that are left; where the first of those that stand together is gone, the next leads."""
    found: list[Hold] = []
    leaders: dict[int, int] = {}
    for index, hold in enumerate(problem.holds):
        if hold.before not in place or hold.after not in place:
            continue
        group = index if hold.beside is None else hold.beside
        beside = leaders.get(group)
        leaders.setdefault(group, len(found))
        found.append(replace(hold, before=place[hold.before], after=place[hold.after], beside=beside))
    return tuple(found)


def _without_end(problem: Problem) -> Problem:
    end = problem.horizon
    if end is None:
        return problem
    tasks = tuple(
        replace(task, deadline=None if task.deadline is None or task.deadline >= end else task.deadline)
        for task in problem.tasks
    )
    problem = replace(problem, tasks=tasks, horizon=None)
    horizon = max(end, horizon_of(problem))
    resources = tuple(
        replace(
            resource,
            closures=tuple(
                replace(closure, end=max(closure.end, horizon)) if closure.end >= end else closure
                for closure in resource.closures
            ),
        )
        for resource in problem.resources
    )
    return replace(problem, resources=resources, horizon=horizon)
