"""What has happened of a plan by some moment: what its network is built around when the rest is planned anew."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from fractions import Fraction

    from stationplan.network.network import SeatUse
    from stationplan.network.times import Doing
    from stationplan.scenario.units import Setting

Outcome = Literal["done", "running", "lost"]
StageKey = tuple[str, str, int]
"""Item, step and round."""

WaitKey = tuple[str, str | None, int | None]
"""Labels of the batches before and after, None for delivery, and the position of the wait, None for all of them."""


@dataclass(frozen=True, slots=True)
class Hands:
    """One person's work on a batch, minutes since midnight of the first day."""

    person: str
    start: int
    end: int
    doing: Doing

    def begun(self, run_start: int, now: int) -> bool:
        """Whether it is under way or over: what a batch begins with has begun with it, even if that was only now."""
        return self.start < now or self.start == run_start


@dataclass(frozen=True, slots=True)
class Run:
    """A batch that has begun.

    Attributes:
        label: its label.
        item: what is made.
        step: the step.
        round: 1.. of a repeated step.
        number: its number among the batches of the step.
        size: what it takes up, in base units of the item.
        start: when it began, minutes since midnight of the first day.
        end: when it ended, or is expected to.
        outcome: whether it is done, still running, or lost: what went into it is gone and nothing comes out.
        seats: the stations that it is on, for all of its time, and what it takes up there.
        hands: who works on it and when.
    """

    label: str
    item: str
    step: str
    round: int
    number: int
    size: Fraction
    start: int
    end: int
    outcome: Outcome
    seats: tuple[tuple[str, SeatUse], ...] = ()
    hands: tuple[Hands, ...] = ()

    @property
    def stage(self) -> StageKey:
        """Item, step and round."""
        return (self.item, self.step, self.round)

    @property
    def lost(self) -> bool:
        """Whether nothing comes out of it."""
        return self.outcome == "lost"


@dataclass(frozen=True, slots=True)
class Meant:
    """A batch as the plan so far has it: its number, its size in base units, and who and what it was to be done by."""

    number: int
    size: Fraction
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stood:
    """A wait as the plan so far has it: where what comes from a batch stands, and when it goes on from there."""

    before: str
    after: str | None
    position: int
    station: str | None
    amount: int
    until: int


@dataclass(frozen=True)
class SoFar:
    """What has happened until ``now``.

    Attributes:
        now: minutes since midnight of the first day; nothing that has not begun starts before.
        runs: every batch that has begun.
        meant: the batches of each stage in the plan so far, begun or not, by number.
        stood: the waits of the plan so far.
        letters: what each item is called in labels.
        ovens: what each oven or prover chamber is at now, by the station's name; the others are as at opening.
        lift: waits of what has begun that may go on longer than their most: labels of the batches before and after,
            and the position of the wait.
        lift_waits: let all of them.
        lift_places: waits of what comes from batches that have begun that need no place: label and position.
        counted: how much is counted on of stock that cannot all be used in time, in base units of its item, by its
            place among the stock of the scenario.
    """

    now: int
    runs: tuple[Run, ...] = ()
    meant: Mapping[StageKey, tuple[Meant, ...]] = field(default_factory=dict)
    stood: tuple[Stood, ...] = ()
    letters: Mapping[str, str] = field(default_factory=dict)
    ovens: Mapping[str, Setting] = field(default_factory=dict)
    lift: frozenset[WaitKey] = frozenset()
    lift_waits: bool = False
    lift_places: frozenset[tuple[str, int]] = frozenset()
    counted: Mapping[int, Fraction] = field(default_factory=dict)

    def stood_at(self, before: str, after: str | None, position: int) -> Stood | None:
        """The wait between two batches, else one like it of what comes from the same batch, by their labels."""
        found = self._stood.get((before, position), [])
        return next((stood for stood in found if stood.after == after), next(iter(found), None))

    def begun(self, stage: StageKey) -> tuple[Run, ...]:
        """The batches of a stage that have begun, in the order in which they began."""
        return tuple(self._begun.get(stage, ()))

    @cached_property
    def _stood(self) -> Mapping[tuple[str, int], list[Stood]]:
        found: dict[tuple[str, int], list[Stood]] = defaultdict(list)
        for stood in self.stood:
            found[stood.before, stood.position].append(stood)
        return found

    @cached_property
    def _begun(self) -> Mapping[StageKey, list[Run]]:
        found: dict[StageKey, list[Run]] = defaultdict(list)
        for run in sorted(self.runs, key=lambda run: (run.start, run.number)):
            found[run.stage].append(run)
        return found
