"""The scheduling problem as plain data.

A multi-mode resource-constrained project scheduling problem with generalised
precedence (RCPSP/max), extended with chambers: resources that are in one state at
a time and need a changeover between states. Time is whole minutes from 0; nothing
here knows of clocks or kitchens. Job shops, flexible job shops, RCPSP and RCPSP/max
instances of the literature load into it unchanged.

Resources, tasks, consumables and deliveries are referred to by their position in
the tuples of :class:`Problem`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from stationplan.engine.errors import ProblemError


class LinkKind(StrEnum):
    """Which end of the two tasks a lag is measured from and to."""

    END_START = "end-start"
    START_START = "start-start"
    END_END = "end-end"
    START_END = "start-end"


@dataclass(frozen=True, slots=True)
class Closure:
    """``amount`` units of a resource are away from ``start`` (included) to ``end`` (excluded), minutes."""

    start: int
    end: int
    amount: int


@dataclass(frozen=True, slots=True)
class Pool:
    """A cumulative resource: ``capacity`` interchangeable units, fewer during closures."""

    name: str
    capacity: int
    closures: tuple[Closure, ...] = ()


@dataclass(frozen=True, slots=True)
class Chamber:
    """Slots that share one state at a time.

    Uses of the same state may overlap up to ``capacity`` slots. Between the end of a
    use in state ``a`` and the start of a use in a different state ``b`` at least
    ``changeovers[a, b]`` minutes pass, whatever comes between the two; a missing pair
    is 0, but two different states never overlap. From time 0 to the first use in
    state ``b`` at least ``first[b]`` minutes pass (0 when missing); and so they do again
    from each of the moments ``restarts`` to any use that begins then or later, unless
    some use goes on through that moment; there ``again`` counts, which is ``first``
    where it is None. A pair ``(a, a)`` is allowed and only
    meaningful with ``capacity`` 1 (a wash even between like and like). ``tidy`` says
    whether its changes of state count in the last tier. During a
    closure, whatever its amount, nothing is in any slot, and after it the chamber is as
    it was at time 0: from its end to the next use in state ``b``, ``again[b]`` minutes pass.
    """

    name: str
    capacity: int
    changeovers: Mapping[tuple[str, str], int] = field(default_factory=dict)
    first: Mapping[str, int] = field(default_factory=dict)
    tidy: bool = True
    restarts: tuple[int, ...] = ()
    closures: tuple[Closure, ...] = ()
    again: Mapping[str, int] | None = None

    @property
    def after_restarts(self) -> Mapping[str, int]:
        """Minutes from a restart or a closure to the first use in each state."""
        return self.first if self.again is None else self.again


@dataclass(frozen=True, slots=True)
class Use:
    """A mode's need for ``amount`` of one resource, chosen out of ``resources``.

    The need covers the part of the task from ``offset`` minutes after its start for
    ``length`` minutes, or to its end when ``length`` is None. On a chamber, ``state``
    says the state it must be in and the part must have length 1 or more.
    """

    resources: tuple[int, ...]
    amount: int = 1
    offset: int = 0
    length: int | None = None
    state: str | None = None


@dataclass(frozen=True, slots=True)
class Mode:
    """One way of doing a task: its duration in minutes and what it needs meanwhile.

    ``consumes`` lists (consumable, amount) pairs.
    """

    duration: int
    uses: tuple[Use, ...] = ()
    consumes: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Task:
    """Something done once, without interruption, in one of its modes.

    ``release`` is the earliest start, ``deadline`` the latest end (None: no limit),
    ``fixed_start`` the start it already has, whatever the release says (for replanning).
    """

    name: str
    modes: tuple[Mode, ...]
    release: int = 0
    deadline: int | None = None
    fixed_start: int | None = None


@dataclass(frozen=True, slots=True)
class Link:
    """A least and, if given, a most lag in minutes between two tasks.

    With kind end-start: ``least <= start(after) - end(before) <= most``. ``least``
    may be negative. ``tidy`` is what each minute beyond ``least`` costs in the last
    objective tier; it needs a ``least`` to be measured from.
    """

    before: int
    after: int
    least: int | None = 0
    most: int | None = None
    kind: LinkKind = LinkKind.END_START
    tidy: int = 0


@dataclass(frozen=True, slots=True)
class Hold:
    """From the end of ``before`` to the start of ``after``, ``amount`` of one of ``resources`` is taken.

    The resources are pools. ``after`` must not start before ``before`` ends; the
    engine adds that precedence. With ``beside`` the hold takes the same resource as
    that earlier hold, whose ``resources`` it must have.
    """

    before: int
    after: int
    resources: tuple[int, ...]
    amount: int = 1
    beside: int | None = None


@dataclass(frozen=True, slots=True)
class Delivery:
    """Late when the last of its tasks ends after ``due``; each minute late costs ``weight``."""

    name: str
    tasks: tuple[int, ...]
    due: int
    weight: int = 1


@dataclass(frozen=True, slots=True)
class Consumable:
    """A stock of which all tasks together may take at most ``total``."""

    name: str
    total: int


@dataclass(frozen=True, slots=True)
class Problem:
    """Tasks to schedule with the least lateness, then makespan, then untidiness.

    ``horizon`` is an upper bound on every end, in minutes; None lets the engine
    compute one that loses no optimal plan. ``tidy_changeover`` is what each change of
    state inside a chamber costs in the last tier. ``series`` lists interchangeable
    batches: each entry is a tuple of batches, each batch a tuple of tasks, stage by
    stage; see :mod:`stationplan.engine.symmetry` for what is made of it.
    """

    tasks: tuple[Task, ...]
    resources: tuple[Pool | Chamber, ...] = ()
    links: tuple[Link, ...] = ()
    holds: tuple[Hold, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    consumables: tuple[Consumable, ...] = ()
    series: tuple[tuple[tuple[int, ...], ...], ...] = ()
    horizon: int | None = None
    tidy_changeover: int = 0

    def __post_init__(self) -> None:
        """Check that every reference and number makes sense.

        Raises:
            ProblemError: naming the first thing that does not.
        """
        _validate(self)


def _validate(problem: Problem) -> None:
    for task in problem.tasks:
        if not task.modes:
            raise ProblemError(f"task {task.name!r} has no mode")
        if task.release < 0 or (task.fixed_start is not None and task.fixed_start < 0):
            raise ProblemError(f"task {task.name!r} starts before time 0")
        for mode in task.modes:
            _validate_mode(problem, task, mode)
    for resource in problem.resources:
        _validate_resource(resource)
    if min((problem.horizon or 0, problem.tidy_changeover, *(stock.total for stock in problem.consumables))) < 0:
        raise ProblemError("horizon, changeover cost and consumables cannot be negative")
    count = len(problem.tasks)
    relations: tuple[Link | Hold, ...] = (*problem.links, *problem.holds)
    for relation in relations:
        if not (0 <= relation.before < count and 0 <= relation.after < count):
            raise ProblemError("a link or hold names a task that does not exist")
    for link in problem.links:
        if link.least is not None and link.most is not None and link.most < link.least:
            raise ProblemError(f"a link has a most of {link.most} below its least of {link.least}")
        if link.tidy < 0 or (link.tidy and link.least is None):
            raise ProblemError("the tidy cost of a link must not be negative and needs a least")
    for position, hold in enumerate(problem.holds):
        if hold.beside is not None:
            if not 0 <= hold.beside < position:
                raise ProblemError("a hold may only stand beside an earlier one")
            leader = problem.holds[hold.beside]
            if leader.beside is not None or leader.resources != hold.resources:
                raise ProblemError("holds that stand together need one leader and the same resources")
        if not hold.resources or hold.amount < 0:
            raise ProblemError("a hold needs a place and an amount")
        for index in hold.resources:
            if not 0 <= index < len(problem.resources) or not isinstance(problem.resources[index], Pool):
                raise ProblemError("a hold must be in a pool")
    for delivery in problem.deliveries:
        if delivery.weight < 0 or not all(0 <= index < count for index in delivery.tasks):
            raise ProblemError(f"delivery {delivery.name!r} has a bad weight or task")
    _validate_series(problem)


def _validate_resource(resource: Pool | Chamber) -> None:
    if resource.capacity < 0:
        raise ProblemError(f"resource {resource.name!r} has a negative capacity")
    if any(closure.amount < 0 or closure.end < closure.start for closure in resource.closures):
        raise ProblemError(f"resource {resource.name!r} has a closure of negative length or amount")
    if isinstance(resource, Chamber) and _least_minutes(resource) < 0:
        raise ProblemError(f"resource {resource.name!r} has a changeover of negative length")
    if isinstance(resource, Chamber) and min((0, *resource.restarts)) < 0:
        raise ProblemError(f"resource {resource.name!r} starts again before time 0")


def _least_minutes(chamber: Chamber) -> int:
    """The shortest changeover to any state, 0 when there is none."""
    return min((0, *chamber.changeovers.values(), *chamber.first.values(), *chamber.after_restarts.values()))


def _validate_series(problem: Problem) -> None:
    named = [task for series in problem.series for batch in series for task in batch]
    if len(set(named)) != len(named) or not all(0 <= task < len(problem.tasks) for task in named):
        raise ProblemError("the series name a task twice, or one that does not exist")
    for series in problem.series:
        if len({len(batch) for batch in series}) > 1:
            raise ProblemError("the batches of a series must have the same stages")


def _validate_mode(problem: Problem, task: Task, mode: Mode) -> None:
    if mode.duration < 0:
        raise ProblemError(f"task {task.name!r} has a negative duration")
    for use in mode.uses:
        if not use.resources or use.amount < 0 or use.offset < 0:
            raise ProblemError(f"task {task.name!r} has a use without resource or with a negative amount")
        length = mode.duration - use.offset if use.length is None else use.length
        if length < 0 or use.offset + length > mode.duration:
            raise ProblemError(f"task {task.name!r} has a use that is longer than the task")
        for index in use.resources:
            if not 0 <= index < len(problem.resources):
                raise ProblemError(f"task {task.name!r} uses a resource that does not exist")
            chamber = isinstance(problem.resources[index], Chamber)
            if chamber != (use.state is not None):
                raise ProblemError(f"task {task.name!r}: a chamber needs a state, a pool takes none")
            if chamber and (length < 1 or use.amount < 1):
                raise ProblemError(f"task {task.name!r} uses a chamber for no time or takes no room in it")
    for index, amount in mode.consumes:
        if not 0 <= index < len(problem.consumables) or amount < 0:
            raise ProblemError(f"task {task.name!r} consumes something that does not exist")


@dataclass(frozen=True, slots=True)
class Assignment:
    """Where a task ended up: start in minutes, mode, and the resource chosen for each use of that mode."""

    start: int
    mode: int
    resources: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Schedule:
    """An assignment for every task, and the resource chosen for every hold."""

    tasks: tuple[Assignment, ...]
    holds: tuple[int, ...] = ()

    def end(self, problem: Problem, task: int) -> int:
        """The end of a task, minutes from 0."""
        assignment = self.tasks[task]
        return assignment.start + problem.tasks[task].modes[assignment.mode].duration
