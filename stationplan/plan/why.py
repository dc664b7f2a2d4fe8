"""Why there is no plan, in the kitchen's words."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from stationplan.engine import Chamber, Conflict, Link
from stationplan.network import Network
from stationplan.network.errors import Path
from stationplan.network.flow import Stand
from stationplan.network.network import BatchTask, Crew, MoveTask, StockTask
from stationplan.plan.reasons import who
from stationplan.scenario.units import format_clock, format_duration

_MOST_PARTS = 9
"""A longer chain of steps and waits is told by its end."""


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
    telling = {"cycle": _circle, "task": _no_moment, "resource": _too_much, "search": _all_together}
    return tuple(telling[conflict.kind](network, conflict) for conflict in conflicts)


def in_turn(network: Network, tasks: tuple[int, ...]) -> str:
    """Tasks that follow each other: ``tart: mix, 20 min > rest, at least 45 min > line, 9 min``.

    Args:
        network: what the tasks refer to.
        tasks: each follows the one before; the moves from one wait to the next may be among them.
    """
    waits = _waits(network)
    parts: list[str] = []
    item = ""
    for position, task in enumerate(tasks):
        wait = waits.get((tasks[position - 1], task)) if position else None
        if wait is not None:
            parts.append(f"{wait.name or 'a wait'}, at least {format_duration(wait.least)}")
        meaning = network.tasks[task]
        if isinstance(meaning, BatchTask):
            name = _name(network, task, item)
            parts.append(f"{name}, {format_duration(_shortest(network, task))}")
            item = meaning.item
        elif isinstance(meaning, StockTask):
            there = format_clock(network.opens + (network.problem.tasks[task].fixed_start or 0))
            parts.append(f"{meaning.item} in stock at {there}")
    if len(parts) > _MOST_PARTS:
        parts = ["...", *parts[-_MOST_PARTS:]]
    return " > ".join(parts)


def _circle(network: Network, conflict: Conflict) -> Against:
    """Least and most waits that contradict each other, each with its minutes."""
    items = {_item(network, task) for task in conflict.tasks}
    item = items.pop() if len(items) == 1 else ""
    demands = []
    path: Path = ()
    for one, other in pairwise((*conflict.tasks, conflict.tasks[0])):
        here, there = _name(network, one, item), _name(network, other, item)
        least = max((link.least for link in _links(network, one, other) if link.least is not None), default=None)
        most = min((link.most for link in _links(network, other, one) if link.most is not None), default=None)
        if least is None and most is not None:
            demands.append(f"{here} at most {format_duration(most)} after {there}")
            path = path or _path(network, one)
        else:
            demands.append(f"{there} {f'at least {format_duration(least)} ' if least else ''}after {here}")
    about = f"{item}: " if item else ""
    return Against(
        f"{about}these waits contradict each other: {'; '.join(demands)}", path or _path(network, conflict.tasks[0])
    )


def _no_moment(network: Network, conflict: Conflict) -> Against:
    """Steps that do not fit into the shift although nothing else is done."""
    shift, begins = network.closes - network.opens, _begins(network)
    last = conflict.tasks[-1]
    waits = _waits(network)
    minutes = sum(_shortest(network, task) for task in conflict.tasks)
    minutes += sum(waits[pair].least for pair in pairwise(conflict.tasks) if pair in waits)
    between, length = _shift(network), format_duration(minutes)
    if len(conflict.tasks) > 1:
        chain = in_turn(network, conflict.tasks)
        sentence = f"these cannot follow each other {between}, even with every station free: {chain}"
        if begins + minutes > shift:
            sentence += f"; together {length}"
        elif late := [_goods(network, task) for task in conflict.tasks if network.problem.tasks[task].release > begins]:
            sentence += f"; {', '.join(dict.fromkeys(late))}"
        else:
            sentence += (
                "; an oven that must get hot first, the hours of the people who can do them, or what must follow "
                "leave too little time"
            )
        return Against(sentence, _path(network, last))
    hot, goods = _hot_after(network, last), network.problem.tasks[last].release
    if begins + minutes > shift:
        why = f"it takes {length}"
    elif hot + minutes > shift:
        why = f"it takes {length}, and its oven is not hot before {format_clock(network.opens + hot)}"
    elif goods + minutes > shift:
        why = f"it takes {length}, and {_goods(network, last)}"
    else:
        why = f"the people and the equipment that it needs are never there together for {length} at a stretch"
    return Against(f"{_name(network, last)} cannot be done {between}: {why}", _path(network, last))


def _too_much(network: Network, conflict: Conflict) -> Against:
    """More work than a group of stations or people can do."""
    count = len(set(conflict.tasks))
    return Against(
        f"too much for {who(network, conflict.resources)[0]} {_shift(network)}: "
        f"{'1 batch' if count == 1 else f'{count} batches'}, which with what must follow take at least "
        f"{format_duration(conflict.minutes)} longer than there is time",
        _place(network, conflict.resources[0]),
    )


def _all_together(network: Network, _: Conflict) -> Against:
    """What only a search has found out."""
    return Against(f"not everything can be done {_shift(network)}: the search has ruled out any plan")


def _shift(network: Network) -> str:
    return f"between {format_clock(network.opens + _begins(network))} and {format_clock(network.closes)}"


def _begins(network: Network) -> int:
    """When what has not begun can begin at the earliest, minutes after opening."""
    return 0 if network.so_far is None else max(0, network.so_far.now - network.opens)


def _waits(network: Network) -> dict[tuple[int, int], Stand]:
    """The wait between two tasks, where it takes any time."""
    return {
        pair: stand
        for lot in network.lots
        for stand, pair in zip(lot.stands, pairwise(lot.tasks), strict=False)
        if stand.least
    }


def _links(network: Network, before: int, after: int) -> list[Link]:
    return [link for link in network.problem.links if (link.before, link.after) == (before, after)]


def _shortest(network: Network, task: int) -> int:
    return min(mode.duration for mode in network.problem.tasks[task].modes)


def _hot_after(network: Network, task: int) -> int:
    """Minutes from opening until an oven for the task is hot; 0 without one."""

    def first(resource: int, state: str | None) -> int:
        chamber = network.problem.resources[resource]
        return chamber.first.get(state or "", 0) if isinstance(chamber, Chamber) else 0

    return min(
        max((min(first(resource, use.state) for resource in use.resources) for use in mode.uses), default=0)
        for mode in network.problem.tasks[task].modes
    )


def _goods(network: Network, task: int) -> str:
    """What comes too late for a batch: ``butter comes only at 10:30``."""
    meaning = network.tasks[task]
    name = meaning.last_goods if isinstance(meaning, BatchTask) else ""
    return f"{name} comes only at {format_clock(network.opens + network.problem.tasks[task].release)}"


def _item(network: Network, task: int) -> str:
    meaning = network.tasks[task]
    return network.lots[meaning.lot].item if isinstance(meaning, MoveTask) else meaning.item


def _name(network: Network, task: int, item: str = "") -> str:
    """A task in words; without its item when that is ``item``, and with its number where there are several."""
    meaning = network.tasks[task]
    about = "" if _item(network, task) == item else f"{_item(network, task)}: "
    if isinstance(meaning, StockTask):
        return f"{about}stock"
    if isinstance(meaning, MoveTask):
        return f"{about}the end of {network.lots[meaning.lot].stands[meaning.position].name or 'a wait'}"
    again = f", round {meaning.round}" if meaning.round > 1 else ""
    number = f" (batch {meaning.number})" if meaning.of > 1 else ""
    return f"{about}{meaning.step}{again}{number}"


def _path(network: Network, task: int) -> Path:
    meaning = network.tasks[task]
    if isinstance(meaning, MoveTask):
        return network.lots[meaning.lot].stands[meaning.position].path
    return meaning.path


def _place(network: Network, resource: int) -> Path:
    """Where a station, or the first of a group of people, stands in the scenario."""
    group = network.resources[resource]
    if isinstance(group, Crew):
        return ("kitchen", "people", network.people.index(group.names[0]))
    return ("kitchen", "equipment", group.equipment)
