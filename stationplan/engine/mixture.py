"""The linear program that mixes known starts of jobs so that the fullest resource is the least full."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver import pywraplp

Prices = NDArray[np.float64]


class Mixture:
    """A growing collection of columns, each a job of a kind and what it takes of each row in each stretch of time.

    Args:
        offered: for each row and stretch the room-minutes on offer.
        alternatives: groups of rows of which not all can be had at once: for each state of some chambers
            the rows that measure its work.
        counts: how many jobs there are of each kind.

    Attributes:
        fullest: the share of what is on offer that the fullest resource has to give, at its fullest time.
        prices: what a room-minute of each row is sought after in each stretch.
    """

    def __init__(self, offered: Prices, alternatives: Sequence[Sequence[Sequence[int]]], counts: Sequence[int]) -> None:
        self._offered = offered
        self._program = pywraplp.Solver.CreateSolver("GLOP")
        endless = self._program.infinity()
        self._full = self._program.NumVar(0, endless, "")
        self._program.Objective().SetCoefficient(self._full, 1)
        self._rows = [[self._program.Constraint(-endless, 0) for _ in row] for row in offered]
        for states in alternatives:
            for stretch in range(offered.shape[1]):
                together = self._program.Constraint(-endless, 0)
                together.SetCoefficient(self._full, -1)
                for rows in states:
                    share = self._program.NumVar(0, endless, "")
                    together.SetCoefficient(share, 1)
                    for row in rows:
                        self._rows[row][stretch].SetCoefficient(share, -1)
        self._counts = [self._program.Constraint(count, count) for count in counts]
        self._columns: list[pywraplp.Variable] = []
        self.fullest = 0.0
        self.prices: Prices = np.zeros(offered.shape)

    def add(self, kind: int, taken: Mapping[tuple[int, int], int]) -> None:
        """Add a column: a job of a kind that takes so many room-minutes of (row, stretch)."""
        column = self._program.NumVar(0, self._program.infinity(), "")
        self._counts[kind].SetCoefficient(column, 1)
        for (row, stretch), minutes in taken.items():
            self._rows[row][stretch].SetCoefficient(column, minutes / max(1.0, self._offered[row, stretch]))
        self._columns.append(column)

    def solve(self) -> bool:
        """Mix the columns anew; whether that went well."""
        if self._program.Solve() != pywraplp.Solver.OPTIMAL:
            # Where one form of the simplex method gets into numerical trouble, the other mostly does not.
            other = pywraplp.MPSolverParameters()
            other.SetIntegerParam(other.LP_ALGORITHM, other.DUAL)
            if self._program.Solve(other) != pywraplp.Solver.OPTIMAL:
                return False
        self.fullest = self._full.solution_value()
        dual = np.array([[max(0.0, -row.dual_value()) for row in rows] for rows in self._rows])
        self.prices = dual / np.maximum(1.0, self._offered)
        return True

    def weights(self) -> list[float]:
        """How many jobs follow each column, in the order in which they were added."""
        return [column.solution_value() for column in self._columns]
