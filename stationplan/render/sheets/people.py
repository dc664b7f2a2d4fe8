"""The sheet of a person: what to do when, what to take for it, and who waits for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from stationplan.plan.document import Batch, Hand
from stationplan.plan.wording import listed
from stationplan.render.phrases import NO_ONE, clock_span, setting, size
from stationplan.render.presence import times_away
from stationplan.render.sheets.model import Note, Row, Sheet
from stationplan.render.sheets.source import Source
from stationplan.scenario.units import format_clock

HEADINGS = ("time", "what", "how much", "where")
DOING = {"hands-on": "work", "load": "put in", "unload": "take out"}
"""What hands do, said to the one who does it."""


@dataclass(frozen=True, slots=True)
class Job:
    """One person at a batch without a break: from ``start`` to ``end``, doing one thing after the other."""

    batch: Batch
    start: int
    end: int
    doing: tuple[str, ...]


def person_sheet(source: Source, person: str) -> Sheet:
    """All that a person does, and the breaks in between.

    Args:
        source: the plan.
        person: whose sheet it is.
    """
    jobs = sorted(_jobs(source, person), key=lambda job: (job.start, job.end, job.batch.label))
    rows = [_row(source, person, job) for job in jobs]
    for absence in times_away(source.plan).get(person, ()):
        if source.plan.opens <= absence.start and absence.end <= source.plan.finish:
            word = "break" if absence.rests else "off"
            rows.append(Row(absence.start, absence.end, clock_span(absence.start, absence.end), "", word, ("", "")))
    rows.sort(key=lambda row: row.start)
    about = source.plan.name
    if jobs:
        about += f": {clock_span(jobs[0].start, max(job.end for job in jobs))}"
    return Sheet("person", person, about, HEADINGS, tuple(rows))


def nobodys_sheet(source: Source) -> Sheet:
    """The batches that nobody's hands are needed for: somebody has to know of them all the same.

    Args:
        source: the plan.
    """
    batches = sorted((batch for batch in source.standing if not batch.hands), key=lambda batch: batch.start)
    rows = tuple(
        Row(
            batch.start,
            batch.end,
            clock_span(batch.start, batch.end),
            batch.label,
            source.step(batch),
            (size(batch), _where(batch)),
            (*source.at_the_start(batch), *source.at_the_end(batch)),
            batch.label in source.critical,
        )
        for batch in batches
    )
    return Sheet("nobody", NO_ONE, source.plan.name, HEADINGS, rows)


def _where(batch: Batch) -> str:
    return listed([f"{seat.station} {setting(seat)}".rstrip() for seat in batch.seats])


def _jobs(source: Source, person: str) -> Iterator[Job]:
    for batch in source.standing:
        job: Job | None = None
        for hand in sorted((hand for hand in batch.hands if hand.person == person), key=lambda hand: hand.start):
            if job is not None and job.end == hand.start:
                job = replace(job, end=hand.end, doing=(*job.doing, DOING[hand.doing]))
                continue
            if job is not None:
                yield job
            job = Job(batch, hand.start, hand.end, (DOING[hand.doing],))
        if job is not None:
            yield job


def _row(source: Source, person: str, job: Job) -> Row:
    batch = job.batch
    # Whoever only works is told the step alone.
    doing = "" if set(job.doing) == {DOING["hands-on"]} else f": {listed(job.doing)}"
    return Row(
        job.start,
        job.end,
        clock_span(job.start, job.end),
        batch.label,
        source.step(batch, doing),
        (size(batch), _where(batch)),
        tuple(_notes(source, person, job)),
        batch.label in source.critical,
    )


def _notes(source: Source, person: str, job: Job) -> Iterator[Note]:
    batch = job.batch
    others = dict.fromkeys(
        hand.person for hand in batch.hands if hand.person != person and hand.start < job.end and hand.end > job.start
    )
    if others:
        yield Note("with", f"with {listed(list(others))}")
    if all(job.start <= hand.start for hand in batch.hands):
        if job.start > batch.start:
            yield Note("alone", f"begins by itself {format_clock(batch.start)}")
        yield from source.at_the_start(batch)
    later = sorted((hand for hand in batch.hands if hand.start >= job.end), key=lambda hand: hand.start)
    if later:
        yield Note("alone", _afterwards(later, job.end))
        return
    if batch.end > job.end:
        yield Note("alone", f"then by itself until {format_clock(batch.end)}")
    yield from source.at_the_end(batch)


def _afterwards(later: list[Hand], since: int) -> str:
    """What happens to a batch until hands are at it again, and whose they are."""
    again = later[0].start
    people = listed([hand.person for hand in later if hand.start == again])
    alone = f"by itself until {format_clock(again)}, then " if again > since else ""
    return f"then {alone}{people}: {going_on(later[0])}"


def going_on(hand: Hand) -> str:
    """What hands do that come back to a batch."""
    return "go on" if hand.doing == "hands-on" else DOING[hand.doing]
