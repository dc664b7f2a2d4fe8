"""Drawing how long every batch takes, run by run, from the seed and the number of the run alone."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal, TypeAlias

import numpy as np

from stationplan.live.errors import MishapError

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from stationplan.live.course import Course, Work
    from stationplan.live.mishaps import Failure, Stoppage

    Floats: TypeAlias = NDArray[np.float64]
    Bools: TypeAlias = NDArray[np.bool_]

Shape = Literal["triangular", "uniform"]
RUNS_OF_A_PART = 250
"""Runs are drawn in parts of so many, each from a seed of its own, so that nothing depends on who draws them."""


@dataclass(frozen=True, slots=True)
class Chance:
    """What is left to chance.

    Attributes:
        shape: how times spread over their range.
        seed: where the random numbers begin.
        failures: batches that are made again.
        stoppages: machines that stop.
    """

    shape: Shape = "triangular"
    seed: int = 0
    failures: tuple[Failure, ...] = ()
    stoppages: tuple[Stoppage, ...] = ()


@dataclass(frozen=True, slots=True)
class Altered:
    """One batch made easier: ``sooner`` minutes off its time, or ``steady``, always of middle length."""

    work: int
    sooner: float = 0.0
    steady: bool = False


def check_mishaps(course: Course, chance: Chance) -> None:
    """Look whether everything that may go wrong is part of the plan.

    Args:
        course: the plan.
        chance: what may go wrong.

    Raises:
        MishapError: when a step or equipment is not in it.
    """
    steps = sorted({work.step for work in course.works})
    machines = sorted({name for work in course.works for name in work.equipment})
    for failure in chance.failures:
        if failure.step not in steps:
            raise MishapError(f"no step of this plan is called '{failure.step}'; they are: {', '.join(steps)}")
    for stoppage in chance.stoppages:
        if stoppage.equipment not in machines:
            raise MishapError(
                f"nothing is made on '{stoppage.equipment}' in this plan; there are: {', '.join(machines)}"
            )


def lengths(
    course: Course, chance: Chance, part: int, runs: int, altered: Altered | None = None
) -> list[tuple[Floats, Floats, Floats]]:
    """Minutes of the three stretches of every batch, run by run.

    Args:
        course: the plan.
        chance: what is left to chance.
        part: the number of the part of the runs.
        runs: how many runs are in it.
        altered: a batch made easier; everything else is drawn as without it.
    """
    times, again = (np.random.default_rng([chance.seed, part, of]) for of in range(2))
    found = []
    for number, work in enumerate(course.works):
        share = times.random(runs)
        if altered is not None and altered.work == number:
            share = np.full(runs, 0.5) if altered.steady else share
        takes = _takes(work, share, chance.shape)
        # How often it stops depends on its time: from one source for all, a steadier batch would change the rest.
        stops = np.random.default_rng([chance.seed, part, 2, number])
        lost = _repeats(work, chance, again, runs) + _stopped(work, chance, stops, runs, takes - work.lasted)
        if altered is not None and altered.work == number:
            takes = np.maximum(takes - altered.sooner, work.lasted)
        first = np.minimum(work.first, takes)
        last = np.minimum(work.last, takes - first)
        found.append((first, takes - first - last + lost, last))
    return found


def _takes(work: Work, share: Floats, shape: Shape) -> Floats:
    """The quantiles of the time that a batch takes, given that it has lasted for some of it already."""
    if work.lasted > work.least:
        below = _below(work.lasted, work.least, work.most, shape)
        share = below + (1 - below) * share
    return np.maximum(_spread(work.least, work.most, share, shape), work.lasted)


def _below(minutes: float, least: float, most: float, shape: Shape) -> float:
    """The share of a range that is below some minutes, which are above its least."""
    part = 1.0 if minutes >= most else (minutes - least) / (most - least)
    if shape == "uniform":
        return part
    return 2 * part**2 if part < 0.5 else 1 - 2 * (1 - part) ** 2


def _spread(least: float, most: float, share: Floats, shape: Shape) -> Floats:
    """The quantiles of a range: of the triangular distribution with its top in the middle, or of the uniform one."""
    if shape == "triangular":
        share = np.where(share < 0.5, np.sqrt(share / 2), 1 - np.sqrt((1 - share) / 2))
    return least + (most - least) * share


def _repeats(work: Work, chance: Chance, random: np.random.Generator, runs: int) -> Floats:
    """Minutes of the attempts that fail; each is loaded, made and unloaded."""
    lost = np.zeros(runs)
    for failure in chance.failures:
        if failure.step != work.step:
            continue
        failed = random.geometric(1 - failure.share, runs) - 1
        for attempt in range(int(failed.max(initial=0))):
            takes = _spread(work.least, work.most, random.random(runs), chance.shape)
            lost += np.where(failed > attempt, work.load + takes + work.unload, 0.0)
    return lost


def _stopped(work: Work, chance: Chance, random: np.random.Generator, runs: int, takes: Floats) -> Floats:
    """Minutes that its machine stands still: it stops in proportion to the time it works."""
    lost = np.zeros(runs)
    for stoppage in chance.stoppages:
        if stoppage.equipment not in work.equipment:
            continue
        times = random.poisson(takes / stoppage.every)
        for stop in range(int(times.max(initial=0))):
            length = _spread(stoppage.least, stoppage.most, random.random(runs), chance.shape)
            lost += np.where(times > stop, length, 0.0)
    return lost


def planned(course: Course) -> Course:
    """The same with every batch taking exactly what the plan reckons with.

    Args:
        course: the plan.
    """
    return replace(course, works=tuple(replace(one, least=one.planned, most=one.planned) for one in course.works))
