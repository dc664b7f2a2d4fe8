"""How long steps really take, from the records of shifts, and what ``takes`` should be.

A time is corrected to a range from its median to its 90th percentile: half of the batches were done in the first, nine
out of ten in the second. Where a time grows with the size of the batch, all of it is corrected by the same shares,
since batches of one size cannot tell the fixed part from the rest.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import ceil
from statistics import median, quantiles
from typing import Any

from stationplan.live.record import Log
from stationplan.live.report_jobs import Ran
from stationplan.live.state import minutes_of
from stationplan.network.alternatives import named
from stationplan.network.measures import in_base_unit
from stationplan.scenario import from_plain
from stationplan.scenario.models import Item, Repeat, Scenario, Step
from stationplan.scenario.units import Span, StepTime

LEAST_RUNS = 5
"""Fewer say too little: the true median lies between the shortest and the longest of five runs in 15 cases of 16, of
four in 7 of 8, whatever the times are spread like (each run is as likely above it as below)."""

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Timed:
    """A time in a recipe.

    Attributes:
        item: component or product.
        step: name of the step.
        on: the equipment, where it is a time of just that.
        path: where it stands in a file with recipes, such as ('components', 'sponge', 'steps', 0, 'takes').
        depth: how many parts of the path lead to the step.
        written: the whole step as the shift was planned with it, as plain data.
        takes: the time.
        load: minutes of loading and unloading, which are no part of it.
    """

    item: str
    step: str
    on: str
    path: Path
    depth: int
    written: Mapping[str, Any]
    takes: StepTime
    load: int

    @property
    def grows(self) -> bool:
        """Whether it grows with the batch."""
        return self.takes.each is not None


@dataclass(frozen=True)
class StepTimes:
    """What shifts say of a time in a recipe.

    Attributes:
        time: the time.
        runs: batches that this rests on.
        hindered: batches left out because their equipment was recorded as slower or out of use meanwhile.
        median: of the minutes taken or, where the time grows with the batch, of their shares in those that ``takes``
            gives, at its long end; None without runs.
        ninth: the 90th percentile of the same.
        advice: what ``takes`` should be; None when too little is known.
    """

    time: Timed
    runs: int
    hindered: int
    median: Fraction | None = None
    ninth: Fraction | None = None
    advice: StepTime | None = None

    @property
    def differs(self) -> bool:
        """Whether there is advice, and other than what is written."""
        return self.advice is not None and self.advice != self.time.takes

    @property
    def shorter(self) -> bool:
        """Whether the advice is to reckon with less time than is written."""
        new, old = self.advice, self.time.takes
        if new is None:
            return False
        each = new.each is not None and old.each is not None and new.each.most < old.each.most
        return each or new.fixed.most < old.fixed.most


@dataclass
class _Seen:
    time: Timed
    taken: list[Fraction] = field(default_factory=list)
    hindered: int = 0


def times_of(logs: Sequence[Log], ran: Sequence[Mapping[str, Ran]]) -> tuple[StepTimes, ...]:
    """What shifts say of the times in the recipes.

    Runs count together where the whole step was written alike; a step that was written in another way is another one.

    Args:
        logs: their records.
        ran: of each, the batches that have ended.

    Returns:
        One entry for each time that a batch has been done in, in the order of the plans.
    """
    seen: dict[str, _Seen] = {}
    for log, of_log in zip(logs, ran, strict=True):
        scenario = from_plain(log.first.scenario)
        for one in of_log.values():
            time = _time_of(log, scenario, one) if one.run.outcome == "done" else None
            if time is None:
                continue
            key = json.dumps([time.path, time.written], sort_keys=True)
            entry = seen.setdefault(key, _Seen(time))
            if _hindered(log, scenario, one):
                entry.hindered += 1
            else:
                entry.taken += _taken(time, one, scenario.items[time.item])
    return tuple(_times(entry) for entry in seen.values())


def _time_of(log: Log, scenario: Scenario, one: Ran) -> Timed | None:
    """The time that a batch was planned with; None when the record does not say which of several it was."""
    batch = one.batch
    section = "components" if batch.item in scenario.components else "products"
    places = _steps(scenario.items[batch.item])
    path, step = next((path, step) for path, step in places if step.name == batch.step)
    path = (section, batch.item, *path)
    written: Any = log.first.scenario
    for part in path:
        written = written[part]
    used = {station.equipment for station in log.plan.stations if station.name in one.stations}
    kitchen = scenario.kitchen.equipment
    ways = [
        number if need.takes is not None else None
        for number, need in enumerate(step.equipment)
        if any(kitchen[position].name in used for position in named(need.use, kitchen))
    ]
    if len(set(ways)) > 1:
        return None
    way = ways[0] if ways else None
    own = None if way is None else step.equipment[way].takes
    return Timed(
        batch.item,
        batch.step,
        "" if way is None else step.equipment[way].use,
        (*path, *_way_to(written, way), "takes"),
        len(path),
        written,
        step.takes if own is None else own,
        ceil(step.load) + ceil(step.unload),
    )


def _way_to(written: Mapping[str, Any], way: int | None) -> Path:
    """From a step to the piece of equipment whose time it is; one alone may stand without a list."""
    if way is None:
        return ()
    return ("equipment", way) if isinstance(written["equipment"], list) else ("equipment",)


def _steps(item: Item) -> Iterator[tuple[Path, Step]]:
    for number, entry in enumerate(item.steps):
        if isinstance(entry, Step):
            yield ("steps", number), entry
        for position, inner in enumerate(entry.steps if isinstance(entry, Repeat) else ()):
            if isinstance(inner, Step):
                yield ("steps", number, "steps", position), inner


def _hindered(log: Log, scenario: Scenario, one: Ran) -> bool:
    """Whether the equipment, and not the recipe, made it last: no time in a recipe should be made longer by that."""
    planned = one.batch.end - one.batch.start
    # Also where the plan in force knows of it and reckons with the longer time.
    slower = minutes_of(replace(log.state, known=0), one.batch, one.run.start) > planned
    used = {station.equipment for station in log.plan.stations if station.name in one.stations}
    known = any(s.by for machine in scenario.kitchen.equipment if machine.name in used for s in machine.slower)
    out = (outage for station in one.stations for outage in log.state.all_outages_of(station))
    return (
        slower
        or known
        or any(outage.start < one.end and (outage.end is None or outage.end > one.run.start) for outage in out)
    )


def _taken(time: Timed, one: Ran, item: Item) -> Iterator[Fraction]:
    """The minutes that it took without loading and unloading, as a share of the reckoned ones where these grow."""
    taken = Fraction(max(0, one.end - one.run.start - time.load))
    takes = time.takes
    if takes.each is None:
        yield taken
        return
    per = Fraction(1) if takes.per is None else in_base_unit(takes.per, item, time.item, time.path)
    # In whole minutes, as it was planned: a batch that took just that asks for no correction.
    reckoned = ceil(takes.fixed.most + takes.each.most * one.batch.size / per)
    if reckoned:
        yield taken / reckoned


def _times(seen: _Seen) -> StepTimes:
    time, runs = seen.time, len(seen.taken)
    if not runs:
        return StepTimes(time, 0, seen.hindered)
    middle, ninth = median(seen.taken), ninetieth(seen.taken)
    # A step that is recorded as begun and ended in the same minute was recorded afterwards.
    enough = runs >= LEAST_RUNS and middle > 0
    return StepTimes(time, runs, seen.hindered, middle, ninth, _advice(time.takes, middle, ninth) if enough else None)


def ninetieth(values: Sequence[Fraction]) -> Fraction:
    """The 90th percentile of a sample: where 0.9 (n + 1) values lie below it, between two neighbours in proportion.

    That is the definition of the NIST/SEMATECH handbook (7.2.6.2); for fewer than nine values it is the largest.

    Args:
        values: at least one.
    """
    if len(values) == 1:
        return values[0]
    return min(max(values), quantiles(values, n=10, method="exclusive")[8])


def _advice(takes: StepTime, middle: Fraction, ninth: Fraction) -> StepTime:
    """From the median to the 90th percentile: whole minutes or, where it grows with the batch, whole five seconds."""
    if takes.each is None:
        span = _span(middle, ninth, Fraction(1))
        return takes if span == _span(takes.fixed.least, takes.fixed.most, Fraction(1)) else StepTime(span)
    fine = Fraction(5, 60)
    fixed = _span(takes.fixed.most * middle, takes.fixed.most * ninth, fine)
    return StepTime(fixed, _span(takes.each.most * middle, takes.each.most * ninth, fine), takes.per)


def _span(least: Fraction, most: Fraction, fine: Fraction) -> Span:
    """Both ends rounded up, as a plan reckons in whole minutes and should not promise too much."""
    return Span(ceil(least / fine) * fine, ceil(most / fine) * fine)
