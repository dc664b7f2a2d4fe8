"""What would make an exam shorter or more alike: one more of each shared machine, more workplaces, or other groups."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.network.network import StationGroup
from stationplan.plan.document import Advice
from stationplan.plan.exam.errors import ExamImpossibleError
from stationplan.plan.exam.fairness import Questions
from stationplan.plan.exam.sitting import sitting_of
from stationplan.plan.exam.waves import arrange

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from stationplan.network.times import Durations
    from stationplan.plan.exam.budget import Budget
    from stationplan.plan.exam.sitting import Sitting
    from stationplan.plan.exam.waves import Arrangement
    from stationplan.scenario.models import Scenario


def advice_on(
    scenario: Scenario,
    sitting: Sitting,
    arrangement: Arrangement,
    budget: Budget,
    durations: Durations,
    told: Callable[[str], None] | None = None,
) -> tuple[tuple[Advice, ...], bool]:
    """Hold the exam once more with each change.

    Args:
        scenario: a valid scenario with an exam.
        sitting: one candidate's problem.
        arrangement: the exam as it is.
        budget: how long to search in all.
        durations: which end of time ranges counts.
        told: told of what is being tried.

    Returns:
        What came of each change, those that help most first; and whether that was interrupted.
    """
    changes = [
        *_one_more(scenario, sitting),
        *_more_workplaces(scenario, arrangement),
        *_other_groups(scenario, arrangement),
    ]
    found, interrupted = [], False
    for number, (change, changed) in enumerate(changes):
        if budget.used_up:
            break
        if told is not None:
            told(change)
        questions = Questions(sitting_of(changed, durations), budget.part(1 / (len(changes) - number)))
        try:
            other = arrange(changed, questions)
        except ExamImpossibleError:
            continue
        interrupted = questions.interrupted
        if interrupted:
            break
        found.append(
            Advice(
                change=change,
                ends=other.ends,
                every=other.wave.every.value,
                differ=other.wave.differ.value,
                timeline=other.wave.length.value,
                waves=other.number.value,
                proved=_settled(arrangement) and _settled(other),
            )
        )
    now = (arrangement.ends, arrangement.wave.differ.value, arrangement.wave.length.value)
    helpful = [one for one in found if (one.ends, one.differ, one.timeline) < now]
    return tuple(sorted(helpful, key=lambda one: (one.ends, one.differ, one.timeline))), interrupted


def _one_more(scenario: Scenario, sitting: Sitting) -> Iterator[tuple[str, Scenario]]:
    """The exam with one more of each machine that candidates take turns at."""
    turns = {
        index
        for task in sitting.turns
        for mode in sitting.network.problem.tasks[task].modes
        for use in mode.uses
        for index in use.resources
        if sitting.shared[index]
    }
    groups = [sitting.network.resources[index] for index in sorted(turns)]
    names = dict.fromkeys(group.equipment_name for group in groups if isinstance(group, StationGroup))
    kitchen = scenario.kitchen
    for name in names:
        count = next(entry.count for entry in kitchen.equipment if entry.name == name)
        equipment = tuple(
            entry.model_copy(update={"count": count + 1}) if entry.name == name else entry
            for entry in kitchen.equipment
        )
        more = kitchen.model_copy(update={"equipment": equipment})
        yield f"one more {name}, {count + 1} in all", scenario.model_copy(update={"kitchen": more})


def _settled(arrangement: Arrangement) -> bool:
    """Whether nothing about an exam could be better; of several waves it is not known how soon they could be over."""
    wave = arrangement.wave
    found = (arrangement.number, wave.every, wave.differ, wave.length)
    return arrangement.number.value == 1 and all(one.proved for one in found)


def _more_workplaces(scenario: Scenario, arrangement: Arrangement) -> Iterator[tuple[str, Scenario]]:
    """The exam with one more workplace, and with as many more as save a wave, where they make it come in waves."""
    exam = scenario.exam
    assert exam is not None
    waves = len(arrangement.deal)
    if exam.workplaces is None or waves == 1 or -(-len(exam.candidates) // exam.workplaces) < waves:
        return
    saving = -(-len(exam.candidates) // (waves - 1))
    for places in dict.fromkeys((exam.workplaces + 1, saving)):
        more = places - exam.workplaces
        change = f"{'one more workplace' if more == 1 else f'{more} more workplaces'}, {places} in all"
        yield change, scenario.model_copy(update={"exam": exam.model_copy(update={"workplaces": places})})


def _other_groups(scenario: Scenario, arrangement: Arrangement) -> Iterator[tuple[str, Scenario]]:
    """The exam with half, and with twice, as many who start at the same moment."""
    exam = scenario.exam
    assert exam is not None
    if exam.starts.every is not None:
        return
    for size in (exam.at_a_time // 2, exam.at_a_time * 2):
        if 1 <= size < max(session.size for session in arrangement.deal):
            changed = exam.model_copy(update={"at_a_time": size})
            groups = "one candidate" if size == 1 else f"{size} candidates"
            yield f"{groups} at a time", scenario.model_copy(update={"exam": changed})
