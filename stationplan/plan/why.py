"""Why there is no plan, in the kitchen's words."""

from __future__ import annotations

from dataclasses import dataclass

from stationplan.engine import Conflict
from stationplan.network import Network
from stationplan.network.errors import Path
from stationplan.network.network import BatchTask, MoveTask
from stationplan.plan.reasons import who
from stationplan.scenario.units import format_clock, format_duration


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
    return tuple(_reason(network, conflict) for conflict in conflicts)


def _reason(network: Network, conflict: Conflict) -> Against:
    if conflict.kind == "cycle":
        steps = " > ".join(_task(network, task) for task in conflict.tasks)
        return Against(
            f"the least and most waits round {steps} contradict each other", _path(network, conflict.tasks[0])
        )
    if conflict.kind == "task":
        last = conflict.tasks[-1]
        chain = " > ".join(_task(network, task) for task in conflict.tasks[-4:])
        return Against(
            f"{_task(network, last)} has no possible moment between {format_clock(network.opens)} and "
            f"{format_clock(network.closes)}, even with every station free: {chain}",
            _path(network, last),
        )
    if conflict.kind == "resource":
        return Against(_overload(network, conflict))
    return Against(_search(network, conflict))


def _overload(network: Network, conflict: Conflict) -> str:
    names = who(network, conflict.resources)[0]
    count = len(set(conflict.tasks))
    loads = f"{count} batches" if count > 1 else "1 batch"
    return (
        f"{names}: the {loads} that must go through it cannot all be done between {format_clock(network.opens)} and "
        f"{format_clock(network.closes)}; with what must follow, that takes at least "
        f"{format_duration(conflict.minutes)} longer"
    )


def _search(network: Network, conflict: Conflict) -> str:
    closing = f"nothing fits between {format_clock(network.opens)} and {format_clock(network.closes)}"
    if not conflict.resources:
        return f"{closing}, and no single station or person is to blame: several are too few together"
    helpful = [who(network, (resource,))[0] for resource in conflict.resources]
    return f"{closing}; with more of any one of these it would: {', '.join(dict.fromkeys(helpful))}"


def _task(network: Network, task: int) -> str:
    entry = network.tasks[task]
    if isinstance(entry, MoveTask):
        return entry.label
    return f"{entry.item}: {entry.step}" + (f" (batch {entry.number})" if entry.of > 1 else "")


def _path(network: Network, task: int) -> Path:
    entry = network.tasks[task]
    return entry.path if isinstance(entry, BatchTask) else ()
