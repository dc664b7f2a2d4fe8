"""A schedule with everything that the plan looks up in it: what takes which resource, and when."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from stationplan.network.network import BatchTask, HandUse

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from stationplan.engine.problem import Mode, Schedule
    from stationplan.network import Network
    from stationplan.network.network import SeatUse
    from stationplan.network.so_far import Run


@dataclass(frozen=True, slots=True)
class Span:
    """Some room of a resource, taken from ``start`` to ``end``, minutes after opening.

    ``task`` takes it with its use number ``use``, or, with ``use`` None, a lot that ``task`` takes up.
    """

    resource: int
    start: int
    end: int
    amount: int
    task: int
    use: int | None
    state: str | None = None


@dataclass(frozen=True)
class Timeline:
    """A network and a schedule of it; tasks and resources by their positions, times in minutes after opening."""

    network: Network
    schedule: Schedule

    def batches(self) -> Iterator[tuple[int, BatchTask]]:
        """Every task that is a batch, with its position."""
        for task, meaning in enumerate(self.network.tasks):
            if isinstance(meaning, BatchTask):
                yield task, meaning

    def begun(self, task: int) -> Run | None:
        """What is known of a batch that has begun."""
        meaning = self.network.tasks[task]
        return meaning.begun if isinstance(meaning, BatchTask) else None

    def start(self, task: int) -> int:
        """When a task starts; before 0 where it has begun before opening."""
        run = self.begun(task)
        return self.schedule.tasks[task].start if run is None else run.start - self.network.opens

    def end(self, task: int) -> int:
        """When a task ends."""
        run = self.begun(task)
        return self.schedule.end(self.network.problem, task) if run is None else run.end - self.network.opens

    def mode(self, task: int) -> Mode:
        """The way in which a task is done."""
        return self.network.problem.tasks[task].modes[self.schedule.tasks[task].mode]

    def uses(self, task: int) -> tuple[SeatUse | HandUse, ...]:
        """What each use of a task's mode means in the kitchen; none for the move of a lot, or for stock."""
        meaning = self.network.tasks[task]
        return meaning.modes[self.schedule.tasks[task].mode] if isinstance(meaning, BatchTask) else ()

    def spans_of(self, task: int) -> Iterator[Span]:
        """What a task takes up, use by use; what has begun only from now on."""
        start, end = self.schedule.tasks[task].start, self.schedule.end(self.network.problem, task)
        for number, use in enumerate(self.mode(task).uses):
            begins = start + use.offset
            ends = end if use.length is None else begins + use.length
            yield Span(self.schedule.tasks[task].resources[number], begins, ends, use.amount, task, number, use.state)

    def hold_span(self, hold: int) -> Span:
        """What a waiting lot takes up."""
        entry = self.network.problem.holds[hold]
        start, end = self.end(entry.before), self.start(entry.after)
        return Span(self.schedule.holds[hold], start, end, entry.amount, entry.after, None)

    @cached_property
    def taken(self) -> Mapping[int, list[Span]]:
        """Everything that takes up each resource, by start; what takes no time is left out."""
        found: dict[int, list[Span]] = defaultdict(list)
        spans = [span for task in range(len(self.network.tasks)) for span in self.spans_of(task)]
        spans += [self.hold_span(hold) for hold in range(len(self.network.problem.holds))]
        for span in sorted(spans, key=lambda span: (span.start, span.end, span.task)):
            if span.start < span.end:
                found[span.resource].append(span)
        return found

    @cached_property
    def before(self) -> Mapping[int, list[int]]:
        """For each batch the batches that it takes something up from."""
        found: dict[int, list[int]] = defaultdict(list)
        for lot in self.network.lots:
            if lot.after is not None:
                found[lot.after].append(lot.before)
        return found
