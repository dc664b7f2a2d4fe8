"""Whether all jobs can flow through the resources within a makespan: a bound, and orders to build schedules in.

Only prices hold the jobs to the room there is: a minute of a resource costs what it is sought after, and each job
takes the starts that are cheapest for it alone. If even so all jobs together pay more than everything on offer is
worth, no schedule is that short (Lagrangian relaxation). The prices are found by column generation (Dantzig and
Wolfe, "Decomposition principle for linear programs", Operations Research 8, 1960), held back towards the best ones
so far (Wentges, "Weighted Dantzig-Wolfe decomposition for linear mixed-integer programming", International
Transactions in Operational Research 4, 1997). Where the jobs fit, the mixture of their starts says how many of each
kind are to be at which stage when. Such a flow is nearly optimal where many jobs are alike (Bertsimas and
Sethuraman, "From fluid relaxations to practical algorithms for job shop scheduling: the makespan objective",
Mathematical Programming 92, 2002).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate

import numpy as np

from stationplan.engine.cheapest import Whole, cheapest_starts
from stationplan.engine.jobs import JobKind, kinds_of_jobs
from stationplan.engine.limits import Limits
from stationplan.engine.mixture import Mixture
from stationplan.engine.problem import Problem
from stationplan.engine.result import Conflict
from stationplan.engine.tariff import Tariff
from stationplan.engine.windows import Windows, clip, find_windows

# Prices are the same for a stretch of time: so many even ones, and more where heads end and tails begin, of which
# none is shorter than this share of the makespan.
STRETCHES, SHORTEST = 24, 1 / 150
MOST_ROUNDS, CLOSE = 40, 0.001
# The first columns of a kind are its earliest starts, and the same later in so many steps.
FIRST_COLUMNS = 40
# The prices asked about are this near to those of the linear program, and the rest of the way to the best so far.
TOWARDS_NEW = 0.5
# All that is on offer is worth about this, in whole numbers, so that no rounding decides.
WORTH = 10**12
EFFORT_PER_NODE = 5e-7
# With fewer tasks, or fewer jobs of a kind, there is nothing to gain from what they have in common.
FEWEST_TASKS, FEWEST_ALIKE = 200, 2
# Makespans are told apart to this share.
PRECISION = 0.003


@dataclass(frozen=True, slots=True)
class Outcome:
    """What is known of a makespan: that it is too short, or a key for each task by which to order; or nothing."""

    too_short: bool = False
    key: tuple[float, ...] | None = None


@dataclass(frozen=True, slots=True)
class _Column:
    """Starts and modes of all tasks of a job of a kind."""

    kind: int
    starts: tuple[int, ...]
    modes: tuple[int, ...]


def orders_of_flow(
    problem: Problem, lower: int, upper: int, limits: Limits, share: float
) -> Iterator[tuple[int, tuple[float, ...] | None]]:
    """Search for the shortest makespan that the jobs seem to fit into, if many of them are alike.

    Args:
        problem: the problem, its series not put in order.
        lower: a lower bound on the makespan.
        upper: a makespan that is possible.
        limits: the budget of the solve.
        share: the share of it after which to stop.

    Yields:
        A lower bound on the makespan, and perhaps a key for each task by which to order.
    """
    windows = find_windows(problem)
    if isinstance(windows, Conflict) or len(problem.tasks) < FEWEST_TASKS:
        return
    kinds = kinds_of_jobs(problem, windows)
    if sum(len(kind.jobs) for kind in kinds) < FEWEST_ALIKE * len(kinds):
        return
    flow, proved = Flow(problem, windows, kinds, lower), lower
    while upper - lower > PRECISION * upper and not limits.used_up(share):
        makespan = (lower + upper) // 2
        outcome = flow.within(makespan, limits, share)
        if outcome.key:
            upper = makespan
        else:
            lower = makespan + 1
        if outcome.too_short:
            proved = lower
        yield proved, outcome.key


class Flow:
    """Answers whether the jobs fit into a makespan, as far as prices can tell.

    Args:
        problem: the problem, its series not put in order.
        windows: its windows.
        kinds: its jobs.
        makespan: about what will be asked for.
    """

    def __init__(self, problem: Problem, windows: Windows, kinds: list[JobKind], makespan: int) -> None:
        self._problem = problem
        self._windows = windows
        self._kinds = kinds
        self._tariff = Tariff(problem, windows, kinds, makespan)
        self._found: list[_Column] = []

    def within(self, makespan: int, limits: Limits, share: float) -> Outcome:
        """Find out what can be said of a makespan.

        Args:
            makespan: minutes.
            limits: the budget of the solve.
            share: the share of it after which to stop.
        """
        windows = [self._starts(task, makespan) for kind in self._kinds for task in kind.jobs[0]]
        if any(last < first for first, last in windows):
            return Outcome(too_short=True)
        if not self._tariff.rows:
            return Outcome()
        offered = self._tariff.offered(makespan)
        edges = self._edges(makespan)
        mixture = Mixture(
            np.add.reduceat(offered, edges[:-1], axis=1).astype(np.float64),
            self._tariff.alternatives,
            [len(kind.jobs) for kind in self._kinds],
        )
        known = self._earliest(makespan) + [column for column in self._found if self._fits(column, makespan)]
        columns = known.copy()
        best, best_prices = 0.0, mixture.prices
        stretch = np.repeat(np.arange(len(edges) - 1), np.diff(edges))
        for _ in range(MOST_ROUNDS):
            for column in columns:
                mixture.add(column.kind, self._taken(column, edges, stretch))
            if limits.used_up(share) or not mixture.solve():
                return Outcome()
            if mixture.fullest <= 1 or mixture.fullest - best < CLOSE:
                return Outcome(key=self._key(known, mixture.weights()))
            prices = mixture.prices if not best else best_prices + TOWARDS_NEW * (mixture.prices - best_prices)
            whole = np.round(prices * WORTH).astype(np.int64)[:, stretch]
            worth = self._tariff.worth(whole, offered)
            limits.spend(EFFORT_PER_NODE * makespan * sum(len(kind.jobs[0]) for kind in self._kinds))
            cheapest = self._cheapest(whole, makespan)
            if cheapest is None or cheapest[0] > worth:
                return Outcome(too_short=True)
            paid, columns = cheapest
            known += columns
            self._found += columns
            if paid > best * worth:
                best, best_prices = paid / worth, prices * (WORTH / worth)
        return Outcome()

    def _edges(self, makespan: int) -> list[int]:
        """The moments at which prices may change, from 0 to the makespan."""
        moments = {makespan * number // STRETCHES for number in range(STRETCHES)}
        for entry in self._tariff.sets:
            for item in entry.work:
                moments |= {item.head, makespan - item.tail}
        edges = [0]
        for moment in sorted(moments):
            if edges[-1] + max(1, SHORTEST * makespan) <= moment < makespan:
                edges.append(moment)
        return [*edges, makespan]

    def _starts(self, task: int, makespan: int) -> tuple[int, int]:
        windows = self._windows
        return windows.earliest[task], min(windows.latest[task], makespan - windows.tail[task])

    def _fits(self, column: _Column, makespan: int) -> bool:
        tasks = self._kinds[column.kind].jobs[0]
        return all(
            start <= self._starts(task, makespan)[1]
            and start + self._problem.tasks[task].modes[mode].duration <= makespan
            for task, start, mode in zip(tasks, column.starts, column.modes, strict=True)
        )

    def _earliest(self, makespan: int) -> list[_Column]:
        """Columns to begin with: all tasks as early as they go were there no resources, and the same later."""
        columns = []
        for number, kind in enumerate(self._kinds):
            starts = [self._starts(task, makespan) for task in kind.jobs[0]]
            slack = min(last - first for first, last in starts)
            for delay in sorted({slack * step // FIRST_COLUMNS for step in range(FIRST_COLUMNS + 1)}):
                later = tuple(first + delay for first, _ in starts)
                modes = [self._mode_at(task, start, makespan) for task, start in zip(kind.jobs[0], later, strict=True)]
                if all(mode is not None for mode in modes):
                    columns.append(_Column(number, later, tuple(mode or 0 for mode in modes)))
        return columns

    def _mode_at(self, task: int, start: int, makespan: int) -> int | None:
        """The first mode in which a task may start then, as far as calendars say, and end in time."""
        for number, mode in enumerate(self._problem.tasks[task].modes):
            if clip(self._windows.allowed[task][number], start, min(start, makespan - mode.duration)):
                return number
        return None

    def _taken(self, column: _Column, edges: list[int], stretch: Whole) -> dict[tuple[int, int], int]:
        """The room-minutes that a column takes of each row in each stretch."""
        taken: dict[tuple[int, int], int] = defaultdict(int)
        for row, amount, begin, end in self._tariff.spans(column.kind, column.starts, column.modes):
            for part in range(stretch[begin], stretch[end - 1] + 1):
                taken[row, part] += amount * (min(end, edges[part + 1]) - max(begin, edges[part]))
        return taken

    def _cheapest(self, prices: Whole, makespan: int) -> tuple[int, list[_Column]] | None:
        """What all jobs pay at the least, and the columns of that; None where a job does not fit into the makespan."""
        until = np.pad(np.cumsum(prices, axis=1), ((0, 0), (1, 0)))
        total, columns = 0, []
        for number, kind in enumerate(self._kinds):
            options = [
                self._tariff.costs(number, position, self._starts(task, makespan), until, makespan)
                for position, task in enumerate(kind.jobs[0])
            ]
            found = cheapest_starts(
                [self._windows.earliest[task] for task in kind.jobs[0]],
                [costs for _, costs, _ in options],
                kind.arcs,
            )
            if found is None:
                return None
            paid, starts = found
            total += len(kind.jobs) * (paid + sum(least for least, _, _ in options))
            modes = [
                int(best[start - self._windows.earliest[task]])
                for task, start, (_, _, best) in zip(kind.jobs[0], starts, options, strict=True)
            ]
            columns.append(_Column(number, tuple(starts), tuple(modes)))
        return total, columns

    def _key(self, known: list[_Column], weights: list[float]) -> tuple[float, ...]:
        """For each task when the flow starts it: the tasks of alike jobs one after another, as the columns come."""
        key = [0.0] * len(self._problem.tasks)
        for number, kind in enumerate(self._kinds):
            mixed = [
                (weight, column.starts)
                for weight, column in zip(weights, known, strict=True)
                if column.kind == number and weight > 0
            ]
            for position in range(len(kind.jobs[0])):
                rising = sorted((starts[position], weight) for weight, starts in mixed)
                reached = list(accumulate(weight for _, weight in rising))
                for turn, job in enumerate(kind.jobs):
                    at = next((k for k, total in enumerate(reached) if total >= turn + 0.5), len(rising) - 1)
                    key[job[position]] = float(rising[at][0])
        return tuple(key)
