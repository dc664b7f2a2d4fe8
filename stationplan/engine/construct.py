"""A first schedule, built group by group: tightly linked tasks are placed together, best among those already placed."""

from __future__ import annotations

from collections import defaultdict

import networkx as nx
from ortools.sat.python import cp_model

from stationplan.engine.limits import Limits
from stationplan.engine.model import Model
from stationplan.engine.problem import Assignment, Hold, Link, Problem, Schedule
from stationplan.engine.solver import Settings, run
from stationplan.engine.variables import Values
from stationplan.engine.windows import Windows

# A group may not outgrow what a model places at once without a noticeable wait.
LARGEST_GROUP = 40
# Waits that may be drawn out by more than this share of the horizon do not tie two tasks together.
LOOSE = 0.15
EFFORT_PER_GROUP = 0.2
EFFORT_PER_REPAIR = 2.0


def construct(problem: Problem, windows: Windows, limits: Limits, settings: Settings) -> Schedule | None:
    """Place the groups one by one, the most urgent first; where one does not fit, its neighbours are placed anew.

    Args:
        problem: the problem.
        windows: its windows.
        limits: the budget of the solve.
        settings: seed and workers.

    Returns:
        A schedule, not yet verified, or None when a group could not be placed.
    """
    tasks: dict[int, Assignment] = {}
    holds: dict[int, int] = {}
    groups = _groups_in_order(problem, windows)
    group_of = {task: number for number, group in enumerate(groups) for task in group}
    neighbours = _neighbours(problem, group_of)
    single = Settings(settings.seed, 1)
    for number, group in enumerate(groups):
        if limits.used_up():
            return None
        values = _place(problem, windows, group, Values(tasks, holds), limits, single, EFFORT_PER_GROUP)
        if values is None:
            beside = {other for other in neighbours[number] if other < number} | {number}
            beside |= {other for near in sorted(beside) for other in neighbours[near] if other < number}
            again = [task for other in sorted(beside) for task in groups[other]]
            kept = {task: place for task, place in tasks.items() if task not in set(again)}
            values = _place(problem, windows, again, Values(kept, holds), limits, single, EFFORT_PER_REPAIR)
        if values is None:
            return None
        tasks, holds = dict(values.tasks), dict(values.holds)
    return Schedule(
        tuple(tasks[task] for task in range(len(problem.tasks))), tuple(holds[h] for h in range(len(problem.holds)))
    )


def _place(
    problem: Problem,
    windows: Windows,
    group: list[int],
    around: Values,
    limits: Limits,
    settings: Settings,
    effort: float,
) -> Values | None:
    model = Model(problem, windows, group, around.tasks, around.holds)
    ends = [model.variables.end[task] for task in group]
    last = model.proto.new_int_var(0, windows.horizon, "last")
    model.proto.add_max_equality(last, ends)
    starts = [model.variables.start[task] for task in group]
    cost = [last, *starts, 1000 * model.objectives.lateness]
    model.proto.minimize(cp_model.LinearExpr.weighted_sum(cost, [len(group), *(1 for _ in starts), len(group)]))
    answer = run(model.proto, limits, settings, effort=effort)
    return model.read(answer) if answer.found else None


def _groups_in_order(problem: Problem, windows: Windows) -> list[list[int]]:
    """Tasks grouped by tight most-lags: what comes before goes first, then the urgent before the rest."""
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
    urgency = _urgency(problem, windows)
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(find(task) for task in range(len(group)))
    graph.add_edges_from(
        (find(before), find(after))
        for before, after, weight in windows.arcs
        if weight >= 0 and find(before) != find(after)
    )
    merged = nx.condensation(graph)
    members: dict[int, list[int]] = defaultdict(list)
    for task in range(len(group)):
        members[merged.graph["mapping"][find(task)]].append(task)
    order = nx.lexicographical_topological_sort(
        merged, key=lambda node: (min(urgency[task] for task in members[node]), members[node][0])
    )
    return [members[node] for node in order]


def _urgency(problem: Problem, windows: Windows) -> list[int]:
    """The latest start of each task for its deliveries to be in time, were there no resources."""
    latest = [windows.latest[task] for task in range(len(problem.tasks))]
    for delivery in problem.deliveries:
        for task in delivery.tasks:
            shortest = min(mode.duration for mode in problem.tasks[task].modes)
            latest[task] = min(latest[task], delivery.due - shortest)
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(len(latest)))
    graph.add_weighted_edges_from(arc for arc in windows.arcs if arc[2] > 0)
    if nx.is_directed_acyclic_graph(graph):
        for task in reversed(list(nx.topological_sort(graph))):
            for after, data in graph.adj[task].items():
                latest[task] = min(latest[task], latest[after] - data["weight"])
    return latest


def _neighbours(problem: Problem, group_of: dict[int, int]) -> dict[int, set[int]]:
    near: dict[int, set[int]] = defaultdict(set)
    relations: tuple[Link | Hold, ...] = (*problem.links, *problem.holds)
    for relation in relations:
        one, other = group_of[relation.before], group_of[relation.after]
        if one != other:
            near[one].add(other)
            near[other].add(one)
    return near
