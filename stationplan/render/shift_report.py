"""What became of a plan, in tables of text and as JSON."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import asdict
from fractions import Fraction
from itertools import groupby, takewhile
from typing import Any

from stationplan.live.report import OrderRow, Report, ShiftReport, StationRow, StepRow
from stationplan.live.report_delays import Account, Cause, Kind
from stationplan.live.report_times import LEAST_RUNS, StepTimes
from stationplan.plan.wording import ordered
from stationplan.render.lettering import clean, wrap
from stationplan.render.overview import table
from stationplan.scenario.units import format_clock, format_duration

_MOST_LABELS = 12
_MINUTES_COLUMNS = 7
_LEAST_ALIKE = 3
"""Lines that are not printed again where an account above has them from its beginning on."""
_KINDS: dict[Kind, str] = {
    "steps": "steps took longer or shorter",
    "people": "people away, or busy with something else",
    "equipment": "equipment out of use, slower or taken",
    "goods": "goods came late",
    "failed": "batches failed and were made again",
    "orders": "orders changed",
    "waits": "waits cut short, or for what was planned later",
    "early": "begun earlier than planned",
    "room": "room that the plan had left",
    "not known": "not known",
}
_CAUTION = (
    "caution: what must be hot, or cold, for so long is not made shorter by this; your local code and your own "
    "food-safety plan decide"
)


def report_page(report: Report, *, width: int, unicode: bool = True) -> str:
    """Everything on one page.

    Args:
        report: on one or several shifts.
        width: most columns of a line, at least 60.
        unicode: whether names may hold more than ASCII.

    Returns:
        For each shift how it went, what its delays came from, and planned against actual by step and station; then the
        times in the recipes; with empty lines between, and a line end at the end.
    """
    parts = [part for shift in report.shifts for part in _shift(shift, width, unicode)]
    parts += [_owed(report, width, unicode), _times(report, width, unicode)]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def report_json(report: Report) -> str:
    """The same as JSON, indented, with minutes since midnight for times of day and minutes for lengths.

    Args:
        report: on one or several shifts.
    """
    document = {
        "format": "stationplan shift report",
        "version": 1,
        "shifts": [{**asdict(shift), "day": shift.day.isoformat()} for shift in report.shifts],
        "times": [_time_json(times) for times in report.times],
    }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def _time_json(times: StepTimes) -> dict[str, Any]:
    time = times.time
    return {
        "item": time.item,
        "step": time.step,
        "on": time.on,
        "takes": str(time.takes),
        "runs": times.runs,
        "hindered": times.hindered,
        "grows": time.grows,
        "median": None if times.median is None else str(times.median),
        "ninetieth": None if times.ninth is None else str(times.ninth),
        "advice": None if times.advice is None else str(times.advice),
    }


def _shift(shift: ShiftReport, width: int, unicode: bool) -> Iterator[list[str]]:
    yield [line for text in _headline(shift) for line in wrap(clean(text, unicode), width, "  ")]
    shown: list[tuple[str, Account]] = []
    for title, account in _accounts(shift):
        if account.slip and account not in [other for _, other in shown]:
            yield _account(title, account, shown, width, unicode)
            shown.append((title, account))
    failed = ("failed",) if shift.lost else ()
    header, sides = ("batches", *failed, "planned", "taken", "difference"), f"ll{'r' * len(failed)}rrr"
    if shift.steps:
        title = "planned against actual, in minutes, of batches that have ended well"
        lines = _titled(title, ("step", *header), _step_rows(shift), sides, width, unicode)
        if not all(row.ended for row in shift.steps):
            lines += wrap("-: no batch of it has ended well", width, "  ")
        yield lines
    if shift.stations:
        title = "the same by station"
        yield _titled(title, ("station", *header), _station_rows(shift), sides, width, unicode)


def _titled(
    title: str, header: tuple[str, ...], rows: Iterable[tuple[str, ...]], sides: str, width: int, unicode: bool
) -> list[str]:
    return [*wrap(title, width, "  "), *table(header, list(rows), sides, width, unicode)]


def _step_rows(shift: ShiftReport) -> Iterator[tuple[str, ...]]:
    """A row for each step, and one above those of each item."""
    for item, group in groupby(shift.steps, lambda row: row.item):
        yield item, *(("",) * (5 if shift.lost else 4))
        for row in group:
            ended = str(row.ended) if row.ended == row.batches else f"{row.ended} of {row.batches}"
            yield f"- {row.step}", ended, *_failed(shift, row), *_minutes(row.planned, row.taken, row.ended)


def _station_rows(shift: ShiftReport) -> Iterator[tuple[str, ...]]:
    for row in shift.stations:
        used = (
            str(row.batches) if row.batches == row.planned_batches else f"{row.batches}, planned {row.planned_batches}"
        )
        minutes = _minutes(row.planned, row.taken, row.planned_batches + row.batches)
        yield row.name, used, *_failed(shift, row), *minutes


def _failed(shift: ShiftReport, row: StepRow | StationRow) -> tuple[str, ...]:
    """How many failed, where there is a column for it."""
    return (str(row.lost or ""),) if shift.lost else ()


def _headline(shift: ShiftReport) -> Iterator[str]:
    yield f"{shift.name}, {shift.day.isoformat()}"
    ended = shift.batches - len(shift.not_ended) - len(shift.lost)
    lost = f", {len(shift.lost)} failed ({_labels(shift.lost)})" if shift.lost else ""
    rest = f"; of {len(shift.not_ended)} no end is recorded: {_labels(shift.not_ended)}" if shift.not_ended else ""
    yield f"{shift.batches} batches: {ended} ended well{lost}{rest}"
    if shift.finish is None:
        yield f"the finish, planned {format_clock(shift.planned_finish)}, is not known"
    else:
        yield f"finished {_moment(shift.finish.actual, shift.planned_finish)}"
    yield from (_order(order) for order in shift.orders)


def _order(order: OrderRow) -> str:
    text = ordered(order.quantity, order.unit, order.product)
    if order.ready is None:
        planned = "" if order.planned is None else f", planned {format_clock(order.planned)}"
        return f"{text}: when it was ready is not known{planned}"
    when = format_clock(order.ready) if order.planned is None else _moment(order.ready, order.planned)
    if order.due is None:
        return f"{text} ready {when}"
    spare = order.due - order.ready
    tail = f"{format_duration(-spare)} late" if spare < 0 else f"{format_duration(spare)} to spare"
    return f"{text} ready {when}; due {format_clock(order.due)}: {tail}"


def _moment(actual: int, planned: int) -> str:
    if actual == planned:
        return f"{format_clock(actual)}, as planned"
    word = "later" if actual > planned else "earlier"
    return f"{format_clock(actual)}, {format_duration(abs(actual - planned))} {word} than planned"


def _labels(labels: Sequence[str]) -> str:
    more = f" and {len(labels) - _MOST_LABELS} more" if len(labels) > _MOST_LABELS else ""
    return f"{', '.join(labels[:_MOST_LABELS])}{more}"


def _accounts(shift: ShiftReport) -> Iterator[tuple[str, Account]]:
    if shift.finish is not None:
        yield "the finish", shift.finish
    for order in shift.orders:
        if order.account is not None:
            yield ordered(order.quantity, order.unit, order.product), order.account


def _account(
    title: str, account: Account, shown: Sequence[tuple[str, Account]], width: int, unicode: bool
) -> list[str]:
    """An account; of what one above has alike from its beginning on, only how much that is together."""
    word = "later" if account.slip > 0 else "earlier"
    slip = format_duration(abs(account.slip))
    lines = wrap(clean(f"what made {title} {slip} {word} than planned, in minutes", unicode), width, "  ")
    causes, chain = [(cause.minutes, cause.what) for cause in account.causes], account.chain
    common = [(_alike(account.causes, above.causes), other) for other, above in shown]
    alike, like = max(common, key=lambda one: one[0], default=(0, ""))
    until = next((cause.label for cause in reversed(account.causes[:alike]) if cause.label in chain), "")
    if until and alike >= _LEAST_ALIKE:
        causes[:alike] = [(sum(minutes for minutes, _ in causes[:alike]), f"as for {like} up to {until}")]
        chain = (f"as for {like} up to {until}", *chain[chain.index(until) + 1 :])
    for minutes, what in causes:
        first, *rest = wrap(clean(what, unicode), width - _MINUTES_COLUMNS, "  ")
        lines.append(f"{_signed(minutes):>{_MINUTES_COLUMNS - 2}}  {first}")
        lines += [f"{'':{_MINUTES_COLUMNS}}{line}" for line in rest]
    lines.append(f"{_signed(account.slip):>{_MINUTES_COLUMNS - 2}}  in all")
    lines += wrap(clean(f"it hung on: {' > '.join(chain)}", unicode), width, "  ")
    return lines


def _alike(one: Sequence[Cause], other: Sequence[Cause]) -> int:
    """How many causes two accounts have alike from their beginning on."""
    pairs = takewhile(lambda pair: pair[0] == pair[1], zip(one, other, strict=False))
    return sum(1 for _ in pairs)


def _signed(minutes: int) -> str:
    return f"{minutes:+d}" if minutes else "0"


def _minutes(planned: int, taken: int, batches: int) -> tuple[str, str, str]:
    """Minutes of so many batches, or dashes: of none there is nothing to compare."""
    return (str(planned), str(taken), _signed(taken - planned)) if batches else ("-", "-", "-")


def _owed(report: Report, width: int, unicode: bool) -> list[str]:
    """What the finishes of several shifts are owed to together."""
    finishes = [shift.finish for shift in report.shifts if shift.finish is not None]
    if len(finishes) < 2:
        return []
    minutes = Counter[Kind]()
    for account in finishes:
        for cause in account.causes:
            minutes[cause.kind] += cause.minutes
    rows = [(_KINDS[kind], _signed(minutes[kind])) for kind in _KINDS if minutes[kind]]
    rows.append(("in all", _signed(sum(minutes.values()))))
    title = f"what made {len(finishes)} finishes later or earlier than planned"
    return _titled(title, ("", "minutes"), rows, "lr", width, unicode)


def _times(report: Report, width: int, unicode: bool) -> list[str]:
    number = len(report.shifts)
    title = (
        f"how long steps took without loading and unloading, in {'this shift' if number == 1 else f'{number} shifts'}"
    )
    header = ("step", "takes", "batches", "half in", "9 of 10 in")
    if not report.times:
        return []
    lines = _titled(title, header, _time_rows(report.times), "llrrr", width, unicode)
    if any(times.time.grows and times.median is not None for times in report.times):
        lines += wrap("%: of the time that it was planned with, as this grows with the batch", width, "  ")
    hindered = sum(times.hindered for times in report.times)
    if hindered:
        lines += wrap(f"left out, as the equipment was slower or out of use meanwhile: {hindered}", width, "  ")
    better = [times for times in report.times if times.differs]
    lines.append("")
    if better:
        lines.append("the times in the recipes should be:")
    elif any(times.advice is not None for times in report.times):
        lines.append("the times in the recipes are right")
    for times in better:
        time = times.time
        lines += wrap(clean(f"{_name(times)}: {times.advice}, instead of {time.takes}", unicode), width, "  ")
    if any(times.shorter for times in better):
        lines += wrap(_CAUTION, width, "  ")
    few = sum(times.runs < LEAST_RUNS for times in report.times)
    if few:
        lines += wrap(f"no advice on {few} of {len(report.times)}: fewer than {LEAST_RUNS} batches", width, "  ")
    return lines


def _time_rows(every: Sequence[StepTimes]) -> Iterator[tuple[str, ...]]:
    """A row for each time, and one above those of each item."""
    for item, group in groupby(every, lambda times: times.time.item):
        yield item, "", "", "", ""
        for times in group:
            time = times.time
            name = f"- {time.step}{f' on {time.on}' if time.on else ''}"
            amounts = _amount(times.median, time.grows), _amount(times.ninth, time.grows)
            yield name, str(time.takes), str(times.runs), *amounts


def _name(times: StepTimes) -> str:
    time = times.time
    return f"{time.item}, {time.step}{f' on {time.on}' if time.on else ''}"


def _amount(value: Fraction | None, share: bool) -> str:
    """Minutes or a share, rounded up as advice is."""
    if value is None:
        return "-"
    return f"{-(-value * 100 // 1)} %" if share else f"{-(-value // 1)} min"
