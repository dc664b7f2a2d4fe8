"""The work that sets of resources must do, whatever is decided: what bounds are made of."""

from __future__ import annotations

from dataclasses import dataclass, field

from stationplan.engine.problem import Problem
from stationplan.engine.windows import Windows, use_length


@dataclass(frozen=True, slots=True)
class Work:
    """A stretch of work that a set of resources must do: minutes, room, head and tail in minutes."""

    task: int
    length: int
    amount: int
    head: int
    tail: int
    state: str | None


@dataclass(frozen=True, slots=True)
class ResourceSet:
    """Resources that share work: their positions, the room of one and of all, and their work."""

    resources: tuple[int, ...]
    unit: int
    capacity: int
    work: tuple[Work, ...] = field(repr=False)


def resource_sets(problem: Problem, windows: Windows, *, deadlines: bool = False) -> list[ResourceSet]:
    """Group the work by the sets of resources that it is bound to.

    Args:
        problem: the problem.
        windows: its windows.
        deadlines: measure tails from the latest starts instead, to find out whether
            everything fits before its deadlines.

    Returns:
        One entry for each set of resources that some use may choose from (and unions of
        overlapping sets), with all the work that must be done inside that set.
    """
    demands: list[tuple[frozenset[int], Work]] = []
    for index in range(len(problem.tasks)):
        tail = windows.horizon - windows.latest[index] if deadlines else windows.tail[index]
        demands += _certain_work(problem, windows, index, tail)
    for hold in problem.holds:
        least = max(
            (weight for before, after, weight in windows.arcs if (before, after) == (hold.before, hold.after)),
            default=0,
        )
        longest = max(mode.duration for mode in problem.tasks[hold.before].modes)
        length = least - longest
        if length > 0 and hold.amount:
            shortest = min(mode.duration for mode in problem.tasks[hold.before].modes)
            after = windows.horizon - windows.latest[hold.after] if deadlines else windows.tail[hold.after]
            head = windows.earliest[hold.before] + shortest
            demands.append((frozenset(hold.resources), Work(hold.before, length, hold.amount, head, after, None)))
    sets = []
    for resources in closed_under_overlap({resources for resources, _ in demands}):
        rooms = [problem.resources[index].capacity for index in resources]
        work = tuple(item for choice, item in demands if choice <= resources)
        sets.append(ResourceSet(tuple(sorted(resources)), max(rooms), sum(rooms), work))
    return sorted(sets, key=lambda entry: entry.resources)


def _certain_work(problem: Problem, windows: Windows, index: int, tail: int) -> list[tuple[frozenset[int], Work]]:
    """The work a task brings whatever its mode: for one mode each use, for several the cheapest on their union."""
    task = problem.tasks[index]
    usable = [mode for mode, starts in zip(task.modes, windows.allowed[index], strict=True) if starts] or task.modes
    if len(usable) == 1:
        mode = usable[0]
        return [
            (
                frozenset(use.resources),
                Work(
                    index,
                    use_length(mode, use),
                    use.amount,
                    windows.earliest[index] + use.offset,
                    tail - use.offset - use_length(mode, use),
                    use.state,
                ),
            )
            for use in mode.uses
            if use.amount and use_length(mode, use)
        ]
    if not all(mode.uses for mode in usable):
        return []
    # With several modes only the first use of each is looked at: the one that tells the modes apart.
    firsts = [(mode, mode.uses[0]) for mode in usable]
    length = min(use_length(mode, use) for mode, use in firsts)
    amount = min(use.amount for _, use in firsts)
    if not length or not amount:
        return []
    states = {use.state for _, use in firsts}
    head = windows.earliest[index] + min(use.offset for _, use in firsts)
    after = min(mode.duration - use.offset - use_length(mode, use) for mode, use in firsts)
    tail = max(after, tail - max(use.offset + use_length(mode, use) for mode, use in firsts))
    choice = frozenset(resource for _, use in firsts for resource in use.resources)
    return [(choice, Work(index, length, amount, head, tail, states.pop() if len(states) == 1 else None))]


def closed_under_overlap(sets: set[frozenset[int]]) -> set[frozenset[int]]:
    """The sets and the unions of all that hang together by overlapping."""
    groups: list[frozenset[int]] = []
    for entry in sorted(sets, key=sorted):
        touching = [group for group in groups if group & entry]
        groups = [group for group in groups if not group & entry]
        groups.append(entry.union(*touching))
    return sets | set(groups)
