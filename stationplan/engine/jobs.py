"""Jobs: parts of a problem that nothing but resources ties together, those that are alike gathered in kinds."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

import networkx as nx

from stationplan.engine.problem import Problem
from stationplan.engine.windows import Arc, Windows


@dataclass(frozen=True, slots=True)
class JobKind:
    """Jobs that are alike, what is said of one being true of all.

    Attributes:
        jobs: the tasks of each, the same position for the same task.
        arcs: implied ``start[v] >= start[u] + weight`` between positions.
        holds: (position before, position after, number of the hold in the first job).
    """

    jobs: tuple[tuple[int, ...], ...]
    arcs: tuple[Arc, ...]
    holds: tuple[tuple[int, int, int], ...]


def kinds_of_jobs(problem: Problem, windows: Windows) -> list[JobKind]:
    """The jobs of a problem, in the order of their first tasks.

    Args:
        problem: the problem, its series not put in order, for that would tie all their batches together.
        windows: its windows.
    """
    graph: nx.Graph[int] = nx.Graph()
    graph.add_nodes_from(range(len(problem.tasks)))
    graph.add_edges_from((before, after) for before, after, _ in windows.arcs)
    jobs = sorted(tuple(sorted(job)) for job in nx.connected_components(graph))
    job_of = {task: number for number, job in enumerate(jobs) for task in job}
    place = {task: position for job in jobs for position, task in enumerate(job)}
    arcs: dict[int, list[Arc]] = defaultdict(list)
    for before, after, weight in windows.arcs:
        arcs[job_of[before]].append((place[before], place[after], weight))
    holds: dict[int, list[int]] = defaultdict(list)
    for index, hold in enumerate(problem.holds):
        holds[job_of[hold.before]].append(index)
    kinds: dict[object, list[int]] = defaultdict(list)
    for number, job in enumerate(jobs):
        kept = [problem.holds[index] for index in holds[number]]
        alike = (
            tuple(replace(problem.tasks[task], name="") for task in job),
            tuple(sorted(arcs[number])),
            tuple((place[hold.before], place[hold.after], hold.resources, hold.amount) for hold in kept),
        )
        kinds[alike].append(number)
    return [
        JobKind(
            tuple(jobs[number] for number in numbers),
            tuple(sorted(arcs[numbers[0]])),
            tuple(
                (place[problem.holds[index].before], place[problem.holds[index].after], index)
                for index in holds[numbers[0]]
            ),
        )
        for numbers in kinds.values()
    ]
