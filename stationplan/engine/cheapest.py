"""The cheapest starts of tasks that lags tie together, where each start has its price.

A minimum cut finds them (Möhring, Schulz, Stork and Uetz, "Solving project scheduling problems by minimum cut
computations", Management Science 49, 2003): a row of nodes for each task, one for each minute, is cut where the
task starts, and edges that no cut can pay for keep the lags.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from ortools.graph.python import max_flow

from stationplan.engine.errors import ModelError
from stationplan.engine.windows import Arc

Whole = NDArray[np.int64]


def cheapest_starts(first: Sequence[int], costs: Sequence[Whole], arcs: Sequence[Arc]) -> tuple[int, list[int]] | None:
    """The starts with the least cost in all.

    Args:
        first: the earliest start of each task.
        costs: for each task its cost, 0 or more, at its earliest start and at each minute after it, as long as
            it may start; below 0 where it may not.
        arcs: ``start[v] >= start[u] + weight`` between positions.

    Returns:
        The cost and the starts, None where no starts keep all lags.

    Raises:
        ModelError: when the costs are too large for the library that cuts.
    """
    last = [begin + len(cost) - 1 for begin, cost in zip(first, costs, strict=True)]
    if any(end < begin for begin, end in zip(first, last, strict=True)):
        return None
    dear = sum(max(0, int(cost.max())) for cost in costs) + 1
    offsets = np.cumsum([0, *(end - begin for begin, end in zip(first, last, strict=True))])
    source, sink = int(offsets[-1]), int(offsets[-1]) + 1

    def node(task: int, minutes: Whole) -> Whole:
        """The nodes that are on the side of the source where the task starts in that minute or later."""
        inner = offsets[task] + minutes - first[task] - 1
        return np.where(minutes <= first[task], source, np.where(minutes > last[task], sink, inner))

    tails, heads, capacities = [], [], []
    for task, cost in enumerate(costs):
        minutes = np.arange(first[task], last[task] + 1)
        tails += [node(task, minutes), node(task, minutes[1:])]
        heads += [node(task, minutes + 1), node(task, minutes[1:] - 1)]
        capacities += [np.where(cost < 0, dear, cost), np.full(len(minutes) - 1, dear)]
    for before, after, weight in arcs:
        minutes = np.arange(first[before], last[before] + 1)
        tails.append(node(before, minutes))
        heads.append(node(after, minutes + weight))
        capacities.append(np.full(len(minutes), dear))
    flow = max_flow.SimpleMaxFlow()
    flow.add_arcs_with_capacity(np.concatenate(tails), np.concatenate(heads), np.concatenate(capacities))
    if flow.solve(source, sink) != flow.OPTIMAL:
        raise ModelError("a minimum cut was not found")
    if flow.optimal_flow() >= dear:
        return None
    before_cut = np.zeros(sink + 1, dtype=np.int64)
    before_cut[flow.get_source_side_min_cut()] = 1
    starts = [begin + int(before_cut[offsets[task] : offsets[task + 1]].sum()) for task, begin in enumerate(first)]
    return flow.optimal_flow(), starts
