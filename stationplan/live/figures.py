"""What many runs of a plan say: chances, moments, waits, and where a few minutes count most."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from math import ceil, floor, sqrt
from typing import TYPE_CHECKING

import numpy as np

from stationplan.live.drawing import Altered, Chance
from stationplan.live.simulation import parts_of, run_all, together

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from stationplan.live.course import Course, Work
    from stationplan.live.drawing import Bools, Floats, Shape
    from stationplan.live.simulation import Runs

HALF, MOST = 0.5, 0.9
SOONER = 5.0
"""Minutes of which it is told what they bring."""
_LOOKED_INTO = 8
"""Batches of which it is told what they bring: those that late orders, or else the finish, hang on most often."""
_NORMAL = 1.959964
"""Of the errors given, 19 in 20 are no larger."""
_MACHINES = frozenset({"oven", "prover", "mixer", "hob"})
"""Where it does harm to stay too long."""
_NOTHING = 1e-6


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure from runs, and how far it may be from what endlessly many would give, 19 times in 20."""

    value: float
    error: float


@dataclass(frozen=True, slots=True)
class OrderFigures:
    """An order: planned and simulated moments in minutes since midnight, and the share of runs that have it in time."""

    product: str
    quantity: int
    due: int | None
    planned: int
    half: Estimate
    most: Estimate
    in_time: Estimate | None


@dataclass(frozen=True, slots=True)
class TooLong:
    """Something that lasts too long in a ``share`` of the runs; by at most ``minutes`` in 9 of 10 of those.

    For a wait: the item, the wait's name, the two batches where it happens most often, and its most. For a batch on a
    machine: the item, the step, its label, and the long end of its time. For a person: the name, and the end of their
    hours in minutes since midnight.
    """

    item: str
    name: str
    where: tuple[str, ...]
    allowed: float
    share: Estimate
    minutes: float


@dataclass(frozen=True, slots=True)
class Gain:
    """Minutes by which the finish of 9 runs in 10 comes sooner, and what the share with all orders in time gains."""

    finish: float
    in_time: float


@dataclass(frozen=True, slots=True)
class BatchFigures:
    """A batch, the shares of runs in which the finish and a late order hang on it, and what making it easier brings."""

    label: str
    item: str
    step: str
    critical: Estimate
    delaying: Estimate
    sooner: Gain
    steady: Gain


@dataclass(frozen=True, slots=True)
class Simulated:
    """What runs of a plan say; moments are minutes since midnight of the first day.

    Attributes:
        name: what the plan is for.
        now: from when on, where a part of the shift was over when the plan was made.
        runs: how many there were.
        seed: of the random numbers.
        shape: how times spread over their range.
        early: whether people worked ahead of the plan.
        batches: how many there are.
        varying: how many of them have a time that varies.
        safe: whether the plan reckons with the most that each batch can take.
        planned: the planned finish.
        half: the finish that half the runs keep.
        most: the finish that 9 runs in 10 keep.
        closes: when the kitchen closes.
        after_closing: the share of runs that go on after that.
        in_time: the share of runs with every order in time; None without due times.
        orders: the orders.
        waits: waits that last too long.
        standing: batches that stay on a machine for too long.
        overtime: people who stay after their hours.
        hangs_on: the batches that late orders and the finish hang on most often, those that bring most first.
    """

    name: str
    now: int | None
    runs: int
    seed: int
    shape: Shape
    early: bool
    batches: int
    varying: int
    safe: bool
    planned: int
    half: Estimate
    most: Estimate
    closes: int
    after_closing: Estimate
    in_time: Estimate | None
    orders: tuple[OrderFigures, ...]
    waits: tuple[TooLong, ...]
    standing: tuple[TooLong, ...]
    overtime: tuple[TooLong, ...]
    hangs_on: tuple[BatchFigures, ...]


def simulate(
    name: str, course: Course, chance: Chance, runs: int, *, early: bool, closes: int, executor: Executor | None = None
) -> Simulated:
    """Work through a plan many times and count.

    Args:
        name: what the plan is for.
        course: the plan.
        chance: what is left to chance.
        runs: how many times.
        early: whether the course is one of people who work ahead.
        closes: when the kitchen closes.
        executor: who makes the runs; None for this process.
    """
    made = together(run_all(parts_of(course, chance, runs), executor))
    in_time = _in_time(course, made)
    return Simulated(
        name=name,
        now=course.now,
        runs=runs,
        seed=chance.seed,
        shape=chance.shape,
        early=early,
        batches=len(course.works),
        varying=sum(_varies(work, chance) for work in course.works),
        safe=not (chance.failures or chance.stoppages) and all(work.planned >= work.most for work in course.works),
        planned=course.finish,
        half=moment(made.finish, HALF),
        most=moment(made.finish, MOST),
        closes=closes,
        after_closing=share(made.finish > closes + _NOTHING),
        in_time=None if in_time is None else share(in_time),
        orders=tuple(
            OrderFigures(
                order.product,
                order.quantity,
                order.due,
                order.planned,
                moment(ready, HALF),
                moment(ready, MOST),
                None if order.due is None else share(ready <= order.due + _NOTHING),
            )
            for order, ready in zip(course.orders, made.ready, strict=True)
        ),
        waits=waits_too_long(course, made),
        standing=_standing(course, made),
        overtime=_overtime(course, made),
        hangs_on=_hangs_on(course, chance, made, runs, executor),
    )


