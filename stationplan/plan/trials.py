"""Solving changed scenarios side by side: plain data out, small answers back, in a fixed order."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, as_completed
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

from stationplan.engine.bounds import lower_bounds
from stationplan.engine.feasibility import Verdict
from stationplan.engine.result import Conflict
from stationplan.engine.windows import find_windows
from stationplan.network import Network, NetworkError, build
from stationplan.network.times import Durations
from stationplan.plan.carrying_over import holds_in, same_batches
from stationplan.plan.errors import ImpossibleError, NothingFoundError
from stationplan.plan.produce import Effort, produce
from stationplan.plan.store import from_json
from stationplan.scenario import InvalidScenario, from_plain

if TYPE_CHECKING:
    from stationplan.plan.document import Plan


@dataclass(frozen=True, slots=True)
class Known:
    """How good a plan is, and how good one can be: minutes late (weighted), and minutes from opening to the finish.

    No plan is less late than ``least_late``, and none that is as punctual takes less than ``least_length``.
    """

    late: int
    length: int
    least_late: int = 0
    least_length: int = 0

    @property
    def cost(self) -> tuple[int, int]:
        """What counts, most important first."""
        return self.late, self.length


@dataclass(frozen=True, slots=True)
class Trial:
    """A changed scenario to solve.

    Attributes:
        scenario: as plain data.
        durations: which end of ranges to plan on.
        limits: how long to search.
        base: the plan of the unchanged scenario as JSON, where there is one.
        takes_the_last: whether it proves that nothing can be done when the scenario cannot be read.
    """

    scenario: dict[str, Any]
    durations: Durations
    limits: Effort
    base: str | None = None
    takes_the_last: bool = False


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a trial.

    Attributes:
        verdict: whether there is a plan; UNDECIDED when none was found in the time.
        known: how good the plan is; None without one.
        alike: whether the same batches are made as in the base plan.
        base_holds: whether the base plan can be worked to in the changed kitchen; checked, not assumed.
    """

    verdict: Verdict
    known: Known | None = None
    alike: bool = False
    base_holds: bool = False


def known_of(plan: Plan) -> Known:
    """How good a plan is and could be.

    Args:
        plan: a checked plan.
    """
    tiers = {tier.name: tier for tier in plan.tiers}
    late, length = tiers["lateness"], tiers["makespan"]
    return Known(late.value, length.value, late.bound, length.bound)


def run_trial(trial: Trial) -> Outcome:
    """Solve a changed scenario. Its plan passes the independent check, and only its figures come back.

    Where the base plan holds in the changed kitchen, what is found is never worse than it; and where the quick bounds
    rule out anything better, there is nothing to search for.

    Args:
        trial: the scenario and how long to search.
    """
    try:
        network = build(from_plain(trial.scenario), trial.durations)
    except (InvalidScenario, NetworkError):
        return Outcome(Verdict.IMPOSSIBLE if trial.takes_the_last else Verdict.UNDECIDED)
    base = None if trial.base is None else from_json(trial.base)
    alike = base is not None and same_batches(base, network)
    floor = None
    if base is not None and alike and holds_in(base, network, trial.scenario):
        floor = known_of(base)
        if not floor.late and _least_length(network) >= floor.length:
            return Outcome(Verdict.POSSIBLE, Known(0, floor.length, 0, floor.length), alike, True)
    try:
        found = known_of(produce(network, trial.scenario, trial.limits))
    except ImpossibleError:
        return Outcome(Verdict.IMPOSSIBLE, None, alike)
    except NothingFoundError:
        if floor is None:
            return Outcome(Verdict.UNDECIDED, None, alike)
        found = Known(floor.late, floor.length, 0, _least_length(network))
    if floor is not None and floor.cost < found.cost:
        found = Known(floor.late, floor.length, found.least_late, min(found.least_length, floor.length))
    return Outcome(Verdict.POSSIBLE, found, alike, floor is not None)


def _least_length(network: Network) -> int:
    """What no plan can be shorter than, without any search."""
    windows = find_windows(network.problem)
    if isinstance(windows, Conflict):
        return 0
    return max((bound.minutes for bound in lower_bounds(network.problem, windows)), default=0)


Question = TypeVar("Question")
Answer = TypeVar("Answer")


def side_by_side(
    ask: Callable[[Question], Answer],
    questions: Sequence[Question],
    executor: Executor,
    on_answer: Callable[[int], None] = lambda _: None,
    *,
    alone: Callable[[], AbstractContextManager[Executor]] | None = None,
    lost: Answer | None = None,
) -> tuple[Answer | None, ...]:
    """Ask everything at once and wait for all answers; a KeyboardInterrupt ends it with those that there are.

    When a process of the executor dies, none of them answers any more. What is left is then asked one by one, for one
    of the questions may have been too much for it.

    Args:
        ask: a function that another process can import.
        questions: plain data.
        executor: who does it; after an interruption it is for its owner to stop what it is still at.
        on_answer: called with the number of each question that is answered.
        alone: a process for one question that is left; without it, a process that has died is an error.
        lost: the answer to a question whose own process has died.

    Returns:
        The answers in the order of the questions, whatever the speed; None for those that an interruption came before.
    """
    futures: dict[Future[Answer], int] = {}
    answers: list[Answer | None] = [None] * len(questions)
    try:
        try:
            for number, question in enumerate(questions):
                futures[executor.submit(ask, question)] = number
            for future in as_completed(futures):
                answers[futures[future]] = future.result()
                on_answer(futures[future])
        except BrokenExecutor:
            if alone is None:
                raise
            _keep(answers, futures)
            for number in [number for number, answer in enumerate(answers) if answer is None]:
                with alone() as one:
                    try:
                        answers[number] = one.submit(ask, questions[number]).result()
                    except BrokenExecutor:
                        answers[number] = lost
                on_answer(number)
    except KeyboardInterrupt:
        _keep(answers, futures)
    return tuple(answers)


def _keep(answers: list[Answer | None], futures: Mapping[Future[Answer], int]) -> None:
    """Enter the answers that there are and that nobody has looked at yet."""
    for future, number in futures.items():
        if _answered(future):
            answers[number] = future.result()


def _answered(future: Future[Answer]) -> bool:
    return future.done() and not future.cancelled() and future.exception() is None
