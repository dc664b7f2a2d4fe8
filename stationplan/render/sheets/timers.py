"""The list of timers: when to ring, for what, and when to set it going."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence

from stationplan.plan.document import Batch, Stay
from stationplan.plan.wording import listed
from stationplan.render.phrases import joined
from stationplan.render.sheets.model import Row, Sheet
from stationplan.render.sheets.people import going_on
from stationplan.render.sheets.source import Source
from stationplan.scenario.units import format_clock, format_duration

HEADINGS = ("rings", "for what", "who", "set at", "runs")
NAME = "timers"


def timers_sheet(source: Source) -> Sheet:
    """Every moment at which hands are wanted again, or a wait is over; nothing of batches that are done.

    Args:
        source: the plan.
    """
    rows = [row for batch in source.standing if not source.done(batch) for row in _alone(source, batch)]
    rows += _waits(source)
    rows += [
        _reminder(change.start, "", f"set {change.station} to {change.after}")
        for change in source.plan.changes
        if change.kind != "wash"
    ]
    rows.sort(key=lambda row: (row.start, row.labels, row.what))
    return Sheet("timers", NAME, source.plan.name, HEADINGS, tuple(rows)).without_empty_columns()


def _row(begin: int, ring: int, labels: Sequence[str], what: str, who: str, critical: bool) -> Row:
    cells = (who, format_clock(begin), format_duration(ring - begin))
    return Row(ring, ring, format_clock(ring), joined(labels), what, cells, critical=critical)


def _reminder(ring: int, label: str, what: str, critical: bool = False) -> Row:
    """What begins at a time of day, and not when a timer has run."""
    return Row(ring, ring, format_clock(ring), label, what, ("", "", ""), critical=critical)


def _alone(source: Source, batch: Batch) -> Iterator[Row]:
    """One for each time that a batch goes on without anybody."""
    critical = batch.label in source.critical
    free = batch.start
    hands = sorted(batch.hands, key=lambda hand: hand.start)
    if not hands or hands[0].start > batch.start:
        # Somebody has to see to it, though no hands are reckoned with.
        yield _reminder(batch.start, batch.label, f"{batch.step}: begins by itself", critical)
    for hand in hands:
        if hand.start > free:
            coming = listed([other.person for other in hands if other.start == hand.start])
            what = f"{batch.step}: {going_on(hand)}"
            yield _row(free, hand.start, [batch.label], what, coming, critical)
        free = max(free, hand.end)
    if batch.end > free:
        yield _row(free, batch.end, [batch.label], f"{batch.step}: done", "", critical)


def _waits(source: Source) -> Iterator[Row]:
    """One for all that begins to wait at the same time and has waited long enough at the same time."""
    alike: dict[tuple[int, int, str], list[tuple[Stay, str]]] = defaultdict(list)
    for before, passings in source.out_of.items():
        for passing in () if source.failed(before) else passings:
            for position, stay in enumerate(passing.stays):
                if stay.least:
                    following = passing.stays[position + 1 : position + 2]
                    place = following[0].station if following else None
                    taker = stay.after if stay.after and not following else ""
                    word = f"move to {place}" if place else "long enough"
                    what = f"{stay.name or stay.item}: {word}"
                    alike[stay.start, stay.start + stay.least, what].append((stay, taker))
    for (begin, ring, what), lots in alike.items():
        labels = list(dict.fromkeys(stay.before for stay, _ in lots))
        takers = sorted({taker for _, taker in lots if taker}, key=lambda label: (source.batches[label].start, label))
        critical = any(stay.before in source.critical and taker in source.critical for stay, taker in lots)
        ready = f", for {joined(takers)}" if takers else ""
        who = source.begun_by(takers[0]) if takers else ""
        yield _row(begin, ring, labels, f"{what}{ready}", who, critical)
