"""What stands on a sheet, whatever it is written on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

SheetKind = Literal["person", "nobody", "station", "timers"]
NoteKind = Literal["take", "bowl", "alone", "with", "who", "out", "then", "caution"]


@dataclass(frozen=True, slots=True)
class Note:
    """A sentence under a row.

    ``kind`` is what it is about: what is taken up, what goes into the bowl, that a batch goes on alone, who helps, who
    is at it, what is taken out when, where it goes then, or what to beware of.
    """

    kind: NoteKind
    text: str


@dataclass(frozen=True, slots=True)
class Row:
    """Something that happens from ``start`` to ``end``, minutes since midnight of the first day.

    Attributes:
        start: when it begins, or when a timer rings.
        end: when it ends.
        time: both as they are shown.
        labels: the batches that it is about, ``Ac1`` or ``Ac1-2``; empty for a break, or for an oven heating up.
        what: the step, or what else happens.
        cells: the rest of the columns.
        notes: what more there is to say.
        critical: whether the finish hangs on it.
    """

    start: int
    end: int
    time: str
    labels: str
    what: str
    cells: tuple[str, ...]
    notes: tuple[Note, ...] = ()
    critical: bool = False


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page to hang up.

    Attributes:
        kind: whose it is.
        name: a person, a station, ``without anybody``, or ``timers``.
        about: the plan that it belongs to, and what must be known beforehand.
        headings: of the columns: the time, what happens, and one for each of a row's cells.
        rows: in the order of time.
        letters: what the letters of the labels stand for, ``A tartlet shell``, for those that occur.
    """

    kind: SheetKind
    name: str
    about: str
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    letters: tuple[str, ...] = ()

    @property
    def has_critical(self) -> bool:
        """Whether the finish hangs on any of it."""
        return any(row.critical for row in self.rows)

    def within(self, span: tuple[int, int]) -> Sheet:
        """Only what happens from the first to the second, minutes since midnight of the first day."""
        first, last = span
        rows = (row for row in self.rows if row.start < last and (row.end > first or row.start >= first))
        return replace(self, rows=tuple(rows))

    def without_empty_columns(self) -> Sheet:
        """The same, but for the columns that nothing stands in."""
        kept = [at for at in range(len(self.headings) - 2) if any(row.cells[at] for row in self.rows)]
        rows = (replace(row, cells=tuple(row.cells[at] for at in kept)) for row in self.rows)
        return replace(self, headings=(*self.headings[:2], *(self.headings[2 + at] for at in kept)), rows=tuple(rows))
