"""The optimum of a small problem by a time-indexed integer program, solved by HiGHS through scipy.

One binary variable for each task, mode, choice of resources and start. Written from the definitions of the problem
only; it shares nothing with the engine or with the brute force search.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING

import numpy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from stationplan.engine.problem import Chamber, LinkKind, Pool, Problem, Use

if TYPE_CHECKING:
    from collections.abc import Iterator

Terms = dict[int, float]


@dataclass(frozen=True)
class Choice:
    """A variable: 1 when the task runs in this mode, on these resources, from this minute on."""

    column: int
    task: int
    mode: int
    start: int
    end: int
    taken: tuple[tuple[int, int, int, Use], ...]
    """(resource, from, to, use) for each use."""


@dataclass
class Rows:
    """Rows of a linear program, low <= sum(factor * column) <= high."""

    terms: list[Terms] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)

    def add(self, terms: Terms, low: float = -numpy.inf, high: float = numpy.inf) -> None:
        self.terms.append(terms)
        self.low.append(low)
        self.high.append(high)

    def constraint(self, columns: int) -> LinearConstraint:
        entries = [(row, column, value) for row, terms in enumerate(self.terms) for column, value in terms.items()]
        rows, cols, values = zip(*entries, strict=True)
        return LinearConstraint(
            csr_array((values, (rows, cols)), shape=(len(self.terms), columns)), self.low, self.high
        )


def lateness_and_makespan(problem: Problem) -> tuple[int, int] | None:
    """The least lateness and, with that, the least makespan; None when there is no schedule.

    Args:
        problem: a small problem with a horizon, no task of which is linked or held to itself.
    """
    program = _Program(problem)
    if not all(program.of_task):
        return None
    lateness = program.minimise(program.lateness)
    if lateness is None:
        return None
    program.rows.add(program.lateness, high=lateness)
    makespan = program.minimise({program.makespan: 1})
    assert makespan is not None
    return lateness, makespan


def _sum(*parts: tuple[float, Terms]) -> Terms:
    total: Terms = {}
    for factor, terms in parts:
        for column, value in terms.items():
            total[column] = total.get(column, 0) + factor * value
    return total


class _Program:
    def __init__(self, problem: Problem) -> None:
        assert problem.horizon is not None
        self.problem, self.horizon = problem, problem.horizon
        self.rows = Rows()
        self.upper: list[float] = []
        self.of_task: list[list[Choice]] = []
        for task in range(len(problem.tasks)):
            self.of_task.append(list(self._choices(task)))
            self.rows.add({choice.column: 1 for choice in self.of_task[-1]}, 1, 1)
        self.start = [{choice.column: float(choice.start) for choice in choices} for choices in self.of_task]
        self.end = [{choice.column: float(choice.end) for choice in choices} for choices in self.of_task]
        self.makespan = self._column(self.horizon)
        for end in self.end:
            self.rows.add(_sum((1, {self.makespan: 1}), (-1, end)), low=0)
        self._links()
        self._consumables()
        self.held = [self._hold(number) for number in range(len(problem.holds))]
        for resource in range(len(problem.resources)):
            self._capacity(resource)
        self._chambers()
        self.lateness = self._lateness()

    def minimise(self, objective: Terms) -> int | None:
        costs = numpy.zeros(len(self.upper))
        for column, value in objective.items():
            costs[column] = value
        answer = milp(
            costs,
            integrality=numpy.ones(len(self.upper)),
            bounds=Bounds(0, self.upper),
            constraints=self.rows.constraint(len(self.upper)),
            options={"mip_rel_gap": 0},
        )
        if answer.status == 2:
            return None
        assert answer.status == 0, answer.message
        return round(float(answer.fun))

    def _column(self, upper: float = 1) -> int:
        self.upper.append(upper)
        return len(self.upper) - 1

    def _choices(self, index: int) -> Iterator[Choice]:
        task = self.problem.tasks[index]
        for number, mode in enumerate(task.modes):
            for resources in product(*(use.resources for use in mode.uses)):
                for start in range(self.horizon + 1):
                    end = start + mode.duration
                    if end > (self.horizon if task.deadline is None else min(self.horizon, task.deadline)):
                        continue
                    if (task.release > start) if task.fixed_start is None else (task.fixed_start != start):
                        continue
                    taken = tuple(
                        (
                            resource,
                            start + use.offset,
                            end if use.length is None else start + use.offset + use.length,
                            use,
                        )
                        for resource, use in zip(resources, mode.uses, strict=True)
                    )
                    if not self._contradicts(taken, taken):
                        yield Choice(self._column(), index, number, start, end, taken)

    def _contradicts(
        self, one: tuple[tuple[int, int, int, Use], ...], other: tuple[tuple[int, int, int, Use], ...]
    ) -> bool:
        """Whether a chamber forbids two choices together (or one choice in itself)."""
        for position, (resource, start, end, use) in enumerate(one):
            chamber = self.problem.resources[resource]
            if not isinstance(chamber, Chamber):
                continue
            first = chamber.first.get(str(use.state), 0)
            if start < first or any(
                closure.start < closure.end and start < closure.end + first and closure.start < end
                for closure in chamber.closures
            ):
                return True
            for second, (where, begin, finish, need) in enumerate(other):
                if where != resource or (one is other and position == second):
                    continue
                if use.state == need.state and not (
                    chamber.capacity == 1 and (use.state, use.state) in chamber.changeovers
                ):
                    continue
                after = begin - end >= chamber.changeovers.get((str(use.state), str(need.state)), 0)
                before = start - finish >= chamber.changeovers.get((str(need.state), str(use.state)), 0)
                if not after and not before:
                    return True
        return False

    def _links(self) -> None:
        for link in self.problem.links:
            origin = (self.start if link.kind in (LinkKind.START_START, LinkKind.START_END) else self.end)[link.before]
            target = (self.start if link.kind in (LinkKind.START_START, LinkKind.END_START) else self.end)[link.after]
            low = -numpy.inf if link.least is None else link.least
            self.rows.add(_sum((1, target), (-1, origin)), low, numpy.inf if link.most is None else link.most)

    def _consumables(self) -> None:
        for index, consumable in enumerate(self.problem.consumables):
            need: Terms = {}
            for choices in self.of_task:
                for choice in choices:
                    for which, amount in self.problem.tasks[choice.task].modes[choice.mode].consumes:
                        if which == index:
                            need[choice.column] = need.get(choice.column, 0) + amount
            if need:
                self.rows.add(need, high=consumable.total)

    def _hold(self, number: int) -> dict[int, list[int]]:
        """Columns that are 1 in each minute in which the hold takes a pool, for each pool it may be in."""
        hold = self.problem.holds[number]
        self.rows.add(_sum((1, self.start[hold.after]), (-1, self.end[hold.before])), low=0)
        chosen = {resource: self._column() for resource in set(hold.resources)}
        self.rows.add(dict.fromkeys(chosen.values(), 1), 1, 1)
        held = {resource: [self._column() for _ in range(self.horizon)] for resource in chosen}
        for minute in range(self.horizon):
            ended: Terms = {c.column: 1 for c in self.of_task[hold.before] if c.end <= minute}
            begun: Terms = {c.column: 1 for c in self.of_task[hold.after] if c.start <= minute}
            for resource, column in chosen.items():
                # held >= ended - begun + chosen - 1
                here = {held[resource][minute]: 1.0}
                self.rows.add(_sum((1, here), (-1, ended), (1, begun), (-1, {column: 1})), low=-1)
        return held

    def _capacity(self, index: int) -> None:
        resource = self.problem.resources[index]
        closures = resource.closures if isinstance(resource, Pool) else ()
        for minute in range(self.horizon):
            need: Terms = {}
            for choices in self.of_task:
                for choice in choices:
                    amount = sum(use.amount for where, a, b, use in choice.taken if where == index and a <= minute < b)
                    if amount:
                        need[choice.column] = amount
            for hold, held in zip(self.problem.holds, self.held, strict=True):
                if index in held:
                    need = _sum((1, need), (hold.amount, {held[index][minute]: 1}))
            away = sum(closure.amount for closure in closures if closure.start <= minute < closure.end)
            if need:
                self.rows.add(need, high=max(0, resource.capacity - away))

    def _chambers(self) -> None:
        """A choice of one task excludes those of another that a chamber cannot have besides it."""
        for one in range(len(self.of_task)):
            for other in range(one + 1, len(self.of_task)):
                for choice in self.of_task[one]:
                    excluded = {c.column: 1.0 for c in self.of_task[other] if self._contradicts(choice.taken, c.taken)}
                    if excluded:
                        self.rows.add(_sum((1, excluded), (1, {choice.column: 1})), high=1)

    def _lateness(self) -> Terms:
        lateness: Terms = {}
        for delivery in self.problem.deliveries:
            late = self._column(self.horizon + abs(delivery.due))
            lateness[late] = delivery.weight
            for task in delivery.tasks:
                self.rows.add(_sum((1, {late: 1}), (-1, self.end[task])), low=-delivery.due)
        return lateness
