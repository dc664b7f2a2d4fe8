"""The signs a chart is drawn with, in Unicode and in plain ASCII, and the colours.

A thick bar is work, a thin line is waiting, blank is idle; a full bar with a
diamond is on the critical chain. In a shift that runs, bars of work tell what has
become of the batch. Colour only repeats what letters already say.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from stationplan.live.drawn import Standing


class Kind(Enum):
    """What a bar in a chart stands for."""

    WORK = "work"
    LOAD = "load"
    UNLOAD = "unload"
    STAY = "stay"
    WASH = "wash"
    HEAT = "heat"
    COOL = "cool"
    SETTING = "setting"
    BREAK = "break"
    AWAY = "away"
    ABSENT = "absent"
    OUT = "out of use"
    SLIP = "slip"
    DUE = "due"
    READY = "ready"


NOT_THERE = (Kind.BREAK, Kind.AWAY, Kind.ABSENT, Kind.OUT)
"""Times in which there is nobody, or nothing that can be used."""


@dataclass(frozen=True)
class Sign:
    """How one kind of bar is drawn.

    ``start`` is the first column of a bar whose label stands inside it; empty when
    the bar has no column to spare for a start. ``fill`` is every other column; of
    several signs, the bar climbs from the first to the last.
    """

    start: str
    fill: str


@dataclass(frozen=True)
class Marks:
    """One complete set of signs."""

    signs: dict[Kind, Sign]
    critical: dict[Kind, Sign]
    standing: dict[Standing, Sign]  # work in a running shift, by what has become of the batch
    taken: str  # one of several lots is taken out of a place
    held: str  # an oven holding its temperature
    before: str  # goes on from the band above
    after: str  # goes on in the band below
    hour: str  # guide in idle columns
    now: str  # guide at the moment of a running shift
    ruler: tuple[str, str, str, str]  # begin, hour, tick, between
    degree: str

    def sign(self, kind: Kind, critical: bool = False, standing: Standing | None = None) -> Sign:
        """How a bar is drawn, on the critical chain or off it, or as what has become of its batch."""
        if standing is not None and kind is Kind.WORK:
            return self.standing[standing]
        return self.critical.get(kind, self.signs[kind]) if critical else self.signs[kind]


UNICODE = Marks(
    signs={
        Kind.WORK: Sign("▌", "▄"),
        Kind.LOAD: Sign("", "▼"),
        Kind.UNLOAD: Sign("", "▲"),
        Kind.STAY: Sign("├", "┄"),
        Kind.WASH: Sign("", "≈"),
        Kind.HEAT: Sign("", "▁▂▃▄▅▆"),
        Kind.COOL: Sign("", "▆▅▄▃▂▁"),
        Kind.SETTING: Sign("", "▪"),
        Kind.BREAK: Sign("", "░"),
        Kind.AWAY: Sign("", "░"),
        Kind.ABSENT: Sign("", "▒"),
        Kind.OUT: Sign("", "\u2571"),
        Kind.SLIP: Sign("", "·"),
        Kind.DUE: Sign("", "○"),
        Kind.READY: Sign("", "●"),
    },
    critical={Kind.WORK: Sign("◆", "█"), Kind.STAY: Sign("◆", "━")},
    standing={
        "done": Sign("▌", "▄"),
        "running": Sign("▌", "▓"),
        "late": Sign("?", "?"),
        "waiting": Sign("▌", "▖"),
        "blocked": Sign("▫", "▫"),
        "lost": Sign("▚", "▚"),
    },
    taken="▴",
    held="─",
    before="\u2039",
    after="\u203a",
    hour="┊",
    now="║",
    ruler=("├", "┼", "┴", "─"),
    degree="°C",
)

ASCII = Marks(
    signs={
        Kind.WORK: Sign("|", "="),
        Kind.LOAD: Sign("", "+"),
        Kind.UNLOAD: Sign("", "-"),
        Kind.STAY: Sign("|", "."),
        Kind.WASH: Sign("", "~"),
        Kind.HEAT: Sign("", "/"),
        Kind.COOL: Sign("", "\\"),
        Kind.SETTING: Sign("", "%"),
        Kind.BREAK: Sign("", "x"),
        Kind.AWAY: Sign("", "x"),
        Kind.ABSENT: Sign("", "("),
        Kind.OUT: Sign("", "["),
        Kind.SLIP: Sign("", "'"),
        Kind.DUE: Sign("", "o"),
        Kind.READY: Sign("", "@"),
    },
    critical={Kind.WORK: Sign("*", "#"), Kind.STAY: Sign("*", "_")},
    standing={
        "done": Sign("|", "="),
        "running": Sign("|", "&"),
        "late": Sign("?", "?"),
        "waiting": Sign("|", ","),
        "blocked": Sign('"', '"'),
        "lost": Sign("X", "X"),
    },
    taken="^",
    held="-",
    before="<",
    after=">",
    hour=":",
    now="!",
    ruler=("|", "|", "'", "-"),
    degree="C",
)

_COLOURS = (94, 32, 35, 36, 33, 31, 34, 92, 95, 96, 93, 91)


def colour(position: int) -> int:
    """The foreground colour code of the item at this position of the legend."""
    return _COLOURS[position % len(_COLOURS)]
