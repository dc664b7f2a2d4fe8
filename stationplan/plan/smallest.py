"""The smallest kitchen in which every order is still ready in time: nothing in it can be done without."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from contextlib import AbstractContextManager
from copy import deepcopy
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from stationplan.engine.feasibility import Verdict
from stationplan.engine.limits import Limits
from stationplan.engine.problem import Pool
from stationplan.engine.result import Conflict
from stationplan.engine.solver import Settings
from stationplan.engine.windows import find_windows
from stationplan.engine.work import resource_sets
from stationplan.network import Network, NetworkError, build
from stationplan.network.network import Crew, StationGroup
from stationplan.network.times import Durations
from stationplan.plan.alteration import Alteration
from stationplan.plan.comparing import ENDINGS, Ending
from stationplan.plan.produce import Effort
from stationplan.plan.reductions import fewer_people, fewer_stations, is_the_last, only_what_is_made
from stationplan.plan.trials import side_by_side
from stationplan.plan.trying import try_in_time
from stationplan.plan.what_ifs import needed_equipment
from stationplan.plan.wording import listed
from stationplan.scenario import InvalidScenario, from_plain

if TYPE_CHECKING:
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True, slots=True)
class Question:
    """Whether a kitchen is enough.

    Attributes:
        scenario: as plain data.
        durations: which end of ranges to plan on.
        limits: how long to search.
        unreadable: what it means when something was taken away and the scenario cannot be read any more; None where
            nothing was, so that it has to be readable.
    """

    scenario: dict[str, Any]
    durations: Durations
    limits: Effort
    unreadable: Verdict | None = None


@dataclass(frozen=True, slots=True)
class Needed:
    """What the smallest kitchen has of a kind.

    Attributes:
        name: of the equipment, or of the people who are alike.
        people: whether they are people.
        before: how many there were.
        after: how many are left.
        fewer: how the trial with one fewer ended; None where none is left.
    """

    name: str
    people: bool
    before: int
    after: int
    fewer: Ending | None


@dataclass(frozen=True, slots=True)
class Smallest:
    """The outcome.

    Attributes:
        name: of the scenario.
        whole: how the trial of the whole kitchen ended; only if PLANNED there is more to know.
        needed: each kind, people first.
        scenario: the smallest kitchen's scenario as plain data.
        interrupted: whether the user ended it, so that there may be a smaller one.
    """

    name: str
    whole: Ending
    needed: tuple[Needed, ...]
    scenario: dict[str, Any]
    interrupted: bool = False


def is_enough(question: Question) -> Verdict:
    """Whether every order can be ready in time in a kitchen.

    Args:
        question: the kitchen.
    """
    limits = question.limits
    budget, settings = Limits(limits.time_limit, limits.effort), Settings(limits.seed, 1)
    try:
        return try_in_time(question.scenario, question.durations, budget, settings)
    except (InvalidScenario, NetworkError) as error:
        if question.unreadable is None:
            raise RuntimeError(f"a kitchen with everything that is needed in it is refused: {error}") from None
        return question.unreadable


def smallest(
    network: Network,
    scenario: Scenario,
    raw: dict[str, Any],
    limits: Effort,
    executor: Executor,
    on_trial: Callable[[str], None] = lambda _: None,
    alone: Callable[[], AbstractContextManager[Executor]] | None = None,
) -> Smallest:
    """Take away what is not needed, one kind after the other, until nothing can be taken away any more.

    What has the most time to spare goes first. In the end each single thing and person that is left has been tried to
    be left out of the kitchen that remains. It is one smallest kitchen: another order might have led to another.

    Args:
        network: the scheduling problem of the scenario.
        scenario: the scenario.
        raw: the same as plain data.
        limits: how long to search for an answer to each question.
        executor: who searches.
        on_trial: called with what is tried out.
        alone: who searches for one answer when a process of the executor has died.
    """
    search = _Search(network.durations, limits, executor, on_trial, alone)
    left = _only_what_is_used(network, scenario, raw)
    on_trial("the whole kitchen")
    [whole] = search.ask([(left, None)])
    if whole is not Verdict.POSSIBLE:
        ending = Ending.INTERRUPTED if whole is None else ENDINGS[whole]
        return Smallest(network.name, ending, (), raw, whole is None)
    endings: dict[_Key, Ending] = {}
    try:
        endings = search.one_fewer(left)
        while superfluous := [key for key, ending in endings.items() if ending is Ending.PLANNED]:
            for key in superfluous:
                left = search.reduced(left, key)
            endings = search.one_fewer(left)
    except KeyboardInterrupt:
        search.interrupted = True
    return Smallest(network.name, Ending.PLANNED, _needed(scenario, network, left, endings), left, search.interrupted)


def _only_what_is_used(network: Network, scenario: Scenario, raw: dict[str, Any]) -> dict[str, Any]:
    """The scenario with what is made, and without the equipment that none of it is ever on."""
    left = only_what_is_made(network, scenario, raw)
    used = needed_equipment(network)
    # From the end, so that the positions before stay what they are.
    for position in reversed(range(len(scenario.kitchen.equipment))):
        if position not in used:
            change = fewer_stations(scenario, position)
            changed = deepcopy(left)
            change.apply(changed, change.most)
            if _same_tasks(changed, network):
                left = changed
    return left


def _same_tasks(raw: dict[str, Any], network: Network) -> bool:
    """Whether a scenario can be read and is the same work: what no step is ever on may be named by one all the same."""
    try:
        return build(from_plain(raw), network.durations).tasks == network.tasks
    except (InvalidScenario, NetworkError):
        return False


_Key = tuple[str, str]
"""'people' or 'equipment', and the first name."""


@dataclass(frozen=True, slots=True)
class _Kind:
    """Something that there may be fewer of: where and under what name, how to take it away, and its spare minutes.

    ``unreadable`` is what it means when a scenario with less of it cannot be read.
    """

    key: _Key
    fewer: Alteration
    spare: int
    unreadable: Verdict


class _Search:
    """Asks whether kitchens are enough, until it is interrupted."""

    def __init__(
        self,
        durations: Durations,
        limits: Effort,
        executor: Executor,
        on_trial: Callable[[str], None],
        alone: Callable[[], AbstractContextManager[Executor]] | None,
    ) -> None:
        self._durations = durations
        self._limits = limits
        self._executor = executor
        self._on_trial = on_trial
        self._alone = alone
        self.interrupted = False

    def ask(self, kitchens: Sequence[tuple[dict[str, Any], Verdict | None]]) -> tuple[Verdict | None, ...]:
        """Whether each kitchen is enough; None where an interruption came before the answer.

        With each comes what it means if it cannot be read.
        """
        if self.interrupted:
            return (None,) * len(kitchens)
        questions = [Question(kitchen, self._durations, self._limits, unreadable) for kitchen, unreadable in kitchens]
        verdicts = side_by_side(is_enough, questions, self._executor, alone=self._alone, lost=Verdict.UNDECIDED)
        self.interrupted = None in verdicts
        return verdicts

    def one_fewer(self, raw: dict[str, Any]) -> dict[_Key, Ending]:
        """How it ends to leave out one of each kind, the most spare time first."""
        kinds = _kinds(raw, self._durations)
        verdicts = self.ask([(_without(raw, kind, 1), kind.unreadable) for kind in kinds])
        return {
            kind.key: Ending.INTERRUPTED if verdict is None else ENDINGS[verdict]
            for kind, verdict in zip(kinds, verdicts, strict=True)
        }

    def reduced(self, raw: dict[str, Any], key: _Key) -> dict[str, Any]:
        """The kitchen with as few of a kind as are enough: all numbers are tried at once."""
        kind = next(kind for kind in _kinds(raw, self._durations) if kind.key == key)
        self._on_trial(kind.fewer.tell(1))
        kitchens = [_without(raw, kind, fewer) for fewer in range(1, kind.fewer.most + 1)]
        verdicts = self.ask([(kitchen, kind.unreadable) for kitchen in kitchens])
        enough = [kitchen for kitchen, verdict in zip(kitchens, verdicts, strict=True) if verdict is Verdict.POSSIBLE]
        return enough[-1] if enough else raw


def _without(raw: dict[str, Any], kind: _Kind, fewer: int) -> dict[str, Any]:
    changed = deepcopy(raw)
    kind.fewer.apply(changed, fewer)
    return changed


def _kinds(raw: dict[str, Any], durations: Durations) -> list[_Kind]:
    """Everything that there may be fewer of, the most spare time first."""
    scenario = from_plain(raw)
    network = build(scenario, durations)
    found = [
        # Without somebody a scenario is refused only where a step then has too few people.
        _Kind(("people", group.names[0]), fewer_people(group, scenario), _spare(network, [index]), Verdict.IMPOSSIBLE)
        for index, group in enumerate(network.resources)
        if isinstance(group, Crew)
    ]
    for position, machine in enumerate(scenario.kitchen.equipment):
        mine = [
            index
            for index, group in enumerate(network.resources)
            if isinstance(group, StationGroup) and group.equipment == position
        ]
        fewer, spare = fewer_stations(scenario, position), _spare(network, mine)
        unreadable = Verdict.IMPOSSIBLE if is_the_last(network, position) else Verdict.UNDECIDED
        found.append(_Kind(("equipment", machine.name), fewer, spare, unreadable))
    return sorted(found, key=lambda kind: -kind.spare)


def _spare(network: Network, resources: Sequence[int]) -> int:
    """Minutes of the shift in which resources have no work that only they can do, all their units together."""
    windows = find_windows(network.problem)
    sets = [] if isinstance(windows, Conflict) else resource_sets(network.problem, windows)
    bound = [entry for entry in sets if set(entry.resources) <= set(resources)]
    room = units = 0
    for index in resources:
        resource, group = network.problem.resources[index], network.resources[index]
        room += resource.capacity
        units += resource.capacity if isinstance(resource, Pool) and isinstance(group, Crew) else len(group.names)
    work = max((sum(item.amount * item.length for item in entry.work) for entry in bound), default=0)
    return units * (network.closes - network.opens) - work * units // max(room, 1)


def _needed(
    scenario: Scenario, network: Network, left: dict[str, Any], endings: dict[_Key, Ending]
) -> tuple[Needed, ...]:
    """Each kind of the whole kitchen beside what is left of it."""
    kitchen = from_plain(left).kitchen
    people = {person.name for person in kitchen.people}
    counts = {machine.name: machine.count for machine in kitchen.equipment}
    found = []
    for group in network.resources:
        if isinstance(group, Crew):
            after = sum(name in people for name in group.names)
            found.append(
                Needed(listed(group.names), True, len(group.names), after, endings.get(("people", group.names[0])))
            )
    for machine in scenario.kitchen.equipment:
        after = counts.get(machine.name, 0)
        found.append(Needed(machine.name, False, machine.count, after, endings.get(("equipment", machine.name))))
    return tuple(found)
