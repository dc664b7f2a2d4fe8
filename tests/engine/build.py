"""Short ways to write problems and to solve them in the tests of the engine."""

from __future__ import annotations

import os
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

from stationplan.engine import solve
from stationplan.engine.problem import (
    Chamber,
    Closure,
    Delivery,
    Hold,
    Link,
    LinkKind,
    Mode,
    Pool,
    Problem,
    Schedule,
    Task,
    Use,
)
from stationplan.engine.result import Result, Status, TierName
from stationplan.engine.verify import evaluate, verify


def task(
    duration: int, *resources: int, name: str = "task", amount: int = 1, state: str | None = None, **rest: int
) -> Task:
    """A task of one mode that takes ``amount`` of each of the resources for all of its time."""
    uses = tuple(Use((resource,), amount, state=state) for resource in resources)
    return Task(name, (Mode(duration, uses),), **rest)


def chain(*tasks: int) -> tuple[Link, ...]:
    """Each task starts after the one before has ended."""
    return tuple(Link(before, after) for before, after in pairwise(tasks))


def start_lag(before: int, after: int, least: int | None, most: int | None = None) -> Link:
    """A lag from start to start."""
    return Link(before, after, least, most, LinkKind.START_START)


def proved(problem: Problem) -> Result:
    """The result of a solve without limits; it must be proved, pass the check, and cost what its tiers say."""
    result = solve(problem, workers=1)
    if result.status is Status.INFEASIBLE:
        assert result.schedule is None
        return result
    assert result.status is Status.OPTIMAL
    check(problem, result)
    assert all(tier.proved for tier in result.tiers)
    return result


def check(problem: Problem, result: Result) -> Schedule:
    """The schedule of a result, after checking it and the values of the tiers."""
    assert result.schedule is not None
    assert verify(problem, result.schedule) == ()
    cost = evaluate(problem, result.schedule)
    expected = {TierName.LATENESS: cost.lateness, TierName.MAKESPAN: cost.makespan, TierName.TIDINESS: cost.tidiness}
    assert {tier.name: tier.value for tier in result.tiers} == expected
    assert all(tier.bound <= tier.value for tier in result.tiers)
    return result.schedule


def costs(problem: Problem) -> tuple[int, int, int] | None:
    """Lateness, makespan and tidiness of the proved optimum; None when there is no schedule."""
    result = proved(problem)
    if result.schedule is None:
        return None
    cost = evaluate(problem, result.schedule)
    return cost.lateness, cost.makespan, cost.tidiness


def makespan(problem: Problem) -> int | None:
    """The makespan of the proved optimum; None when there is no schedule."""
    found = costs(problem)
    return None if found is None else found[1]


def kitchen(products: int, batches: int) -> Problem:
    """A small kitchen day: each batch is mixed, baked in one of two ovens, rests on a rack, and is finished by hand."""
    person, mixer, oven, other_oven, rack = range(5)
    states = ("150", "170", "190")
    changeovers = {(one, other): abs(int(one) - int(other)) // 5 for one in states for other in states if one != other}
    tasks: list[Task] = []
    links: list[Link] = []
    holds: list[Hold] = []
    deliveries: list[Delivery] = []
    for product in range(products):
        for batch in range(batches):
            mix, bake, finish = range(len(tasks), len(tasks) + 3)
            hands = (Use((person,), 1, 0, 3),)
            tasks.append(Task(f"mix {product}.{batch}", (Mode(8 + product, (*hands, Use((mixer,)))),)))
            use = Use((oven, other_oven), 1 + product % 2, state=states[product % 3])
            tasks.append(Task(f"bake {product}.{batch}", (Mode(15 + 4 * product, (use,)),)))
            tasks.append(Task(f"finish {product}.{batch}", (Mode(6 + product, (Use((person,)),)),)))
            links += [Link(mix, bake, 0, 10, tidy=1), Link(bake, finish, 20, 90, tidy=1)]
            holds.append(Hold(bake, finish, (rack,)))
        last = tuple(range(len(tasks) - 3 * batches + 2, len(tasks), 3))
        deliveries.append(Delivery(f"product {product}", last, 70 + 20 * product, 1 + product % 2))
    ovens = (Chamber("oven", 3, changeovers, {"190": 5}), Chamber("other oven", 2, changeovers))
    resources = (Pool("people", 2, (Closure(60, 75, 1),)), Pool("mixer", 1), *ovens, Pool("rack", 4))
    return Problem(
        tuple(tasks), resources, tuple(links), tuple(holds), tuple(deliveries), horizon=600, tidy_changeover=10
    )


def run_program(program: str, **environment: str) -> str:
    """What a Python program prints that runs in a process of its own and may import the tests of the engine."""
    tests = Path(__file__).resolve().parents[1]
    path = os.pathsep.join([str(tests), str(tests.parent)])
    answer = subprocess.run(
        [sys.executable, "-c", program],
        env={**os.environ, "PYTHONPATH": path, **environment},
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    return answer.stdout.strip()
