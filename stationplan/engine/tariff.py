"""What has a price in a flow, and what a job must pay for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from stationplan.engine.bounds import Scaling, scalings_of
from stationplan.engine.cheapest import Whole
from stationplan.engine.jobs import JobKind
from stationplan.engine.problem import Pool, Problem
from stationplan.engine.windows import Windows, clip, use_length
from stationplan.engine.work import ResourceSet, resource_sets

# Resources whose work fills less than this share of the time are left out: they decide nothing.
LEAST_FILLED = 0.3


@dataclass(frozen=True, slots=True)
class Row:
    """What has a price: the room of some resources, for chambers in one state, as a scaling measures it."""

    entry: ResourceSet
    state: str | None
    scale: Scaling


@dataclass(frozen=True, slots=True)
class _Charge:
    """Room of a row that a task takes, from ``offset`` minutes after its start for ``length`` minutes."""

    row: int
    amount: int
    offset: int
    length: int


@dataclass(frozen=True, slots=True)
class _Stay:
    """Room of a row that a job takes from the end of one of its tasks to the start of another."""

    row: int
    amount: int
    before: int
    after: int


class Tariff:
    """The rows that have prices: the room of some resources, for chambers in each state, under each scaling.

    Whatever is in a chamber at a moment is in one state, so of the rows of different states only those of the
    dearest can be sold; those of one state, under each scaling, all can.

    Args:
        problem: the problem, its series not put in order.
        windows: its windows.
        kinds: its jobs.
        makespan: about what will be asked for.

    Attributes:
        sets: the resources that share work, with their work.
        rows: what has a price.
        alternatives: for each of the sets its rows, those of each state together.
    """

    def __init__(self, problem: Problem, windows: Windows, kinds: list[JobKind], makespan: int) -> None:
        self._problem = problem
        self._windows = windows
        self._kinds = kinds
        self.sets = [
            entry
            for entry in resource_sets(problem, windows)
            if sum(item.amount * item.length for item in entry.work) >= LEAST_FILLED * entry.capacity * makespan
        ]
        self.rows: list[Row] = []
        self.alternatives: list[list[list[int]]] = []
        for entry in self.sets:
            by_state: dict[str | None, list[int]] = defaultdict(list)
            for state in sorted({item.state for item in entry.work}, key=str):
                for scale in scalings_of(problem, entry):
                    by_state[state].append(len(self.rows))
                    self.rows.append(Row(entry, state, scale))
            self.alternatives.append(list(by_state.values()))
        self._charges = [[self._charges_of(task) for task in kind.jobs[0]] for kind in kinds]
        self._stays = [list(self._stays_of(kind)) for kind in kinds]

    def offered(self, makespan: int) -> Whole:
        """The room on offer for each row in each minute."""
        rooms = {entry.resources: self._room(entry, makespan) for entry in self.sets}
        return np.array([rooms[row.entry.resources] for row in self.rows])

    def worth(self, prices: Whole, offered: Whole) -> int:
        """What all that is on offer is worth: of each set of resources in each minute the dearest state."""
        return sum(
            int((np.max([prices[rows].sum(axis=0) for rows in states], axis=0) * offered[states[0][0]]).sum())
            for states in self.alternatives
        )

    def spans(self, kind: int, starts: Sequence[int], modes: Sequence[int]) -> Iterator[tuple[int, int, int, int]]:
        """Row, amount, begin and end of all that a job of a kind takes, given the starts and modes of its tasks."""
        for start, mode, of_task in zip(starts, modes, self._charges[kind], strict=True):
            for charge in of_task[mode]:
                begin = start + charge.offset
                yield charge.row, charge.amount, begin, begin + charge.length
        for stay in self._stays[kind]:
            task = self._kinds[kind].jobs[0][stay.before]
            end = starts[stay.before] + self._problem.tasks[task].modes[modes[stay.before]].duration
            if end < starts[stay.after]:
                yield stay.row, stay.amount, end, starts[stay.after]

    def costs(
        self, kind: int, position: int, window: tuple[int, int], until: Whole, makespan: int
    ) -> tuple[int, Whole, Whole]:
        """What a task of a job costs, in its cheapest mode, at each start.

        What a job keeps between two tasks it pays for with the second, and gets back with the first what
        has been before.

        Args:
            kind: the kind of job.
            position: of the task in it.
            window: the earliest and the latest start.
            until: the price of each row from 0 to each minute.
            makespan: minutes.

        Returns:
            The least cost; for each start how much more it costs, below 0 where the task may not start; the modes.
        """
        first, last = window
        task = self._kinds[kind].jobs[0][position]
        starts = np.arange(first, last + 1)
        dear = np.iinfo(np.int64).max
        of_modes = []
        for number, mode in enumerate(self._problem.tasks[task].modes):
            costs = np.zeros(len(starts), dtype=np.int64)
            for charge in self._charges[kind][position][number]:
                # Where this reaches beyond the makespan, the mode is not allowed.
                begin, end = (
                    np.minimum(starts + moment, makespan) for moment in (charge.offset, charge.offset + charge.length)
                )
                costs += charge.amount * (until[charge.row, end] - until[charge.row, begin])
            for stay in self._stays[kind]:
                if stay.after == position:
                    costs += stay.amount * until[stay.row, starts]
                if stay.before == position:
                    costs -= stay.amount * until[stay.row, np.minimum(starts + mode.duration, makespan)]
            allowed = np.zeros(len(starts), dtype=bool)
            for low, high in clip(self._windows.allowed[task][number], first, min(last, makespan - mode.duration)):
                allowed[low - first : high - first + 1] = True
            of_modes.append(np.where(allowed, costs, dear))
        best = np.argmin(of_modes, axis=0)
        costs = np.min(of_modes, axis=0)
        least = int(costs.min(initial=dear))
        return least, np.where(costs == dear, -1, costs - least), best

    def _charges_of(self, task: int) -> list[list[_Charge]]:
        """For each mode what it takes of the rows."""
        return [
            [
                _Charge(number, row.scale(use.amount), use.offset, use_length(mode, use))
                for use in mode.uses
                if use.amount and use_length(mode, use)
                for number, row in enumerate(self.rows)
                if row.state == use.state and set(use.resources) <= set(row.entry.resources)
            ]
            for mode in self._problem.tasks[task].modes
        ]

    def _stays_of(self, kind: JobKind) -> Iterator[_Stay]:
        for before, after, index in kind.holds:
            hold = self._problem.holds[index]
            for number, row in enumerate(self.rows):
                if row.state is None and set(hold.resources) <= set(row.entry.resources):
                    yield _Stay(number, row.scale(hold.amount), before, after)

    def _room(self, entry: ResourceSet, makespan: int) -> Whole:
        """The room on offer in each minute, what closures take away taken off."""
        total = np.zeros(makespan, dtype=np.int64)
        for index in entry.resources:
            resource = self._problem.resources[index]
            room = np.full(makespan, resource.capacity, dtype=np.int64)
            for closure in resource.closures:
                room[max(0, closure.start) : max(0, closure.end)] -= (
                    closure.amount if isinstance(resource, Pool) else resource.capacity
                )
            total += np.maximum(room, 0)
        return total
