"""Why there is no plan, in the kitchen's words."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from stationplan.engine import Conflict
from stationplan.network import Network
from stationplan.network.errors import Path
from stationplan.network.flow import Stand
from stationplan.network.network import BatchTask, Crew, StationGroup
from stationplan.plan.reasons import who
from stationplan.scenario.units import format_clock, format_duration

_MOST_STEPS = 6
"""A longer chain of steps is told by its end."""


@dataclass(frozen=True, slots=True)
class Against:
    """One reason against any plan, and where in the scenario it stands ('()' for the shift as a whole)."""

    sentence: str
    path: Path = ()


def reasons_against(network: Network, conflicts: tuple[Conflict, ...]) -> tuple[Against, ...]:
    """The engine's conflicts as sentences that a cook understands.

    Args:
        network: what the conflicts refer to.
        conflicts: why there is no schedule.
    """
    telling = {"cycle": _circle, "task": _no_moment, "resource": _overload, "search": _search}
    return tuple(telling[conflict.kind](network, conflict) for conflict in conflicts)


def in_turn(network: Network, tasks: tuple[int, ...]) -> str:
    """Tasks that follow each other: 'tart: mix, 20 min > rest, at least 45 min > line, 9 min'.

    Args:
        network: what the tasks refer to.
        tasks: each follows the one before; the moves between two waits may be among them.
    """
    waits = _waits(network)
    parts = []
    item = ""
    for before, task in zip((None, *tasks), tasks, strict=False):
        wait = waits.get((before, task))
        if wait is not None and (wait.least or wait.name):
            parts.append(f"{wait.name or 'a wait'}, at least {format_duration(wait.least)}")
        meaning = network.tasks[task]
        if isinstance(meaning, BatchTask):
            named = _step(meaning)
            length = format_duration(_shortest(network, task))
            parts.append(f"{named if meaning.item != item else named.removeprefix(f'{item}: ')}, {length}")
            item = meaning.item
    if len(parts) > _MOST_STEPS:
        parts = ["...", *parts[-_MOST_STEPS:]]
    return " > ".join(parts)


def _circle(network: Network, conflict: Conflict) -> Against:
    demands = []
    path: Path = ()
    for one, other in pairwise((*conflict.tasks, conflict.tasks[0])):
        most = min((link.most for link in network.problem.links if (link.before, link.after) == (other, one)
                    and link.most is not None), default=None)  # fmt: skip
        least = max((link.least for link in network.problem.links if (link.before, link.after) == (one, other)
                     and link.least is not None), default=None)  # fmt: skip
        if least is None and most is not None:
            demands.append(f"{_name(network, one)} at most {format_duration(most)} after {_name(network, other)}")
            path = path or _path(network, one)
        else:
            later = f"at least {format_duration(least)} " if least else ""
            demands.append(f"{_name(network, other)} {later}after {_name(network, one)}")
    sentence = f"these waits contradict each other: {'; '.join(demands)}"
    return Against(sentence, path or _path(network, conflict.tasks[0]))


def _no_moment(network: Network, conflict: Conflict) -> Against:
    last = conflict.tasks[-1]
    between = f"between {format_clock(network.opens)} and {format_clock(network.closes)}"
    shift = network.closes - network.opens
    waits = _waits(network)
    least = sum(_shortest(network, task) for task in conflict.tasks)
    least += sum(wait.least for pair in pairwise(conflict.tasks) if (wait := waits.get(pair)) is not None)
    if len(conflict.tasks) == 1:
        too_long = f"it takes {format_duration(least)}"
        missing = f"for {format_duration(least)} at a stretch, the people and the equipment for it are never there together"
        return Against(
            f"{_name(network, last)} cannot be done {between}: {too_long if least > shift else missing}",
            _path(network, last),
        )
    why = (
        f"they take {format_duration(least)}"
        if least > shift
        else "what must follow, or the hours of the people who can do them, leave too little time"
    )
    chain = in_turn(network, conflict.tasks)
    return Against(f"these cannot follow each other {between}, even with every station free: {chain}; {why}",
                   _path(network, last))  # fmt: skip


def _overload(network: Network, conflict: Conflict) -> Against:
    names = who(network, conflict.resources)[0]
    count = len(set(conflict.tasks))
    return Against(
        f"too much for {names} between {format_clock(network.opens)} and {format_clock(network.closes)}: "
        f"{'1 batch' if count == 1 else f'{count} batches'}, which with what must follow take at least "
        f"{format_duration(conflict.minutes)} longer than there is",
        _place(network, conflict.resources[0]),
    )


def _search(network: Network, conflict: Conflict) -> Against:
    closing = f"not everything fits between {format_clock(network.opens)} and {format_clock(network.closes)}"
    if not conflict.resources:
        return Against(f"{closing}, and more of one thing or person alone does not seem to help")
    helpful = list(dict.fromkeys(who(network, (resource,))[0] for resource in conflict.resources))
    place = _place(network, conflict.resources[0]) if len(helpful) == 1 else ()
    return Against(f"{closing}; it would with more of {'any one of these: ' if len(helpful) > 1 else ''}{', '.join(helpful)}", place)


def _waits(network: Network) -> dict[tuple[int | None, int], Stand]:
    """The wait between two tasks, where there is one."""
    return {
        pair: stand
        for lot in network.lots
        for stand, pair in zip(lot.stands, pairwise(lot.tasks), strict=False)
    }


def _shortest(network: Network, task: int) -> int:
    return min(mode.duration for mode in network.problem.tasks[task].modes)


def _step(meaning: BatchTask) -> str:
    """A batch in words; its number only where there are several."""
    number = f" (batch {meaning.number})" if meaning.of > 1 else ""
    repeat = f", round {meaning.round}" if meaning.round > 1 else ""
    return f"{meaning.item}: {meaning.step}{repeat}{number}"


def _name(network: Network, task: int) -> str:
    meaning = network.tasks[task]
    if isinstance(meaning, BatchTask):
        return _step(meaning)
    lot = network.lots[meaning.lot]
    return f"{lot.item}: the end of {lot.stands[meaning.position].name or 'the wait'}"


def _path(network: Network, task: int) -> Path:
    meaning = network.tasks[task]
    return meaning.path if isinstance(meaning, BatchTask) else network.lots[meaning.lot].stands[meaning.position].path


def _place(network: Network, resource: int) -> Path:
    """Where a station or a person stands in the scenario."""
    group = network.resources[resource]
    if isinstance(group, StationGroup):
        return ("kitchen", "equipment", group.equipment)
    assert isinstance(group, Crew)
    return ("kitchen", "people", network.people.index(group.names[0]))
