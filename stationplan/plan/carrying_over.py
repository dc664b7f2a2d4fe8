"""Whether a plan for one kitchen can be worked to in another one: with more in it, it can."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from stationplan.network.network import BatchTask
from stationplan.plan.check import check_plan
from stationplan.plan.make import stations_of

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.plan.document import Plan


def same_batches(plan: Plan, network: Network) -> bool:
    """Whether a scenario is made in the same batches as those of a plan.

    Args:
        plan: the plan.
        network: the scheduling problem of the scenario.
    """
    planned = sorted(
        (batch.item, batch.step, batch.round, batch.number, batch.first, batch.last) for batch in plan.batches
    )
    wanted = sorted(
        (task.item, task.step, task.round, task.number, str(task.first), str(task.last))
        for task in network.tasks
        if isinstance(task, BatchTask)
    )
    return planned == wanted


def holds_in(plan: Plan, network: Network, raw: dict[str, Any]) -> bool:
    """Whether a plan, just as it is, passes the independent check in a changed kitchen.

    A second oven gives the first one another name. So each station of the plan becomes the one in the same place among
    those of its equipment; what is new stands idle.

    Args:
        plan: the plan.
        network: the scheduling problem of the changed scenario.
        raw: the same scenario as plain data.
    """
    stations = stations_of(network)
    before, after = (
        _by_equipment(names) for names in ([(s.equipment, s.name) for s in of] for of in (plan.stations, stations))
    )
    new: dict[str, str] = {}
    for equipment, names in before.items():
        if len(after[equipment]) < len(names):
            return False
        new.update(zip(names, after[equipment], strict=False))
    moved = plan.model_copy(
        update={
            "opens": network.opens,
            "closes": network.closes,
            "stations": stations,
            "people": network.people,
            "batches": tuple(
                batch.model_copy(
                    update={
                        "seats": tuple(seat.model_copy(update={"station": new[seat.station]}) for seat in batch.seats)
                    }
                )
                for batch in plan.batches
            ),
            "stays": tuple(
                stay if stay.station is None else stay.model_copy(update={"station": new[stay.station]})
                for stay in plan.stays
            ),
            "changes": tuple(change.model_copy(update={"station": new[change.station]}) for change in plan.changes),
            "scenario": raw,
        }
    )
    return not check_plan(moved)


def _by_equipment(named: list[tuple[str, str]]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = defaultdict(list)
    for equipment, name in named:
        found[equipment].append(name)
    return found
