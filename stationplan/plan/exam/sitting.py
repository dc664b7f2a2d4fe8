"""One candidate's exam as a scheduling problem: the pattern that all candidates are copies of."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil, floor
from typing import TYPE_CHECKING

from stationplan.engine.problem import Chamber, LinkKind, Pool
from stationplan.network import build
from stationplan.network.network import Crew
from stationplan.plan.exam.kitchen import Place, minutes_of, named_for, one_kitchen
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from stationplan.network import Network
    from stationplan.network.times import Durations
    from stationplan.scenario.models import Scenario


@dataclass(frozen=True, slots=True)
class HandIn:
    """A dish of the menu: the tasks that make it ready, and its times in minutes after the start of cooking.

    It is ready no sooner than ``earliest`` and no later than ``latest``, and it is handed in from ``opening`` on (the
    end of the time allowed where it has no window) until ``closing``. Where it cannot be in time, each minute after
    ``due`` costs ``points``, and after ``refused`` it is not accepted.
    """

    product: str
    tasks: tuple[int, ...]
    earliest: int
    opening: int
    latest: int
    closing: int
    due: int
    refused: int
    points: int


@dataclass(frozen=True)
class Sitting:
    """One candidate's problem and what in it is shared with the others.

    Attributes:
        network: the problem of one candidate who begins to cook ``cooks`` minutes after the shift opens.
        shared: for each resource, whether all candidates use it.
        cooks: set-up of the first candidate over, minutes after opening.
        allowed: minutes of cooking.
        spare: minutes after that in which late dishes are finished.
        hand_ins: the dishes of the menu.
        narrowed: whether an exam can be held in ways that are left out here, so that nothing is proved by the search.
        helped: whether helpers come, go or pause during the hours, so that it matters when a wave begins.
    """

    network: Network
    shared: tuple[bool, ...]
    cooks: int
    allowed: int
    spare: int
    hand_ins: tuple[HandIn, ...]
    narrowed: bool
    helped: bool = False

    def later(self, minutes: int) -> Sitting:
        """The same for a candidate who begins so many minutes later."""
        return replace(self, cooks=self.cooks + minutes) if minutes else self

    @property
    def warms(self) -> int:
        """Minutes after which a later begin would not find the ovens any warmer."""
        ready = [
            max(oven.first.values(), default=0) for oven in self.network.problem.resources if isinstance(oven, Chamber)
        ]
        return max([0, *(minutes - self.cooks for minutes in ready)])

    @property
    def turns(self) -> tuple[int, ...]:
        """The tasks that need a turn at something shared."""
        return tuple(
            task
            for task, part in enumerate(self.network.problem.tasks)
            if any(self.shared[index] for mode in part.modes for use in mode.uses for index in use.resources)
        )

    @property
    def crowded(self) -> str:
        """That turns could not be dealt out, and what that may be for: nothing is known of one thing by itself."""
        problem, resources = self.network.problem, self.network.resources
        turned_at = {
            index
            for task in self.turns
            for mode in problem.tasks[task].modes
            for use in mode.uses
            for index in use.resources
            if self.shared[index]
        }
        groups = [resources[index] for index in sorted(turned_at)]
        names = dict.fromkeys(group.equipment_name for group in groups if not isinstance(group, Crew))
        helpers = [f"helper {name}" for group in groups if isinstance(group, Crew) for name in group.names]
        return (
            "not everybody has their turns in time; which of these is in the way was not found out: "
            f"{', '.join((*names, *helpers))} or the hours"
        )


def sitting_of(scenario: Scenario, durations: Durations = "longest") -> Sitting:
    """Work out the problem of one candidate.

    Args:
        scenario: a valid scenario with an exam.
        durations: which end of time ranges counts.

    Raises:
        NetworkError: when the menu, the recipes and the equipment do not fit together.
    """
    exam = scenario.exam
    assert exam is not None
    set_up, allowed, _ = minutes_of(exam)
    opens, closes = scenario.shift.opens, scenario.shift.closes
    cooks = (exam.waves[0] if exam.waves else opens) + set_up
    first = Place(exam.candidates[0], cooks)
    # Hours keep nobody from being late here: the time allowed is a deadline, so that it binds ovens as well.
    until = closes + (exam.days - 1) * MINUTES_PER_DAY
    network = _opened_daily(build(one_kitchen(scenario, (first,), until, until - cooks), durations), exam.days)
    mine = {named_for(name, first.candidate).casefold() for name in exam.own}
    shared = tuple(
        first.candidate not in group.names if isinstance(group, Crew) else group.equipment_name.casefold() not in mine
        for group in network.resources
    )
    hand_ins = []
    for order, dish in zip(network.orders, exam.menu, strict=True):
        window = dish.hand_in
        opening, closing = (0, allowed) if window is None else (ceil(window.least), floor(window.most))
        earliest = 0 if dish.stands is None else max(0, opening - floor(dish.stands))
        due = closing + floor(exam.late.tolerance)
        refused = closing + floor(exam.late.fails_after or 0)
        opens_at = allowed if window is None else opening
        points = exam.late.points
        hand_ins.append(HandIn(dish.product, order.ready, earliest, opens_at, closing, closing, due, refused, points))
    helped = any(
        isinstance(resource, Pool) and common and any(closure.start < closes - opens for closure in resource.closures)
        for resource, common in zip(network.problem.resources, shared, strict=True)
    )
    narrowed = any(dish.earliest and not _last_is_ready_last(network, dish.tasks) for dish in hand_ins)
    return Sitting(network, shared, cooks - opens, allowed, 0, tuple(hand_ins), narrowed, helped)


def _opened_daily(network: Network, days: int) -> Network:
    """The same with ovens that are cold again each morning: the one candidate stands for those of all days."""
    mornings = tuple(day * MINUTES_PER_DAY for day in range(1, days))
    resources = tuple(
        replace(resource, restarts=mornings) if isinstance(resource, Chamber) else resource
        for resource in network.problem.resources
    )
    return replace(network, problem=replace(network.problem, resources=resources))


def _last_is_ready_last(network: Network, tasks: tuple[int, ...]) -> bool:
    """Whether the last of a dish's batches is certain to end last."""
    problem = network.problem
    lengths = [{mode.duration for mode in problem.tasks[task].modes} for task in tasks]
    in_order = {(link.before, link.after) for link in problem.links if link.kind is LinkKind.START_START}
    return len(tasks) == 1 or (
        all(pair in in_order for pair in pairwise(tasks))
        and all(len(length) == 1 for length in lengths)
        and max(map(max, lengths)) == max(lengths[-1])
    )


def with_late(sitting: Sitting, ends: tuple[int, ...]) -> Sitting:
    """The same with later hand-ins where they cannot be in time.

    Args:
        sitting: one candidate's problem.
        ends: for each dish, minutes after the start of cooking until which it may be ready.
    """
    hand_ins = tuple(
        replace(dish, latest=max(dish.latest, end)) for dish, end in zip(sitting.hand_ins, ends, strict=True)
    )
    spare = max(0, max(dish.latest for dish in hand_ins) - sitting.allowed)
    # How late each dish is was found out for one candidate alone: others may share out the delay otherwise.
    return replace(sitting, hand_ins=hand_ins, spare=spare, narrowed=True)
