"""Sheets as text, for a terminal or a plain printer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from stationplan.render.lettering import clean, columns, pad, wrap
from stationplan.render.marks import ASCII, UNICODE, Kind
from stationplan.render.sheets.model import Row, Sheet

NEXT_PAGE = "\f"
"""Stands between two sheets: printers begin a new page at it."""
NOTHING = "nothing to do in this time"
HANGS = "the finish hangs on it"
CAUTION = "!"

_GAP = 2
_WIDEST_CELL = 16
_LEAST_CELL = 8


def as_text(sheets: Sequence[Sheet], *, width: int = 80, unicode: bool = True) -> str:
    """Write sheets one after the other, a form feed between them.

    Args:
        sheets: what to write.
        width: most columns of a line, at least 60.
        unicode: whether names may hold more than ASCII.

    Returns:
        Text with a line end at the end.
    """
    pages = ["\n".join(line.rstrip() for line in _page(sheet, width, unicode)) + "\n" for sheet in sheets]
    return NEXT_PAGE.join(pages)


def _page(sheet: Sheet, width: int, unicode: bool) -> Iterator[str]:
    yield from wrap(clean(f"{sheet.name} - {sheet.about}", unicode), width, "  ")
    if not sheet.rows:
        yield NOTHING
        return
    # The mark of the rows that the finish hangs on has two columns of its own.
    mark = (UNICODE if unicode else ASCII).sign(Kind.WORK, critical=True).start
    lines = [_cells(row, unicode) for row in sheet.rows]
    widths = _widths([sheet.headings, *lines], width - 2)
    yield from (f"  {line}" for line in _side_by_side(sheet.headings, widths))
    yield ("─" if unicode else "-") * width
    beside = 2 + widths[0] + _GAP
    for row, cells in zip(sheet.rows, lines, strict=True):
        sign = pad(mark if row.critical else "", 2)
        yield from (
            f"{sign if number == 0 else '  '}{line}" for number, line in enumerate(_side_by_side(cells, widths))
        )
        for note in row.notes:
            text = f"{CAUTION} {note.text}" if note.kind == "caution" else note.text
            yield from (" " * beside + line for line in wrap(clean(text, unicode), width - beside, "  "))
    feet = [f"{mark} {HANGS}"] * sheet.has_critical + ["; ".join(sheet.letters)] * bool(sheet.letters)
    if feet:
        yield ""
    yield from (line for foot in feet for line in wrap(clean(foot, unicode), width, "  "))


def _cells(row: Row, unicode: bool) -> tuple[str, ...]:
    return tuple(clean(cell, unicode) for cell in (row.time, f"{row.labels} {row.what}".strip(), *row.cells))


def _widths(lines: Sequence[Sequence[str]], width: int) -> list[int]:
    """What each column needs; what happens gives way first, then the widest of the others."""
    widths = [max(columns(line[at]) for line in lines) for at in range(len(lines[0]))]
    spare = width - _GAP * (len(widths) - 1)
    if sum(widths) > spare:
        widths[2:] = [min(needed, _WIDEST_CELL) for needed in widths[2:]]
        widths[1] = max(2 * _LEAST_CELL, min(widths[1], spare - widths[0] - sum(widths[2:])))
    while sum(widths) > spare and max(widths[2:], default=0) > _LEAST_CELL:
        widest = max(range(2, len(widths)), key=lambda at: widths[at])
        widths[widest] -= 1
    return widths


def _side_by_side(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    """Cells beside each other, each wrapped in its own width."""
    wrapped = [wrap(cell, width) for cell, width in zip(cells, widths, strict=True)]
    for parts in zip_longest(*wrapped, fillvalue=""):
        yield (" " * _GAP).join(pad(part, width) for part, width in zip(parts, widths, strict=True))
