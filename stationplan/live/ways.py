"""How long each batch of a plan may take, at the place where the plan has it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.live.errors import FollowingError
from stationplan.network.network import BatchTask, HandUse, SeatUse

if TYPE_CHECKING:
    from stationplan.engine.problem import Mode
    from stationplan.network import Network
    from stationplan.network.network import ModeUses
    from stationplan.plan.document import Batch


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
    length = {"load": 0, "unload": 0}
    parts = []
    for use, meaning in zip(longest.uses, uses, strict=True):
        if isinstance(meaning, HandUse) and use.length is not None:
            if meaning.doing == "hands-on":
                parts.append((use.offset, use.length))
            else:
                length[meaning.doing] = use.length
    load, unload = length["load"], length["unload"]
    takes = longest.duration - load - unload
    all_hands = any(of == takes for _, of in parts)
    first = max((of for offset, of in parts if offset == load), default=0)
    last = max((of for offset, of in parts if offset + of == load + takes), default=0)
    # Should the plan give it more or less time than its range says, the range moves with it.
    moved = batch.end - batch.start - planned.duration - load - unload
    return Times(shortest.duration + moved, longest.duration + moved, load, unload, first, last, all_hands)


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
