"""Only the turns at shared equipment, with the least time between one candidate's turns: quick to rule out.

What is left out only makes it easier, so where these turns cannot be had, the exam cannot.
Where they can, everybody's own steps are put round them one candidate after another: once
the turns are fixed, candidates hardly stand in each other's way any more. Whether they do
is verified against the whole; this is the master and the subproblems of a logic-based
Benders decomposition (Hooker and Ottosson, Mathematical Programming 96, 2003), without
cuts: the whole model is there for the rest.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from stationplan.engine import solve
from stationplan.engine.problem import Assignment, Link, LinkKind, Mode, Problem, Schedule, Task
from stationplan.engine.result import Conflict, Result, Status, Tier, TierName
from stationplan.engine.verify import evaluate, verify
from stationplan.engine.windows import Windows, find_windows
from stationplan.plan.exam.copies import copies_of

if TYPE_CHECKING:
    from stationplan.plan.exam.copies import Copies
    from stationplan.plan.produce import Effort

EFFORT_OF_ONE = 1.0
"""For one candidate's steps round fixed turns: a handful of tasks."""


def by_turns(copies: Copies, limits: Effort) -> Result | None:
    """Decide whether there is a schedule by looking at the turns first.

    Args:
        copies: several candidates, with copies of everything.
        limits: how long to search for the turns.

    Returns:
        A result with a schedule, or one that rules it out; None when the turns alone do not decide it.
    """
    windows = find_windows(copies.problem)
    if isinstance(windows, Conflict):
        return Result(Status.INFEASIBLE, None, (), (), (windows,))
    problem, where = only_turns(copies, windows)
    found = solve(
        problem,
        time_limit=limits.time_limit,
        effort=limits.effort,
        seed=limits.seed,
        workers=limits.workers,
        gap=limits.gap,
    )
    if found.schedule is None:
        return found if found.status is Status.INFEASIBLE else None
    schedule = _filled_in(copies, problem, found.schedule, where, limits.seed)
    if schedule is None or verify(copies.problem, schedule):
        return None
    cost = evaluate(copies.problem, schedule)
    least = max(early + tail for early, tail in zip(windows.earliest, windows.tail, strict=True))
    tiers = (
        Tier(TierName.LATENESS, cost.lateness, 0),
        Tier(TierName.MAKESPAN, cost.makespan, min(least, cost.makespan)),
        Tier(TierName.TIDINESS, cost.tidiness, 0),
    )
    return Result(Status.FEASIBLE, schedule, tiers, ())


def only_turns(copies: Copies, windows: Windows) -> tuple[Problem, dict[int, int]]:
    """The problem of the turns alone, and where each turn stands in it.

    Args:
        copies: several candidates, with copies of everything.
        windows: what is known of the starts.

    Returns:
        A relaxation, for whatever is possible with everything is possible here; the new place of each task kept.
    """
    kept = [*(members[turn] for members in copies.tasks for turn in copies.sitting.turns), *copies.windows.values()]
    where = {task: position for position, task in enumerate(kept)}
    tasks = []
    for task in kept:
        part = copies.problem.tasks[task]
        modes = tuple(_shared_only(copies, mode) for mode in part.modes)
        last = windows.latest[task] + max(mode.duration for mode in modes)
        tasks.append(Task(part.name, modes, windows.earliest[task], last))
    links = [
        replace(link, before=where[link.before], after=where[link.after], tidy=0)
        for link in copies.problem.links
        if link.before in where and link.after in where
    ]
    lags = _least_lags(copies, windows)
    for members in copies.tasks:
        links += [
            Link(where[members[one]], where[members[other]], lag, kind=LinkKind.START_START)
            for (one, other), lag in lags.items()
        ]
    problem = Problem(tuple(tasks), copies.problem.resources, tuple(links), horizon=copies.problem.horizon)
    return problem, where


def _shared_only(copies: Copies, mode: Mode) -> Mode:
    """A mode with nothing but what must be shared."""
    shared = copies.sitting.shared
    uses = tuple(use for use in mode.uses if all(index < len(shared) and shared[index] for index in use.resources))
    return replace(mode, uses=uses)


def _least_lags(copies: Copies, windows: Windows) -> dict[tuple[int, int], int]:
    """Least minutes from the start of one turn to that of another of the same candidate, by way of all steps."""
    own = {task: pattern for pattern, task in copies.tasks[0].items()}
    arcs = [
        (own[before], own[after], weight) for before, after, weight in windows.arcs if before in own and after in own
    ]
    found = {}
    for turn in copies.sitting.turns:
        lags = {turn: 0}
        for _ in own:
            for before, after, weight in arcs:
                if before in lags and lags[before] + weight > lags.get(after, lags[before] + weight - 1):
                    lags[after] = lags[before] + weight
        found.update({(turn, other): lags[other] for other in copies.sitting.turns if other in lags and other != turn})
    return found


def _filled_in(copies: Copies, problem: Problem, turns: Schedule, where: dict[int, int], seed: int) -> Schedule | None:
    """Everybody's own steps round their turns; None when somebody's do not fit."""
    alone = copies_of(copies.sitting, (0,), 0).problem
    known: dict[tuple[Assignment, ...], Schedule | None] = {}
    tasks: dict[int, Assignment] = {}
    holds: list[int] = []
    for number, offset in enumerate(copies.offsets):
        members = copies.tasks[number]
        mine = tuple(turns.tasks[where[members[turn]]] for turn in copies.sitting.turns)
        moved = tuple(replace(part, start=part.start - offset) for part in mine)
        if moved not in known:
            fixed = dict(zip(copies.sitting.turns, moved, strict=True))
            pinned = tuple(_pinned(copies, part, fixed.get(task)) for task, part in enumerate(alone.tasks))
            known[moved] = solve(replace(alone, tasks=pinned), effort=EFFORT_OF_ONE, seed=seed, workers=1).schedule
        found = known[moved]
        if found is None:
            return None
        renamed = copies.resources[number]
        for task, place in members.items():
            part = found.tasks[task]
            mode = part.mode if task not in copies.sitting.turns else moved[copies.sitting.turns.index(task)].mode
            resources = tuple(renamed[index] for index in part.resources)
            tasks[place] = Assignment(part.start + offset, mode, resources)
        holds += [renamed[index] for index in found.holds]
    for window in copies.windows.values():
        tasks[window] = turns.tasks[where[window]]
    # What is left are fixed moments that others are measured from.
    order = [tasks.get(task, Assignment(0, 0, ())) for task in range(len(copies.problem.tasks))]
    return Schedule(tuple(order), tuple(holds))


def _pinned(copies: Copies, part: Task, turn: Assignment | None) -> Task:
    """A task as it is or, if it is a turn, in the mode, at the moment and on the equipment that it was given."""
    if turn is None:
        return part
    mode = part.modes[turn.mode]
    given = iter(turn.resources)
    kept = {id(use) for use in _shared_only(copies, mode).uses}
    uses = tuple(replace(use, resources=(next(given),)) if id(use) in kept else use for use in mode.uses)
    return replace(part, modes=(replace(mode, uses=uses),), fixed_start=turn.start)
