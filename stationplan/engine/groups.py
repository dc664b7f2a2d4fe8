"""Groups of tasks that are placed together, and the orders in which to place them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import networkx as nx

from stationplan.engine.problem import Problem
from stationplan.engine.windows import Windows

# A group may not outgrow what can be placed at once without much trying.
LARGEST_GROUP = 40
# Waits that may be drawn out by more than this share of the horizon do not tie two tasks together.
LOOSE = 0.15


@dataclass(frozen=True, slots=True)
class Group:
    """Tasks to place together, what comes before first; ``after`` are the numbers of the groups that come before it."""

    number: int
    tasks: list[int]
    after: tuple[int, ...]


class Groups:
    """Tasks tied together by tight most-lags, in the precedence that least lags give.

    Args:
        problem: the problem.
        windows: its windows.
    """

    def __init__(self, problem: Problem, windows: Windows) -> None:
        leader = _tied(problem, windows)
        graph: nx.DiGraph[int] = nx.DiGraph()
        graph.add_nodes_from(leader)
        graph.add_edges_from(
            (leader[before], leader[after])
            for before, after, weight in windows.arcs
            if weight >= 0 and leader[before] != leader[after]
        )
        merged = nx.condensation(graph)
        members: dict[int, list[int]] = defaultdict(list)
        for task, first in enumerate(leader):
            members[merged.graph["mapping"][first]].append(task)
        self._precedence = merged
        self.urgency = _urgency(problem, windows)
        self.tail = [windows.earliest[task] - windows.tail[task] for task in range(len(leader))]
        inner: dict[int, list[tuple[int, int]]] = defaultdict(list)
        for before, after, weight in windows.arcs:
            node = merged.graph["mapping"][leader[before]]
            if weight >= 0 and before != after and node == merged.graph["mapping"][leader[after]]:
                inner[node].append((before, after))
        self.members = {
            node: _inner_order(windows, tasks, inner[node], self.urgency) for node, tasks in members.items()
        }

    def ordered(self, key: Sequence[float]) -> list[Group]:
        """The groups, what comes before first, and among those free to come next the one with the least key.

        Args:
            key: for each task; a group has the least key of its tasks.
        """
        least = {node: (min(key[task] for task in tasks), tasks[0]) for node, tasks in self.members.items()}
        order = nx.lexicographical_topological_sort(self._precedence, key=least.__getitem__)
        return [Group(node, self.members[node], tuple(self._precedence.predecessors(node))) for node in order]


def _tied(problem: Problem, windows: Windows) -> list[int]:
    """For each task one task that stands for its group."""
    group = list(range(len(problem.tasks)))
    size = [1] * len(group)

    def find(task: int) -> int:
        while group[task] != task:
            group[task] = group[group[task]]
            task = group[task]
        return task

    bindings = [
        (link.most - (link.least or 0), link.before, link.after)
        for link in problem.links
        if link.most is not None and link.most - (link.least or 0) <= LOOSE * windows.horizon
    ]
    for _, before, after in sorted(bindings):
        one, other = find(before), find(after)
        if one != other and size[one] + size[other] <= LARGEST_GROUP:
            group[other] = one
            size[one] += size[other]
    return [find(task) for task in range(len(group))]


def _inner_order(windows: Windows, tasks: list[int], arcs: list[tuple[int, int]], urgency: Sequence[int]) -> list[int]:
    """The tasks of a group, what comes before first."""
    if len(tasks) == 1:
        return tasks
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(tasks)
    graph.add_edges_from(arcs)
    if nx.is_directed_acyclic_graph(graph):
        return list(nx.lexicographical_topological_sort(graph, key=lambda task: (urgency[task], task)))
    return sorted(tasks, key=lambda task: (windows.earliest[task], task))


def _urgency(problem: Problem, windows: Windows) -> list[int]:
    """The latest start of each task for its deliveries to be in time, were there no resources."""
    latest = [windows.latest[task] for task in range(len(problem.tasks))]
    for delivery in problem.deliveries:
        for task in delivery.tasks:
            shortest = min(mode.duration for mode in problem.tasks[task].modes)
            latest[task] = min(latest[task], delivery.due - shortest)
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(len(latest)))
    graph.add_weighted_edges_from(arc for arc in windows.arcs if arc[2] >= 0 and arc[0] != arc[1])
    if nx.is_directed_acyclic_graph(graph):
        for task in reversed(list(nx.topological_sort(graph))):
            for after, data in graph.adj[task].items():
                latest[task] = min(latest[task], latest[after] - data["weight"])
    return latest
