"""What a change gains: the difference between two plans, and how large or small it can be where they are not proved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from stationplan.engine.feasibility import Verdict
from stationplan.plan.trials import Known, Outcome
from stationplan.plan.what_ifs import Choice, WhatIf

if TYPE_CHECKING:
    from stationplan.network.errors import Path


class Ending(StrEnum):
    """How the trial of a change ended."""

    PLANNED = "planned"
    """A plan was made and checked."""
    IMPOSSIBLE = "impossible"
    """It is proved that there is none."""
    NOT_FOUND = "not found"
    """The time ran out before there was one."""
    INTERRUPTED = "interrupted"
    """The user ended it before it had ended."""


ENDINGS = {
    Verdict.POSSIBLE: Ending.PLANNED,
    Verdict.IMPOSSIBLE: Ending.IMPOSSIBLE,
    Verdict.UNDECIDED: Ending.NOT_FOUND,
}


@dataclass(frozen=True, slots=True)
class Gain:
    """Minutes that a change saves; it costs them where they are below 0.

    Attributes:
        found: between the two plans that were found.
        least: between the best plans there are, at least this; None where nothing is known.
        most: and at most this.
    """

    found: int
    least: int | None = None
    most: int | None = None

    @property
    def proved(self) -> bool:
        """Whether the best plans there are differ by exactly as much as those found."""
        return self.least == self.most == self.found


@dataclass(frozen=True, slots=True)
class Answer:
    """What came of a change.

    Attributes:
        choice: the kind of change.
        sentence: the change in the kitchen's words.
        path: where to make it in the scenario.
        ending: how its trial ended.
        known: how good that plan is and could be.
        late: what the change gains in (weighted) minutes late.
        length: what it gains in the time from opening to the finish.
    """

    choice: Choice
    sentence: str
    path: Path
    ending: Ending
    known: Known | None = None
    late: Gain | None = None
    length: Gain | None = None


@dataclass(frozen=True, slots=True)
class Comparison:
    """All changes beside the plan as it is.

    Attributes:
        base: how good the plan of the unchanged scenario is; None without one.
        best: the same with what the trials have found out about it: a plan for a kitchen with less in it is one for the
            whole kitchen, and what is impossible with more is so with less.
        answers: one for each change.
    """

    base: Known | None
    best: Known | None
    answers: tuple[Answer, ...]


def compare(base: Known | None, changes: Sequence[WhatIf], outcomes: Sequence[Outcome | None]) -> Comparison:
    """Work out what each change gains.

    Where the same batches are made, whatever can be done in a kitchen can be done in one with more in it. So the plan
    of either may serve the larger, and the bound of either holds for the smaller.

    Args:
        base: how good the plan of the unchanged scenario is; None when it has none.
        changes: the changes.
        outcomes: what came of each, in the same order; None for one that was interrupted.
    """
    found = [None if outcome is None else outcome.known for outcome in outcomes]
    best = base
    if base is not None:
        pairs = list(zip(changes, outcomes, strict=True))
        larger = [
            n for n, (change, outcome) in enumerate(pairs) if outcome and outcome.base_holds and change.choice.adds
        ]
        smaller = [
            n for n, (change, outcome) in enumerate(pairs) if outcome and outcome.alike and not change.choice.adds
        ]
        best = _lifted(base, [found[n] for n in smaller], [found[n] for n in larger])
        for n in larger:
            found[n] = _lifted(found[n], [best], [])
        for n in smaller:
            found[n] = _lifted(found[n], [], [best])
    answers = []
    for change, outcome, known in zip(changes, outcomes, found, strict=True):
        ending = Ending.INTERRUPTED if outcome is None else ENDINGS[outcome.verdict]
        answer = Answer(change.choice, change.sentence, change.path, ending, known)
        if best is not None and known is not None and outcome is not None:
            late, length = _gains(best, known, change.choice, alike=outcome.alike)
            answer = replace(answer, late=late, length=length)
        answers.append(answer)
    return Comparison(base, best, tuple(answers))


def _lifted(known: Known | None, smaller: Sequence[Known | None], larger: Sequence[Known | None]) -> Known | None:
    """What is known of a kitchen, with the plans of smaller kitchens and the bounds of larger ones."""
    if known is None:
        return None
    best = min([known, *(other for other in smaller if other is not None)], key=lambda other: other.cost)
    least_late, least_length = known.least_late, known.least_length
    for other in larger:
        if other is not None:
            least_late = max(least_late, other.least_late)
            if other.late >= best.late:
                # It bounds all plans that are no later than that of the larger kitchen, so those that are as punctual.
                least_length = max(least_length, other.least_length)
    return Known(best.late, best.length, min(least_late, best.late), min(least_length, best.length))


def _gains(before: Known, after: Known, choice: Choice, *, alike: bool) -> tuple[Gain, Gain]:
    late = Gain(before.late - after.late, before.least_late - after.late, before.late - after.least_late)
    length = Gain(before.length - after.length)
    same = before.late == after.late
    if same or (before.late == before.least_late and after.late == after.least_late):
        # The bounds on the length are for plans as punctual as the two, so they compare only such plans.
        length = Gain(length.found, before.least_length - after.length, before.length - after.least_length)
    if alike:
        late = _one_way(late, choice)
        length = _one_way(length, choice) if same else length
    return late, length


def _one_way(gain: Gain, choice: Choice) -> Gain:
    """More in the kitchen never makes the best plan worse, and less never makes it better."""
    if gain.least is None or gain.most is None:
        return gain
    if choice.adds:
        return replace(gain, least=max(gain.least, 0))
    return replace(gain, most=min(gain.most, 0))
