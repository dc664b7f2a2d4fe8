"""Steps joined by a short most are done in batches that can be worked off in time.

What one batch of a step gives is worked off by the other step batch after batch, on one
machine. Where the last of them would begin too late, the side with fewer batches is
done in as many as the other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from stationplan.plan.check.numbers import Batching
from stationplan.plan.check.recipe import Stage, StageKey, link_to_user


@dataclass(frozen=True)
class Load:
    """What is made of an item and the batches that its stages have now."""

    batching: Batching
    made: Fraction
    numbers: tuple[int, ...]


@dataclass(frozen=True)
class Joint:
    """A stage, those that go on with what it gives, and the most minutes in between."""

    before: Stage
    after: tuple[Stage, ...]
    most: int


def finer_numbers(loads: Mapping[str, Load]) -> dict[StageKey, int]:
    """Find the stages that need more batches than they have.

    Args:
        loads: every item that is made.

    Returns:
        The larger number of each such stage, empty when all can be worked off in time.
    """
    finer: dict[StageKey, int] = {}
    for joint in _joints(loads):
        for stage, number in _raised(loads, joint):
            # There are never more batches than units.
            number = min(number, math.ceil(loads[stage.item].made))
            if number > _number(loads, stage):
                finer[stage.key] = max(number, finer.get(stage.key, 1))
    return finer


def _joints(loads: Mapping[str, Load]) -> Iterator[Joint]:
    for name, load in loads.items():
        recipe = load.batching.recipe
        for link in recipe.links:
            if link.after is not None and link.most_gap is not None:
                yield Joint(link.before, (link.after,), link.most_gap)
        # All that must take up a component in time count together, with the shortest most among them.
        users, mosts = [], []
        for other in loads.values():
            for taken in other.batching.recipe.takes_up:
                most = link_to_user(recipe, taken).most_gap if taken.component == name else None
                if most is not None:
                    users.append(taken.stage)
                    mosts.append(most)
        if users:
            yield Joint(recipe.last, tuple(users), min(mosts))


def _raised(loads: Mapping[str, Load], joint: Joint) -> Iterator[tuple[Stage, int]]:
    given = _number(loads, joint.before)
    taken = sum(_number(loads, stage) for stage in joint.after)
    if taken > given and _too_long(loads, joint.after, math.ceil(Fraction(taken, given)), joint.most):
        yield joint.before, taken
    elif given > taken and _too_long(loads, (joint.before,), math.ceil(Fraction(given, taken)), joint.most):
        for stage in joint.after:
            yield stage, math.ceil(Fraction(given * _number(loads, stage), taken))


def _too_long(loads: Mapping[str, Load], stages: Sequence[Stage], batches: int, most: int) -> bool:
    """Whether so many batches, one after the other, put the last one's start beyond the most."""
    minutes = max(_minutes(loads, stage) for stage in stages)
    return (batches - 1) * minutes > most


def _number(loads: Mapping[str, Load], stage: Stage) -> int:
    return loads[stage.item].numbers[stage.index]


def _minutes(loads: Mapping[str, Load], stage: Stage) -> int:
    load = loads[stage.item]
    size = load.batching.largest_batch(load.made, load.numbers[stage.index])
    return load.batching.minutes(stage.index, size)
