"""What a delay came from: the way back along what really happened, and what each minute on it is owed to.

The way back is the critical chain of the shift as it was worked: from the last end to what let that batch begin, and
on from there. Where a batch of the chain ended later than planned, the difference is taken apart into what it took
itself, what kept it from beginning, and the room that the plan had left. Room and minutes made up count below zero, so
that the minutes of an account always add up to the slip that it explains.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from stationplan.scenario.units import format_clock, format_duration

Kind = Literal["steps", "people", "equipment", "goods", "failed", "orders", "waits", "early", "room", "not known"]


@dataclass(frozen=True, slots=True)
class Cause:
    """Minutes of a slip, below 0 for minutes made up, and what they are owed to.

    Attributes:
        kind: 'steps': a step took longer or shorter; 'people', 'equipment', 'goods': they were not there, or busy with
            something else; 'failed': what a failed batch had to be made again for; 'orders': what was ordered since;
            'waits': what it takes came later, or a wait was cut short; 'early': begun earlier than planned; 'room': the
            plan had left it; 'not known': the record does not say.
        minutes: how many.
        label: the batch that they were lost or made up at, '' for none.
        what: the same in words.
    """

    kind: Kind
    minutes: int
    label: str
    what: str


@dataclass(frozen=True, slots=True)
class Before:
    """A batch that had to come before another.

    Attributes:
        label: the batch that came before.
        ready: when it let the other begin.
        kind: 'waits', or the 'people' or 'equipment' that both needed.
        on: the wait, person or station.
        from_start: whether it let go so many minutes after its start, and not before or after its end.
    """

    label: str
    ready: int
    kind: Literal["waits", "people", "equipment"]
    on: str
    from_start: bool = False


@dataclass(frozen=True, slots=True)
class Keeping:
    """Something other than a batch that kept a batch from beginning at ``since`` or later, but before ``until``.

    ``what`` is it in words, ``doing`` what of the batch it kept: ' from being unloaded', or nothing for all of it.
    """

    kind: Literal["people", "equipment", "goods"]
    since: int
    until: int
    what: str
    doing: str = ""


@dataclass(frozen=True)
class Job:
    """Something that has ended: a batch, or with ``label`` '' the moment at which everything was ready.

    Attributes:
        label: the batch.
        name: its step.
        planned: from when to when, in the plan that the shift began with; None when that did not have it.
        start: when it began.
        end: when it ended.
        before: the batches that it could not begin before; those named first explain best.
        keeping: what else kept it.
        longer: what made it take longer, apart from the step itself.
        unrecorded: batches that come before it and of which nothing is recorded.
        added: why it was not in the plan; only its kind and words count.
    """

    label: str
    name: str
    planned: tuple[int, int] | None
    start: int
    end: int
    before: tuple[Before, ...] = ()
    keeping: tuple[Keeping, ...] = ()
    longer: tuple[Cause, ...] = ()
    unrecorded: tuple[str, ...] = ()
    added: Cause = Cause("not known", 0, "", "it was not in the plan")


@dataclass(frozen=True)
class Account:
    """Why something was ready at another time than planned.

    Attributes:
        planned: minutes since midnight of the first day.
        actual: the same.
        causes: what the difference is owed to, in the order of time; their minutes add up to it.
        chain: labels of the batches that it hung on, in the order of time.
    """

    planned: int
    actual: int
    causes: tuple[Cause, ...]
    chain: tuple[str, ...]

    @property
    def slip(self) -> int:
        """Minutes later than planned, below 0 for earlier."""
        return self.actual - self.planned


def account_of(jobs: Mapping[str, Job], last: Job) -> Account:
    """Take the slip of a moment apart.

    Args:
        jobs: every batch that has ended, by label.
        last: the moment: no label, ``planned`` and ``start`` are when it was to be and when it was.

    Returns:
        Its account.
    """
    assert last.planned is not None
    causes: list[Cause] = []
    chain: list[str] = []
    job, seen = last, {last.label}
    while True:
        driver = _driver(jobs, job, seen)
        causes += _kept(jobs, job, driver, seen)
        if driver is None:
            break
        causes.append(_room(jobs, job, driver))
        job = jobs[driver.label]
        seen.add(job.label)
        chain.append(job.label)
        if not driver.from_start:
            causes += _took(job)
    told = tuple(cause for cause in reversed(causes) if cause.minutes)
    return Account(last.planned[0], last.start, told, tuple(reversed(chain)))


def _driver(jobs: Mapping[str, Job], job: Job, seen: set[str]) -> Before | None:
    """The planned batch that let it begin last; none when the plan itself did not want it sooner."""
    known = [before for before in job.before if before.label in jobs and before.label not in seen]
    planned = [before for before in known if jobs[before.label].planned is not None]
    anew = max((before.ready for before in known if jobs[before.label].planned is None), default=0)
    if max((before.ready for before in planned), default=anew) < anew:
        # What was in the way only because it waited for a batch that is made anew explains nothing.
        planned = [b for b in planned if b.kind == "waits" or _planned_ready(jobs, b) <= _span(job)[0]]
    last = max(planned, key=lambda before: before.ready, default=None)
    # The finish is where its last batch puts it, early or late; a batch may begin when the plan says.
    if last is None or not job.label or last.ready > _span(job)[0]:
        return last
    return None


def _span(job: Job) -> tuple[int, int]:
    return (job.start, job.end) if job.planned is None else job.planned


def _planned_ready(jobs: Mapping[str, Job], driver: Before) -> int:
    """When a batch would have let another begin, had it gone as planned."""
    before = jobs[driver.label]
    start, end = _span(before)
    return start + driver.ready - before.start if driver.from_start else end + driver.ready - before.end


def _kept(jobs: Mapping[str, Job], job: Job, driver: Before | None, seen: set[str]) -> Iterator[Cause]:
    """What lies between the moment at which its driver, or the plan, let it begin, and its beginning; latest first."""
    free = _span(job)[0] if driver is None else driver.ready
    found: list[Cause] = []
    reached = free
    while reached < job.start:
        until, cause = max(_pushes(jobs, job, reached, seen), key=lambda push: push[0], default=(job.start, None))
        until = min(until, job.start)
        found.append(replace(cause or _not_known(job), minutes=until - reached, label=job.label))
        reached = until
    if reached > job.start and driver is not None:
        cut = f"{driver.on or 'the wait'} before {job.label} was cut short by {format_duration(reached - job.start)}"
        found.append(Cause("waits", job.start - reached, job.label, cut))
    elif reached > job.start:
        early = f"{job.label} {job.name} began earlier than planned ({format_clock(free)})"
        found.append(Cause("early", job.start - reached, job.label, early))
    yield from reversed(found)


def _pushes(jobs: Mapping[str, Job], job: Job, at: int, seen: set[str]) -> Iterator[tuple[int, Cause]]:
    """Whatever forbids a beginning at a minute, and until when."""
    for keeping in job.keeping:
        if keeping.since <= at < keeping.until:
            yield keeping.until, Cause(keeping.kind, 0, "", f"{keeping.what} kept {job.label}{keeping.doing}")
    for before in job.before:
        other = jobs.get(before.label)
        if other is not None and other.planned is None and before.label not in seen and before.ready > at:
            yield before.ready, other.added


def _not_known(job: Job) -> Cause:
    if job.unrecorded:
        what = f"nothing is recorded of {', '.join(job.unrecorded)}, before {job.label} {job.name}"
    else:
        what = f"nothing recorded kept {job.label} {job.name} from beginning"
    return Cause("not known", 0, "", what)


def _room(jobs: Mapping[str, Job], job: Job, driver: Before) -> Cause:
    """What the plan had left between a batch and the one that it hung on; more than nothing if it was to come later."""
    minutes = _planned_ready(jobs, driver) - _span(job)[0]
    if minutes <= 0:
        until = f"before {job.label}" if job.label else "until then"
        return Cause("room", minutes, driver.label, f"the plan had left room after {driver.label}, {until}")
    if driver.kind == "waits":
        return Cause("waits", minutes, job.label, f"{job.label or 'it'} waited for {driver.label}, planned for later")
    doing = "was busy with" if driver.kind == "people" else "held"
    what = f"{driver.on} {doing} {driver.label}, not planned before {job.label}"
    return Cause(driver.kind, minutes, job.label, what)


def _took(job: Job) -> Iterator[Cause]:
    """Why a batch took another time than planned; latest first, the step itself last."""
    start, end = _span(job)
    taken, planned = job.end - job.start, end - start
    left = taken - planned
    for cause in job.longer:
        minutes = min(cause.minutes, left)
        if minutes > 0:
            yield replace(cause, minutes=minutes, label=job.label)
            left -= minutes
    what = f"{job.label} {job.name} took {format_duration(taken)} instead of {format_duration(planned)}"
    yield Cause("steps", left, job.label, what)
