"""The wordings that lists and sheets of a plan have in common."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from stationplan.plan.document import Batch, Change, Hand, Plan, Seat
from stationplan.scenario.units import format_clock, format_number, format_quantity

NO_ONE = "without anybody"
"""Over what needs nobody's hands."""

_DAY = 24 * 60


def clock_span(start: int, end: int) -> str:
    """From when to when: ``07:28-07:48``, ``day 2 05:00-05:20``, ``23:50-day 2 00:10``."""
    text = format_clock(end)
    if start // _DAY == end // _DAY:
        text = text.rpartition(" ")[2]
    return f"{format_clock(start)}-{text}"


def size(batch: Batch) -> str:
    """How much a batch is: ``2 trays``."""
    return format_quantity(batch.size, batch.unit)


def room(plan: Plan, station: str, amount: int) -> str:
    """Room on a station: ``1 tray``."""
    return format_quantity(amount, next(other.unit for other in plan.stations if other.name == station))


def working(hand: Hand) -> str:
    """Who does what when: ``Odo loads 07:28-07:29``."""
    word = {"hands-on": "works", "load": "loads", "unload": "unloads"}[hand.doing]
    return f"{hand.person} {word} {clock_span(hand.start, hand.end)}"


def changing(change: Change) -> str:
    """What becomes of a station: ``is washed``, ``heats up``, without the temperatures."""
    return {"wash": "is washed", "heat": "heats up", "cool": "cools down", "setting": "changes"}[change.kind]


def from_and_to(change: Change) -> str:
    """The settings that an oven leaves and gets: ``from 20 C to 170 C``; nothing for a bowl."""
    return "" if change.kind == "wash" else f"from {change.before} to {change.after}"


def setting(seat: Seat) -> str:
    """What an oven is at: ``170 C fan``; nothing on other stations."""
    if seat.celsius is None:
        return ""
    number = format_number(abs(Fraction(round(seat.celsius, 1)).limit_denominator(10)))
    return f"{'-' if seat.celsius < 0 else ''}{number} C {seat.setting}".rstrip()


def joined(names: Sequence[str]) -> str:
    """Labels drawn together: ``Ac1-4`` for those in a row, ``Ac1,3`` or ``Ac1 Bb2`` for others."""
    if len(names) == 1:
        return names[0]
    stem = label_stem(names[0])
    numbers = [name.removeprefix(stem) for name in names]
    if stem and all(number.isdigit() for number in numbers):
        ordered = sorted(int(number) for number in numbers)
        if ordered[-1] - ordered[0] == len(ordered) - 1:
            return f"{stem}{ordered[0]}-{ordered[-1]}"
        return stem + ",".join(str(number) for number in ordered)
    return " ".join(names)


def label_stem(label: str) -> str:
    """A label without the number of the batch."""
    return label.rstrip("0123456789")
