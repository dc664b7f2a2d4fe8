"""What became of a plan: planned against actual, what delays came from, and what the times in the recipes should be.

Nothing is guessed: what has no recorded end is not reckoned with, and what the record does not explain is not known.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from stationplan.live.record import Log
from stationplan.live.report_delays import Account, Job, account_of
from stationplan.live.report_jobs import Ran, jobs_of, ran_of, ready_job
from stationplan.live.report_times import StepTimes, times_of
from stationplan.plan.document import Delivered
from stationplan.plan.passing import Passing, passings_of


@dataclass(frozen=True, slots=True)
class StepRow:
    """A step, planned and actual. Minutes are of the batches that have ended well, planned and taken by just these."""

    item: str
    step: str
    batches: int
    ended: int
    lost: int
    planned: int
    taken: int


@dataclass(frozen=True, slots=True)
class StationRow:
    """A station: of the batches that have ended well, those that were planned on it and those that were on it.

    Those that failed there are only counted (``lost``), as for steps.
    """

    name: str
    planned_batches: int
    batches: int
    lost: int
    planned: int
    taken: int


@dataclass(frozen=True, slots=True)
class OrderRow:
    """An order, when it was to be ready and when it was; None for what is not known.

    Attributes:
        product: what was ordered.
        quantity: how many, in ``unit``.
        unit: what the product is counted in.
        due: minutes since midnight of the first day.
        planned: None for an order that the first plan did not have.
        ready: None when not everything for it has ended well.
        account: why that differs from the plan.
    """

    product: str
    quantity: int
    unit: str
    due: int | None
    planned: int | None
    ready: int | None
    account: Account | None


@dataclass(frozen=True)
class ShiftReport:
    """One shift, against the plan that it began with.

    Attributes:
        name: of its plan.
        day: its first day.
        batches: how many the plan in force has.
        not_ended: labels of those without a recorded end.
        lost: labels of those that failed.
        planned_finish: minutes since midnight of the first day.
        finish: why the finish differs from the plan; None when something has not ended.
        steps: by item and step, in the order of the plan.
        stations: in the order of the plan.
        orders: in the order of the plan.
    """

    name: str
    day: date
    batches: int
    not_ended: tuple[str, ...]
    lost: tuple[str, ...]
    planned_finish: int
    finish: Account | None
    steps: tuple[StepRow, ...]
    stations: tuple[StationRow, ...]
    orders: tuple[OrderRow, ...]


@dataclass(frozen=True)
class Report:
    """One or several shifts, and what all of them together say of the times in the recipes."""

    shifts: tuple[ShiftReport, ...]
    times: tuple[StepTimes, ...]


def report_of(logs: Sequence[Log]) -> Report:
    """Report on shifts.

    Args:
        logs: their records.

    Returns:
        A report on each, in this order, and on the times of all of them.
    """
    ran = [ran_of(log) for log in logs]
    shifts = tuple(_shift(log, of_log) for log, of_log in zip(logs, ran, strict=True))
    return Report(shifts, times_of(logs, ran))


def _shift(log: Log, ran: Mapping[str, Ran]) -> ShiftReport:
    passings = passings_of(log.plan)
    jobs = jobs_of(log, ran, passings)
    last = ready_job(ran, [batch.label for batch in log.plan.batches], passings, log.first.finish)
    return ShiftReport(
        log.first.name,
        log.day,
        batches=len(log.plan.batches),
        not_ended=tuple(batch.label for batch in log.plan.batches if batch.label not in ran),
        lost=tuple(label for label, one in ran.items() if one.run.outcome == "lost"),
        planned_finish=log.first.finish,
        finish=None if last is None else account_of(jobs, last),
        steps=tuple(_steps(log, ran)),
        stations=tuple(_stations(log, ran)),
        orders=tuple(_orders(log, ran, jobs, passings)),
    )


def _orders(
    log: Log, ran: Mapping[str, Ran], jobs: Mapping[str, Job], passings: Sequence[Passing]
) -> Iterator[OrderRow]:
    units = {amount.item: amount.unit for amount in log.plan.amounts}
    stock = {one.label for one in log.plan.stock}
    for order, first in _with_planned(log):
        planned = None if first is None else first.ready
        lost = any(label in ran and ran[label].run.outcome == "lost" for label in order.batches)
        made = [label for label in order.batches if label not in stock]
        job = None if lost else ready_job(ran, made, passings, planned or 0)
        yield OrderRow(
            order.product,
            order.quantity,
            units.get(order.product, "piece"),
            order.due,
            planned,
            ready=None if job is None else job.start,
            account=None if job is None or planned is None else account_of(jobs, job),
        )


def _with_planned(log: Log) -> Iterator[tuple[Delivered, Delivered | None]]:
    """The orders of the plan in force, each with the one of the first plan that it most probably is."""
    left = list(log.first.orders)
    for order in log.plan.orders:
        alike = [other for other in left if other.product == order.product]
        same = min(alike, key=lambda o: (o.due != order.due, o.quantity != order.quantity), default=None)
        if same is not None:
            left.remove(same)
        yield order, same


def _steps(log: Log, ran: Mapping[str, Ran]) -> Iterator[StepRow]:
    by_step: dict[tuple[str, str], list[str]] = {}
    for batch in log.plan.batches:
        by_step.setdefault((batch.item, batch.step), []).append(batch.label)
    for (item, step), labels in by_step.items():
        ended = [ran[label] for label in labels if label in ran]
        well = [one for one in ended if one.run.outcome == "done"]
        planned = sum(one.reckoned.end - one.reckoned.start for one in well)
        taken = sum(one.end - one.run.start for one in well)
        yield StepRow(item, step, len(labels), len(well), len(ended) - len(well), planned, taken)


def _stations(log: Log, ran: Mapping[str, Ran]) -> Iterator[StationRow]:
    planned: dict[str, list[int]] = defaultdict(list)
    taken: dict[str, list[int]] = defaultdict(list)
    lost: Counter[str] = Counter()
    for one in ran.values():
        if one.run.outcome == "lost":
            lost.update(one.stations)
            continue
        for seat in one.reckoned.seats:
            planned[seat.station].append(seat.end - seat.start)
        for number, seat in enumerate(one.batch.seats):
            start, end = one.seat_span(seat)
            taken[one.station(number)].append(end - start)
    stations = (station.name for station in log.plan.stations)
    for name in dict.fromkeys((*stations, *planned, *taken, *lost)):
        minutes, used = planned[name], taken[name]
        if minutes or used or lost[name]:
            yield StationRow(name, len(minutes), len(used), lost[name], sum(minutes), sum(used))
