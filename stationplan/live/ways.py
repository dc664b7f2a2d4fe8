"""How long each batch of a plan may take, at the place where the plan has it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.live.errors import FollowingError
from stationplan.network.network import BatchTask, HandUse, SeatUse
from stationplan.network.times import BatchTime, Part, batch_time
from stationplan.plan.so_far import needs_on

if TYPE_CHECKING:
    from stationplan.engine.problem import Mode
    from stationplan.network import Network
    from stationplan.network.network import ModeUses
    from stationplan.plan.document import Batch, Plan
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True, slots=True)
class Times:
    """The times of a batch in minutes: its range from ``least`` to ``most`` without loading and unloading, and hands.

    ``first`` and ``last`` are the minutes that need hands at either end; ``all_hands`` says that every minute does.
    """

    least: float
    most: float
    load: int
    unload: int
    first: int
    last: int
    all_hands: bool


def times_of(task: int, batch: Batch, networks: tuple[Network, Network, Network]) -> Times:
    """The times of a batch.

    Args:
        task: its position in the networks.
        batch: the batch as it is planned.
        networks: of its scenario: on the durations of the plan, on the shortest, and on the longest.

    Raises:
        FollowingError: when the batch is planned where its step cannot be done.
    """
    (planned, _), (shortest, _), (longest, uses) = (_way(network, task, batch) for network in networks)
    parts = [
        Part(meaning.doing, use.offset, use.length)
        for use, meaning in zip(longest.uses, uses, strict=True)
        if isinstance(meaning, HandUse) and use.length is not None
    ]
    # Should the plan give it more or less time than its range says, the range moves with it.
    moved = batch.end - batch.start - planned.duration
    return _times(shortest.duration, BatchTime(longest.duration, tuple(parts)), moved)


def times_of_running(plan: Plan, batch: Batch, scenario: Scenario, now: int) -> Times:
    """The times of a batch that runs: of its step, where it is.

    Args:
        plan: a plan that was made while it ran.
        batch: the batch, with the end that was expected.
        scenario: that of the plan.
        now: when the plan was made, minutes since midnight of the first day.
    """
    item = scenario.items[batch.item]
    step = item.step_called(batch.step)
    assert step is not None
    used = {station.equipment for station in plan.stations if station.name in {seat.station for seat in batch.seats}}
    need = next(iter(needs_on(scenario, batch, used)), None)
    planned, shortest, longest = (
        batch_time(step, need, batch.size, item, batch.item, (), ends)
        for ends in (plan.durations, "shortest", "longest")
    )
    # Somebody has told when it is expected to end, and the range moves with that; unless it should have ended by now.
    moved = 0 if batch.end <= now else batch.end - batch.start - planned.minutes
    return _times(shortest.minutes, longest, moved)


def _times(shortest: int, longest: BatchTime, moved: int) -> Times:
    """The times of a batch whose range is moved by some minutes."""
    length = {"load": 0, "unload": 0} | {part.doing: part.length for part in longest.parts}
    load, unload = length["load"], length["unload"]
    parts = [(part.offset, part.length) for part in longest.parts if part.doing == "hands-on"]
    takes = longest.minutes - load - unload
    all_hands = any(of == takes for _, of in parts)
    first = max((of for offset, of in parts if offset == load), default=0)
    last = max((of for offset, of in parts if offset + of == load + takes), default=0)
    return Times(shortest - load - unload + moved, takes + moved, load, unload, first, last, all_hands)


def _way(network: Network, task: int, batch: Batch) -> tuple[Mode, ModeUses]:
    """The mode in which the plan does a batch."""
    meaning = network.tasks[task]
    assert isinstance(meaning, BatchTask)
    for mode, uses in zip(network.problem.tasks[task].modes, meaning.modes, strict=True):
        seats = [(use, one) for use, one in zip(mode.uses, uses, strict=True) if isinstance(one, SeatUse)]
        if len(seats) == len(batch.seats) and all(
            any(seat.station in network.resources[index].names for index in use.resources)
            and seat.amount == one.amount
            and (seat.celsius, seat.setting)
            == ((None, "") if one.setting is None else (float(one.setting.celsius), one.setting.mode))
            for (use, one), seat in zip(seats, batch.seats, strict=True)
        ):
            return mode, uses
    raise FollowingError(f"{batch.label} {batch.step} is planned where this step cannot be done; make the plan anew")
