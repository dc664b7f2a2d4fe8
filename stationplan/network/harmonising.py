"""Making steps that are joined by a short most wait run in equally many batches.

Cream whipped in one bowl and piped in six batches within five minutes cannot be one
batch of whipping: whoever pipes is still at the third when the cream has set.
"""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from stationplan.network.flow import stands_until_taken, total_most

if TYPE_CHECKING:
    from collections.abc import Mapping

    from stationplan.network.production import Production

Numbers = dict[str, dict[int, int]]


def harmonised(made: Mapping[str, Production]) -> Numbers:
    """Numbers of batches that have to rise, by item and position of the step.

    Args:
        made: all items made, with the batches they have now.

    Returns:
        Empty when the batches of every pair of joined steps can be worked off in time.
    """
    made = {name: production for name, production in made.items() if production.made}
    finer: Numbers = {name: {} for name in made}
    for name, production in made.items():
        for link in production.recipe.flow.links:
            most = total_most(link.stands)
            if most is not None:
                _join(made, (name, link.before), [(name, link.after)], most, finer)
        users = []
        mosts = []
        for user, other in made.items():
            for taking in other.recipe.flow.takings:
                if taking.component == name:
                    most = total_most(stands_until_taken(production.recipe.flow, taking))
                    if most is not None:
                        users.append((user, taking.entry))
                        mosts.append(most)
        if users:
            _join(made, (name, production.recipe.flow.outlet), users, min(mosts), finer)
    return {name: numbers for name, numbers in finer.items() if numbers}


def _join(
    made: Mapping[str, Production], before: tuple[str, int], after: list[tuple[str, int]], most: int, finer: Numbers
) -> None:
    """Raise the coarser side when a batch of it cannot be worked off within ``most`` minutes by one machine."""
    supply = _number(made, before)
    demand = sum(_number(made, step) for step in after)
    if supply < demand:
        minutes = max(_minutes(made, step) for step in after)
        if ceil(demand / supply) * minutes > most + minutes:
            _raise(made, before, demand, finer)
    elif demand < supply:
        minutes = _minutes(made, before)
        if ceil(supply / demand) * minutes > most + minutes:
            for step in after:
                _raise(made, step, ceil(supply * _number(made, step) / demand), finer)


def _number(made: Mapping[str, Production], step: tuple[str, int]) -> int:
    name, index = step
    return len(made[name].batches[index])


def _minutes(made: Mapping[str, Production], step: tuple[str, int]) -> int:
    """Minutes of the largest batch of a step."""
    name, index = step
    production = made[name]
    return production.recipe.shortest_minutes(production.recipe.flow.entries[index], production.batches[index][0].size)


def _raise(made: Mapping[str, Production], step: tuple[str, int], number: int, finer: Numbers) -> None:
    """Note that a step needs that many batches; there cannot be more than base units made."""
    name, index = step
    number = min(number, ceil(made[name].made))
    if number > _number(made, step):
        finer[name][index] = max(number, finer[name].get(index, 1))