def share(happens: Bools) -> Estimate:
    """The share of runs in which something happens, with Wilson's interval, which does not vanish at 0 and 1.

    (Wilson, Probable inference, the law of succession, and statistical inference, JASA 22, 1927.)

    Args:
        happens: whether it happens, run by run.
    """
    runs, found = happens.size, float(happens.mean())
    spread = _NORMAL**2 / runs
    middle = (found + spread / 2) / (1 + spread)
    half = _NORMAL * sqrt(found * (1 - found) / runs + spread / (4 * runs)) / (1 + spread)
    return Estimate(found, max(middle + half - found, found - middle + half))


def moment(moments: Floats, part: float) -> Estimate:
    """The moment that this part of the runs keeps; its error comes from the runs ranked around it.

    (David and Nagaraja, Order Statistics, 3rd edition, 2003, section 7.1: distribution-free intervals of quantiles.)

    Args:
        moments: a moment for each run.
        part: such as 0.9.
    """
    ranked = np.sort(moments)
    runs = ranked.size
    at = max(ceil(part * runs - _NOTHING) - 1, 0)
    away = _NORMAL * sqrt(runs * part * (1 - part))
    low, high = max(floor(part * runs - away) - 1, 0), min(ceil(part * runs + away), runs - 1)
    return Estimate(float(ranked[at]), float(max(ranked[high] - ranked[at], ranked[at] - ranked[low])))


def _in_time(course: Course, made: Runs) -> Bools | None:
    due = [
        ready <= order.due + _NOTHING
        for order, ready in zip(course.orders, made.ready, strict=True)
        if order.due is not None
    ]
    return np.logical_and.reduce(due) if due else None


def _varies(work: Work, chance: Chance) -> bool:
    return (
        max(work.least, work.lasted) < work.most
        or any(failure.step == work.step for failure in chance.failures)
        or any(stoppage.equipment in work.equipment for stoppage in chance.stoppages)
    )


def _too_long(item: str, name: str, where: tuple[str, ...], allowed: float, over: Floats) -> TooLong:
    happens = over > _NOTHING
    return TooLong(item, name, where, allowed, share(happens), float(moment(over[happens], MOST).value))


def _often(found: list[TooLong]) -> tuple[TooLong, ...]:
    return tuple(sorted(found, key=lambda one: (-one.share.value, -one.minutes, one.item, one.name, one.where)))


def waits_too_long(course: Course, made: Runs) -> tuple[TooLong, ...]:
    """The waits that last too long in some of the runs; one of an item is one, whichever of its batches it happens to.

    Args:
        course: the plan.
        made: its runs.

    Returns:
        Those that do so most often first.
    """
    alike: dict[tuple[str, str, int], list[int]] = defaultdict(list)
    for number, limit in enumerate(course.limits):
        alike[limit.item, limit.name, limit.most].append(number)
    found = []
    for (item, name, most), numbers in alike.items():
        over = made.over[numbers]
        if (over > _NOTHING).any():
            worst = course.limits[numbers[int((over > _NOTHING).sum(axis=1).argmax())]]
            found.append(_too_long(item, name, (worst.before, worst.after), most, over.max(axis=0)))
    return _often(found)


def _standing(course: Course, made: Runs) -> tuple[TooLong, ...]:
    return _often(
        [
            _too_long(work.item, work.step, (work.label,), work.load + work.most + work.unload, over)
            for work, over in zip(course.works, made.standing, strict=True)
            if not _MACHINES.isdisjoint(work.equipment) and (over > _NOTHING).any()
        ]
    )


def _overtime(course: Course, made: Runs) -> tuple[TooLong, ...]:
    return _often(
        [
            _too_long("", leaving.person, (), leaving.hours, over)
            for leaving, over in zip(course.leavings, made.overtime, strict=True)
            if (over > _NOTHING).any()
        ]
    )


def _hangs_on(
    course: Course, chance: Chance, made: Runs, runs: int, executor: Executor | None
) -> tuple[BatchFigures, ...]:
    """The batches that most hangs on; what they would bring comes from the same random numbers, most first."""
    often = sorted(
        range(len(course.works)), key=lambda number: (-made.delaying[number], -made.critical[number], number)
    )
    often = [number for number in often if made.delaying[number] or made.critical[number]][:_LOOKED_INTO]
    easier = [altered for number in often for altered in (Altered(number, sooner=SOONER), Altered(number, steady=True))]
    parts = [parts_of(course, chance, runs, altered, only_ends=True) for altered in easier]
    answers = run_all([part for of in parts for part in of], executor)
    each = len(parts[0]) if parts else 1
    gains = [_gain(course, made, together(answers[at : at + each])) for at in range(0, len(answers), each)]
    found = [
        BatchFigures(
            course.works[number].label,
            course.works[number].item,
            course.works[number].step,
            share(np.arange(runs) < made.critical[number]),
            share(np.arange(runs) < made.delaying[number]),
            gains[2 * position],
            gains[2 * position + 1],
        )
        for position, number in enumerate(often)
    ]
    return tuple(sorted(found, key=lambda one: (-one.sooner.in_time, -one.sooner.finish)))


def _gain(course: Course, before: Runs, after: Runs) -> Gain:
    finish = moment(before.finish, MOST).value - moment(after.finish, MOST).value
    one, other = _in_time(course, before), _in_time(course, after)
    return Gain(finish, 0.0 if one is None or other is None else float(other.mean() - one.mean()))
