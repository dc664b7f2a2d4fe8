"""Reads the public sets of instances into plain data.

Projects (RCPSP, RCPSP/max, multi-mode RCPSP) and shops (job shop, flexible job shop).
All of them minimise the end of the last activity. The ``.sch`` format asks for the start
of its last activity, which is the same: each activity has lags to it of its duration or
more in the published sets.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ProjectMode:
    """One way to do an activity: duration, demand for each capacity, consumption of each stock."""

    duration: int
    demands: tuple[int, ...]
    consumes: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Arc:
    """``after`` starts at least ``lag`` after the end of ``before``, or after its start unless ``from_end``."""

    before: int
    after: int
    lag: int = 0
    from_end: bool = True


@dataclass(frozen=True, slots=True)
class Project:
    """Activities (each a tuple of modes), arcs, and what there is of each renewable and non-renewable resource."""

    activities: tuple[tuple[ProjectMode, ...], ...]
    arcs: tuple[Arc, ...]
    capacities: tuple[int, ...]
    stocks: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Operation:
    """A step of a job: (machine, duration) for each machine that can do it."""

    choices: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Shop:
    """Jobs, each a row of operations done one after another; a machine does one at a time."""

    jobs: tuple[tuple[Operation, ...], ...]
    machines: int

    @property
    def operations(self) -> tuple[Operation, ...]:
        """All operations, job after job."""
        return tuple(operation for job in self.jobs for operation in job)


def read_psplib(text: str) -> Project:
    """Read a project in the format of PSPLIB, of one mode (``.sm``) or several (``.mm``)."""
    lines = [line.split() for line in text.splitlines()]
    starts = {line[0]: number for number, line in enumerate(lines) if line}
    names, amounts = lines[starts["RESOURCEAVAILABILITIES:"] + 1 :][:2]
    # The header repeats a letter and a number for each resource: R 1  R 2  N 1.
    renewable = [letter == "R" for letter in names[::2]]

    arcs = []
    modes_of = []
    for job, count, _, *successors in _until_stars(lines, starts["PRECEDENCE"] + 2):
        modes_of.append(int(count))
        arcs += [Arc(int(job) - 1, int(successor) - 1) for successor in successors]

    rows = iter(_until_stars(lines, starts["REQUESTS/DURATIONS:"] + 3))
    activities = []
    for many in modes_of:
        modes = []
        for _ in range(many):
            # Only the first mode's row says the job, so the row is read from its end.
            duration, *needs = map(int, next(rows)[-len(renewable) - 1 :])
            modes.append(ProjectMode(duration, _those(needs, renewable, True), _those(needs, renewable, False)))
        activities.append(tuple(modes))

    totals = [int(amount) for amount in amounts]
    return Project(tuple(activities), tuple(arcs), _those(totals, renewable, True), _those(totals, renewable, False))


def _until_stars(lines: list[list[str]], first: int) -> list[list[str]]:
    rows = []
    for line in lines[first:]:
        if line and line[0].startswith("***"):
            break
        rows.append(line)
    return rows


def _those(numbers: Sequence[int], renewable: Sequence[bool], wanted: bool) -> tuple[int, ...]:
    return tuple(number for number, kind in zip(numbers, renewable, strict=True) if kind is wanted)


def read_progen_max(text: str) -> Project:
    """Read a project with least and most lags in the format of ProGen/max (``.sch``)."""
    lines = [line.split() for line in text.splitlines() if line.strip()]
    count = int(lines[0][0]) + 2
    arcs = []
    for row in lines[1 : count + 1]:
        before, _, many = map(int, row[:3])
        for after, lag in zip(row[3 : 3 + many], row[3 + many :], strict=True):
            arcs.append(Arc(before, int(after), int(lag.strip("[]")), from_end=False))
    activities = tuple(
        (ProjectMode(int(row[2]), tuple(map(int, row[3:]))),) for row in lines[count + 1 : 2 * count + 1]
    )
    return Project(activities, tuple(arcs), tuple(map(int, lines[2 * count + 1])))


def read_flexible_shop(text: str) -> Shop:
    """Read a flexible job shop: a row of durations, one a machine, for each operation; 0 where it cannot."""
    lines = [[int(number) for number in line.split()] for line in text.splitlines() if line.strip()]
    (_, (machines,), counts), rows = lines[:3], iter(lines[3:])
    jobs = []
    for count in counts:
        durations = [next(rows) for _ in range(count)]
        jobs.append(tuple(Operation(tuple((m, d) for m, d in enumerate(row) if d)) for row in durations))
    return Shop(tuple(jobs), machines)


def job_shop(durations: Sequence[Sequence[int]], machines: Sequence[Sequence[int]]) -> Shop:
    """Make a job shop of its two matrices, a row a job."""
    jobs = tuple(
        tuple(Operation(((machine, duration),)) for machine, duration in zip(*rows, strict=True))
        for rows in zip(machines, durations, strict=True)
    )
    return Shop(jobs, max(max(row) for row in machines) + 1)


READERS: dict[str, Callable[[str], Project | Shop]] = {
    "RCPSP": read_psplib,
    "MMRCPSP": read_psplib,
    "RCPSPMAX": read_progen_max,
    "FJSP": read_flexible_shop,
}
