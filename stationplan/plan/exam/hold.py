"""From a scenario with an exam to its plan."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from stationplan.engine.result import Conflict, Status, TierName
from stationplan.engine.windows import find_windows
from stationplan.plan.document import Stopped
from stationplan.plan.exam.advice import advice_on
from stationplan.plan.exam.begins import asked_begins
from stationplan.plan.exam.budget import Budget
from stationplan.plan.exam.compose import compose
from stationplan.plan.exam.copies import POINT, copies_of
from stationplan.plan.exam.deals import Hall, Session
from stationplan.plan.exam.errors import ExamImpossibleError
from stationplan.plan.exam.fairness import Questions, Starts
from stationplan.plan.exam.sitting import sitting_of, with_late
from stationplan.plan.exam.waves import arrange
from stationplan.scenario.units import format_duration

if TYPE_CHECKING:
    from collections.abc import Callable

    from stationplan.network.times import Durations
    from stationplan.plan.document import Advice, Plan
    from stationplan.plan.exam.sitting import Sitting
    from stationplan.plan.produce import Effort
    from stationplan.scenario.models import Scenario

SHARE_WITHOUT_ADVICE = 2 / 3
SHARE_TO_WRITE_DOWN = 1 / 10
"""Of the time: laying out all candidates, and the check."""


def hold(
    scenario: Scenario,
    raw: dict[str, Any],
    limits: Effort,
    durations: Durations = "longest",
    *,
    advise: bool = False,
    told: Callable[[str], None] | None = None,
) -> Plan:
    """Plan an exam.

    Args:
        scenario: a valid scenario with an exam.
        raw: the same as plain data, carried in the plan.
        limits: seconds in all, or effort for the best timeline; seed and workers.
        durations: which end of time ranges counts.
        advise: whether to find out what would make it shorter.
        told: told of what is being looked for.

    Returns:
        A plan of the exam as one kitchen, which has passed the independent check.

    Raises:
        NetworkError: when the menu, the recipes and the equipment do not fit together.
        ExamImpossibleError: when one candidate alone, or all of them together, cannot be in time; or when nothing was
            found in the time of the search.
        CheckFailedError: the plan contradicts its scenario: an error of this package.
    """
    sitting = sitting_of(scenario, durations)
    seconds = None if limits.time_limit is None else limits.time_limit * (1 - SHARE_TO_WRITE_DOWN)
    budget = Budget(replace(limits, time_limit=seconds))
    questions = Questions(sitting, budget, told)
    begins = _single_begins(scenario, sitting)
    alone = [questions.ask(start, 0, "whether one candidate alone can be in time")[1] for start in begins]
    points = 0
    if all(one.schedule is None for one in alone) and (
        sitting.narrowed or all(one.status is Status.INFEASIBLE for one in alone)
    ):
        sitting, points = _least_late(questions, begins)
    first = Questions(sitting, budget.part(SHARE_WITHOUT_ADVICE) if advise else budget, told)
    arrangement = arrange(scenario, first)
    advice: tuple[Advice, ...] = ()
    # With dishes late by plan, more time is what is needed, and no equipment.
    if advise and not points and not first.interrupted:
        advice, first.interrupted = advice_on(scenario, sitting, arrangement, budget, durations, told)
    return compose(scenario, raw, sitting, arrangement, points, limits.seed, advice, _stopped(first, budget, limits))


def _stopped(questions: Questions, budget: Budget, limits: Effort) -> Stopped | None:
    """What ended the search for the exam, or for advice on it, before all was looked into."""
    if questions.interrupted:
        return Stopped(by="interruption")
    if questions.budget.used_up or budget.used_up:
        return Stopped(by="time", seconds=limits.time_limit)
    return None


def _single_begins(scenario: Scenario, sitting: Sitting) -> list[Starts]:
    """When one candidate alone would begin: a later begin finds warmer ovens, or a helper who is in."""
    hall = Hall(scenario, sitting.spare)
    single = (Session(0, 1, None),)
    if not sitting.helped:
        return [Starts((0,), hall.latest_first if hall.clocks else min(sitting.warms, hall.latest_first))]
    clocks = [clock for clock in hall.clocks if clock <= hall.clocks[0] + hall.latest_first]
    moments = clocks or [begins(0)[0] for begins in asked_begins(hall, sitting, single).tried]
    return [Starts((0,), moment + hall.set_up - hall.opens - sitting.cooks) for moment in moments]


def _least_late(questions: Questions, begins: list[Starts]) -> tuple[Sitting, int]:
    """One candidate's problem with dishes as late as they must be, and the points that costs at least."""
    sitting = questions.sitting
    refused = tuple(dish.refused for dish in sitting.hand_ins)
    late = Questions(replace(with_late(sitting, refused), narrowed=sitting.narrowed), questions.budget)
    answers = [late.best(start, 0, late=True) for start in begins]
    possible = [answer for answer in answers if answer[1].schedule is not None]
    if not possible:
        proved = not sitting.helped and all(result.status is Status.INFEASIBLE for _, result in answers)
        raise ExamImpossibleError(_why_not(questions, begins[0]), proved=proved)
    copies, result = min(possible, key=lambda answer: answer[1].tiers[0].value)
    assert result.schedule is not None
    ends = tuple(
        max(result.schedule.end(copies.problem, copies.tasks[0][task]) for task in dish.tasks) - copies.sitting.cooks
        for dish in sitting.hand_ins
    )
    # What one candidate costs at another moment, with helpers in, is not known.
    if sitting.helped:
        return with_late(sitting, ends), 0
    free = sum(dish.refused - dish.closing for dish in sitting.hand_ins)
    return with_late(sitting, ends), max(0, -((free - result.tiers[0].bound) // POINT))


def _why_not(questions: Questions, start: Starts) -> str:
    """Why one candidate alone cannot be in time: a dish that takes too long, or the whole menu."""
    sitting = questions.sitting.later(start.later)
    free = with_late(sitting, (sitting.network.closes - sitting.network.opens,) * len(sitting.hand_ins))
    windows = find_windows(copies_of(free, (0,), 0).problem)
    sentence = "not even one candidate alone can be in time"
    if isinstance(windows, Conflict):
        return sentence
    for dish in sitting.hand_ins:
        shortest = max(
            windows.earliest[task] + min(mode.duration for mode in sitting.network.problem.tasks[task].modes)
            for task in dish.tasks
        )
        if shortest - sitting.cooks > dish.latest:
            took, latest = format_duration(shortest - sitting.cooks), format_duration(dish.latest)
            return f"{sentence}: {dish.product} takes at least {took}, and must be ready after {latest}"
    _, result = Questions(free, questions.budget).best(Starts((0,)), 0)
    least = max((bound.minutes for bound in result.bounds), default=0)
    least = max([least, *(tier.bound for tier in result.tiers if tier.name is TierName.MAKESPAN)]) - sitting.cooks
    if least > sitting.allowed:
        allowed = format_duration(sitting.allowed)
        return f"{sentence}: the menu takes at least {format_duration(least)}, and {allowed} are allowed"
    return f"{sentence}: the dishes leave each other too little time; let their windows lie further apart"
