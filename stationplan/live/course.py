"""What happens when people work through a plan in its order: moments, and what must be over before each.

It is an activity network: a moment comes when everything that leads to it is over and, where it is held to the clock,
not before its time. Times are minutes since midnight of the first day.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum


class Stretch(IntEnum):
    """A part of a batch whose length is drawn: the hands at its beginning, the middle, the hands at its end."""

    FIRST = 0
    MIDDLE = 1
    LAST = 2


@dataclass(frozen=True, slots=True)
class Arc:
    """The moment ``after`` comes no sooner than ``minutes`` after the moment ``before``.

    With a ``work`` (its position in the course) the drawn length of that ``stretch`` of it counts instead.
    """

    before: int
    after: int
    minutes: float = 0.0
    work: int | None = None
    stretch: Stretch = Stretch.MIDDLE


@dataclass(frozen=True, slots=True)
class Moment:
    """Something that happens once.

    Attributes:
        planned: when, in the plan.
        earliest: when at the earliest, whatever happens.
        held: whether it waits for its planned time.
        unless: moments, each with a most: what is held comes sooner if otherwise more minutes than that would have
            passed since one of them.
        shut: minutes after which, and until which, it cannot come.
    """

    planned: int
    earliest: int
    held: bool = False
    unless: tuple[tuple[int, int], ...] = ()
    shut: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Work:
    """A batch and its times, in minutes.

    Attributes:
        label: its label.
        item: what is made.
        step: the step.
        equipment: the equipment entry and kind that it is on, empty for none.
        begin: the moment of its start.
        end: the moment of its end.
        least: the short end of its range, without loading and unloading.
        most: the long end.
        planned: what the plan reckons with.
        load: loading.
        unload: unloading.
        first: hands at the beginning; 0 when all of it needs hands, or none.
        last: hands at the end.
        lasted: minutes that a batch which runs already takes at least, as it has not ended yet.
    """

    label: str
    item: str
    step: str
    equipment: tuple[str, ...]
    begin: int
    end: int
    least: float
    most: float
    planned: float
    load: float
    unload: float
    first: float
    last: float
    lasted: float = 0.0


@dataclass(frozen=True, slots=True)
class Limit:
    """A wait with a most, between the end of one batch and the beginning of another; labels, moments, minutes."""

    item: str
    name: str
    before: str
    after: str
    end: int
    begin: int
    most: int


@dataclass(frozen=True, slots=True)
class Leaving:
    """Somebody's last work before they go home: the moment it ends, and the end of their hours."""

    person: str
    end: int
    hours: int


@dataclass(frozen=True, slots=True)
class Due:
    """An order: what it is called, its due time if it has one, when it is planned, and the moments it is ready with."""

    product: str
    quantity: int
    due: int | None
    planned: int
    ready: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Course:
    """A plan to be worked through.

    Attributes:
        moments: everything that happens, in an order in which each comes after what leads to it.
        arcs: for each moment what leads to it.
        works: the batches.
        limits: the waits with a most.
        leavings: when people are done.
        orders: the orders.
        ends: the moments of which the last is the finish.
        finish: the planned finish.
        now: when the plan was made, if a part of the shift was over then: only the rest is worked through.
    """

    moments: tuple[Moment, ...]
    arcs: tuple[tuple[Arc, ...], ...]
    works: tuple[Work, ...]
    limits: tuple[Limit, ...]
    leavings: tuple[Leaving, ...]
    orders: tuple[Due, ...]
    ends: tuple[int, ...]
    finish: int
    now: int | None = None
