"""Other orders in which to place groups of tasks: the best one shaken, or whole kinds of work moved in it.

Batches of one kind of work are alike, and where they go as a whole decides more than
where each one goes: all short bakes beside the long ones of the same temperature, say,
or one product's work all before another's. No exchange of single batches finds that.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Sequence
from enum import Enum
from itertools import chain

from stationplan.engine.groups import Groups
from stationplan.engine.problem import Problem
from stationplan.engine.windows import Windows

# How far a shake moves a group, and a shift a kind of work, as shares of the makespan.
SHAKES, SHIFT = (0.003, 0.01, 0.03, 0.1), 0.3
# Chances of a move at least, what is kept of them from try to try, and what an improvement adds.
LEAST_WEIGHT, KEPT, ADDED = 0.3, 0.9, 1.5

Kind = list[list[int]]
"""Groups of tasks that are alike."""


class Move(Enum):
    """A way to another order."""

    SHAKE = "every group is moved a little"
    SHIFT = "some kinds of work come earlier or later"
    SPREAD = "some kinds of work are spread evenly between two moments"
    STRETCH = "some kinds of work are moved, and take a longer or shorter time from first to last"
    EXCHANGE = "two kinds of work change places"


class Reordering:
    """Draws other orders, more often by moves that have brought something.

    Args:
        problem: the problem.
        windows: its windows.
        groups: its groups.
        seed: of the draws.
    """

    def __init__(self, problem: Problem, windows: Windows, groups: Groups, seed: int) -> None:
        self._draw = random.Random(seed)
        self._kinds = _kinds_of_work(problem, windows, groups)
        moves = Move if len(self._kinds) > 1 else (Move.SHAKE,)
        self._weights = dict.fromkeys(moves, 1.0)

    def next(self, starts: Sequence[int], makespan: int) -> tuple[Move, list[float]]:
        """Another order.

        Args:
            starts: the starts of all tasks in the best schedule.
            makespan: its makespan.

        Returns:
            The move that made it, and a key for each task by which to order.
        """
        move = self._draw.choices(list(self._weights), list(self._weights.values()))[0]
        if move is Move.SHAKE:
            width = self._draw.choice(SHAKES) * makespan
            return move, [start + self._draw.gauss(0, width) for start in starts]
        key = [float(start) for start in starts]
        if move is Move.EXCHANGE:
            one, other = self._draw.sample(self._kinds, 2)
            spans = [_span(kind, starts) for kind in (one, other)]
            for kind, span in zip((other, one), spans, strict=True):
                _spread(kind, span, starts, key)
            return move, key
        shift = self._draw.gauss(0, SHIFT * makespan)
        for kind in self._draw.sample(self._kinds, self._draw.choice((1, 1, 2))):
            if move is Move.SPREAD:
                first, last = sorted((self._draw.uniform(0, makespan), self._draw.uniform(0, makespan)))
                _spread(kind, (first, last), starts, key)
            elif move is Move.STRETCH:
                first, last = (moment + shift for moment in _span(kind, starts))
                _spread(kind, (first, max(first, last + self._draw.gauss(0, SHIFT * makespan))), starts, key)
            else:
                for task in chain.from_iterable(kind):
                    key[task] += shift
        return move, key

    def learn(self, move: Move, *, better: bool) -> None:
        """Heed whether an order has led to a better schedule."""
        self._weights[move] = max(LEAST_WEIGHT, KEPT * self._weights[move] + (ADDED if better else 0.0))


def _kinds_of_work(problem: Problem, windows: Windows, groups: Groups) -> list[Kind]:
    """Groups that are alike, where there are several: done in the same ways, and as far from the end."""
    kinds: dict[tuple[object, ...], Kind] = defaultdict(list)
    for tasks in groups.members.values():
        kinds[tuple((problem.tasks[task].modes, windows.tail[task]) for task in tasks)].append(tasks)
    return [kind for kind in kinds.values() if len(kind) > 1]


def _span(kind: Kind, starts: Sequence[int]) -> tuple[float, float]:
    """The first starts of the first and of the last group of a kind."""
    firsts = [min(starts[task] for task in group) for group in kind]
    return min(firsts), max(firsts)


def _spread(kind: Kind, span: tuple[float, float], starts: Sequence[int], key: list[float]) -> None:
    """Spread the groups of a kind evenly over a span, in the order of their starts."""
    first, last = span
    step = (last - first) / (len(kind) - 1)
    for position, group in enumerate(sorted(kind, key=lambda group: min(starts[task] for task in group))):
        for task in group:
            key[task] = first + position * step
