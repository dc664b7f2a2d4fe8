"""What there is to know about each batch, in a few lines."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from stationplan.render.phrases import clock_span, room, setting, size, working
from stationplan.render.sheets.source import Source
from stationplan.scenario.units import format_duration

if TYPE_CHECKING:
    from stationplan.plan.document import Batch, Plan, Seat
    from stationplan.render.sheets.model import Note


@dataclass(frozen=True)
class Detail:
    """A batch: its label and step, what there is to know as pairs of a word and some lines, and notes as on sheets."""

    label: str
    step: str
    critical: bool
    facts: tuple[tuple[str, tuple[str, ...]], ...]
    notes: tuple[Note, ...]


@dataclass(frozen=True)
class Chapter:
    """All batches of an item, in the order of time."""

    title: str
    details: tuple[Detail, ...]


def chapters(plan: Plan) -> tuple[Chapter, ...]:
    """Every batch of a plan, item by item in the order of the legend.

    Args:
        plan: a plan that has passed the check.
    """
    source = Source.of(plan, {})
    own: dict[str, list[Batch]] = defaultdict(list)
    for batch in sorted(plan.batches, key=lambda batch: (batch.start, batch.end)):
        own[batch.item].append(batch)
    return tuple(
        Chapter(f"{entry.letters} {entry.item}", tuple(_detail(source, batch) for batch in own[entry.item]))
        for entry in plan.legend
    )


def _detail(source: Source, batch: Batch) -> Detail:
    number = f", batch {batch.number} of {batch.of}" if batch.of > 1 else ""
    facts = (
        ("when", (f"{clock_span(batch.start, batch.end)}, {format_duration(batch.end - batch.start)}",)),
        ("how much", (f"{size(batch)}{number}",)),
        ("where", tuple(_seat(source.plan, seat, batch) for seat in batch.seats)),
        ("who", tuple(working(hand) for hand in batch.hands) or ("nobody, it runs by itself",)),
    )
    return Detail(
        batch.label,
        batch.step,
        batch.label in source.critical,
        tuple(fact for fact in facts if fact[1]),
        (*source.at_the_start(batch), *source.at_the_end(batch)),
    )


def _seat(plan: Plan, seat: Seat, batch: Batch) -> str:
    when = "" if (seat.start, seat.end) == (batch.start, batch.end) else clock_span(seat.start, seat.end)
    takes = f"takes {room(plan, seat.station, seat.amount)}"
    return ", ".join(part for part in (seat.station, takes, setting(seat), when) if part)
