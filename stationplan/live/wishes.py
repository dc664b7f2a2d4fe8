"""Where the plan in force has the batches that have not begun, as assignments of a network that is built anew."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from stationplan.engine.problem import Assignment
from stationplan.network.network import BatchTask, HandUse, MoveTask

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.network.network import ModeUses
    from stationplan.plan.document import Batch, Plan


def wishes_of(network: Network, plan: Plan) -> tuple[dict[int, Assignment], dict[int, int]]:
    """Where the plan has tasks and holds of the network; nothing for what it does not have, or can be there no more.

    Args:
        network: the scenario as it is now, with what has happened so far.
        plan: the plan in force.

    Returns:
        Assignments by task, and resources by hold.
    """
    batches = {batch.label: batch for batch in plan.batches}
    stays = {(stay.before, stay.after, stay.position): stay for stay in plan.stays}
    wished: dict[int, Assignment] = {}
    for task, meaning in enumerate(network.tasks):
        if network.problem.tasks[task].fixed_start is not None:
            continue
        if isinstance(meaning, MoveTask):
            lot = network.lots[meaning.lot]
            after = None if lot.after is None else network.tasks[lot.after].label
            stay = stays.get((network.tasks[lot.before].label, after, meaning.position))
            if stay is not None:
                wished[task] = Assignment(max(0, stay.end - network.opens), 0, ())
        elif isinstance(meaning, BatchTask) and meaning.label in batches:
            wish = _wish(network, task, meaning, batches[meaning.label])
            if wish is not None:
                wished[task] = wish
    stations = {name: index for index, group in enumerate(network.resources) for name in group.names}
    places = {}
    for lot in network.lots:
        before, after = network.tasks[lot.before].label, None if lot.after is None else network.tasks[lot.after].label
        for position, hold in enumerate(lot.holds):
            stay = stays.get((before, after, position))
            if hold is not None and stay is not None and stay.station in stations:
                places[hold] = stations[stay.station]
    return wished, places


def _wish(network: Network, task: int, meaning: BatchTask, batch: Batch) -> Assignment | None:
    start = max(0, batch.start - network.opens)
    for number, uses in enumerate(meaning.modes):
        resources = _resources(network, task, number, uses, batch)
        if resources is not None:
            return Assignment(start, number, resources)
    return None


def _resources(network: Network, task: int, number: int, uses: ModeUses, batch: Batch) -> tuple[int, ...] | None:
    """The resources that the plan has for the uses of a mode, None when it cannot be that mode."""
    mode = network.problem.tasks[task].modes[number]
    left: Counter[tuple[str, object]] = Counter()
    left.update((seat.station, _state(seat.celsius, seat.setting, seat.holding)) for seat in batch.seats)
    left.update((hand.person, (hand.doing, hand.start - batch.start)) for hand in batch.hands)
    found: list[int] = []
    for use, meaning in zip(mode.uses, uses, strict=True):
        if isinstance(meaning, HandUse):
            what: object = (meaning.doing, use.offset)
            amount = use.amount
        else:
            at = meaning.setting
            what = _state(None if at is None else float(at.celsius), "" if at is None else at.mode, meaning.holding)
            amount = 1
        for index in use.resources:
            keys = [(name, what) for name in network.resources[index].names if left[name, what]][:amount]
            if len(keys) == amount:
                left.subtract(keys)
                found.append(index)
                break
        else:
            return None
    return None if +left else tuple(found)


def _state(celsius: float | None, mode: str, holding: str | None) -> object:
    return (celsius, mode, holding)
