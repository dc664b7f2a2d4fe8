"""The requirements of a problem that cannot all be kept, and no fewer: a minimal conflict.

QuickXplain (Junker, "QUICKXPLAIN: preferred explanations and relaxations for
over-constrained problems", AAAI 2004) halves the requirements instead of leaving them out
one by one. It runs with the proofs that need no search where they are enough, which takes
next to no time, and with search otherwise. Then each member is left out once more, with
search: only where a schedule then exists is it proved that the conflict needs it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from stationplan.engine.feasibility import Verdict, decide
from stationplan.engine.infeasible import contradiction
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Problem
from stationplan.engine.requirements import Requirement, without
from stationplan.engine.solver import Settings

# Deterministic effort for each question whether some of the requirements can be kept together.
EFFORT_PER_QUESTION = 4.0
# The share of what is left of the budget that one question may take while it is open how many there will be.
SHARE_OF_A_QUESTION = 0.1

Kept = frozenset[int]


@dataclass(frozen=True, slots=True)
class Core:
    """Requirements that cannot all be kept together, whatever becomes of the others.

    Attributes:
        members: positions of the requirements, in rising order.
        unproved: the members of which it is not proved that all the others can be kept; empty
            for a conflict that is proved to be minimal.
    """

    members: tuple[int, ...]
    unproved: tuple[int, ...] = ()


def find_core(problem: Problem, requirements: Sequence[Requirement], limits: Limits, settings: Settings) -> Core:
    """Find a minimal conflict in a problem that has no schedule.

    Args:
        problem: a problem that is proved to be infeasible.
        requirements: what may be left out of it. What comes first is preferred as a member,
            and what comes last is left out first.
        limits: the budget. When it is used up or the user interrupts, the members that are
            left are told as unproved.
        settings: seed and workers.

    Returns:
        The conflict. Without members when there is no schedule even without any of the requirements.
    """
    questions = _Questions(problem, requirements, limits, settings)
    everything = tuple(range(len(requirements)))
    members = frozenset(everything)
    if questions.contradict(members):
        members = _narrow(frozenset(), True, everything, questions.contradict)
    else:
        members = _narrow(frozenset(), True, everything, questions.impossible)
    unproved = []
    candidates = sorted(members)
    while candidates:
        member = candidates.pop()
        match questions.ask(members - {member}, 1 / (len(candidates) + 1)):
            case Verdict.IMPOSSIBLE:
                members -= {member}
            case Verdict.UNDECIDED:
                unproved.append(member)
    return Core(tuple(sorted(members)), tuple(sorted(unproved)))


def _narrow(base: Kept, grown: bool, among: tuple[int, ...], impossible: Callable[[Kept], bool]) -> Kept:
    """The part of ``among`` that is in conflict together with ``base``, where all of both are.

    Args:
        base: what is kept in any case.
        grown: whether ``base`` has grown since it was last asked about.
        among: what to choose from, what is preferred first.
        impossible: whether a set is proved to be in conflict; a doubt counts as no.
    """
    if grown and impossible(base):
        return frozenset()
    if len(among) <= 1:
        return frozenset(among)
    half = len(among) // 2
    first, second = among[:half], among[half:]
    of_second = _narrow(base | set(first), True, second, impossible)
    return of_second | _narrow(base | of_second, bool(of_second), first, impossible)


class _Questions:
    """Answers whether sets of requirements can be kept together, and remembers every answer."""

    def __init__(
        self, problem: Problem, requirements: Sequence[Requirement], limits: Limits, settings: Settings
    ) -> None:
        self._problem = problem
        self._requirements = requirements
        self._limits = limits
        self._settings = settings
        self._possible: list[Kept] = []
        self._impossible: list[Kept] = [frozenset(range(len(requirements)))]

    def contradict(self, kept: Kept) -> bool:
        """Whether it takes no search to see that they cannot be kept together."""
        if self._limits.used_up() or contradiction(self._with(kept)) is None:
            return False
        self._impossible.append(kept)
        return True

    def impossible(self, kept: Kept) -> bool:
        """Whether it is proved that they cannot be kept together."""
        return self.ask(kept, SHARE_OF_A_QUESTION) is Verdict.IMPOSSIBLE

    def ask(self, kept: Kept, share: float) -> Verdict:
        """Whether they can be kept together, asked for no more than a share of what is left of the budget."""
        if any(kept <= known for known in self._possible):
            return Verdict.POSSIBLE
        if any(known <= kept for known in self._impossible):
            return Verdict.IMPOSSIBLE
        seconds, effort = (left * share for left in self._limits.left())
        effort = min(effort, EFFORT_PER_QUESTION)
        verdict, _ = decide(self._with(kept), self._limits, self._settings, effort=effort, seconds=seconds)
        if verdict is Verdict.POSSIBLE:
            self._possible.append(kept)
        elif verdict is Verdict.IMPOSSIBLE:
            self._impossible.append(kept)
        return verdict

    def _with(self, kept: Kept) -> Problem:
        left_out = (part for position, part in enumerate(self._requirements) if position not in kept)
        return without(self._problem, left_out, (self._requirements[position] for position in kept))
