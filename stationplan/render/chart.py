"""The text chart: rows of stations and people over a clock axis, folded into bands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from stationplan.live.drawn import Drawn
from stationplan.plan.document import Plan
from stationplan.render.bands import SCALES, Band, cut, stretches
from stationplan.render.canvas import FAINT, PLAIN, Canvas, Ink
from stationplan.render.drawing import Lines, draw, lay_out
from stationplan.render.errors import RenderError
from stationplan.render.lettering import columns, shorten, wrap
from stationplan.render.marks import ASCII, UNICODE, Kind, Marks, colour
from stationplan.render.rows import Row, RowKind, rows_of
from stationplan.scenario.units import format_clock

LEAST_WIDTH = 60

_DAY = 24 * 60
_LONG_BAND = 24
"""Lines from which on the clock is printed below a band, too."""
_HEADER = 3
_PRICE_OF_A_LINE = 3
"""What a line costs when scales are compared, in labels that had to be placed beside their bars."""
_SHARE_TO_FILL = 3
"""A scale at which no band fills a third of the width is too coarse to tell times by."""
_TICKS = (5, 10, 15, 30, 60, 120, 180, 360, 720, _DAY)


@dataclass(frozen=True)
class Panel:
    """A band with its rows, laid out."""

    band: Band
    rows: tuple[tuple[Row, Lines], ...]
    idle: tuple[str, ...]
    away: tuple[str, ...]
    out: tuple[str, ...]

    @property
    def cost(self) -> int:
        """How hard it is to read: its length, labels beside their bars, and how deep they are stacked."""
        lines = _HEADER + sum(len(lines) for _, lines in self.rows)
        return lines * _PRICE_OF_A_LINE + sum(lines.beside + lines.stacked**2 for _, lines in self.rows)


def chart(
    plan: Plan,
    *,
    width: int,
    unicode: bool = True,
    color: bool = False,
    rows: RowKind = "equipment",
    span: tuple[int, int] | None = None,
) -> str:
    """Draw a plan over time.

    Args:
        plan: the plan to draw.
        width: most columns of a line, at least 60.
        unicode: draw with block and box characters; else plain ASCII throughout.
        color: add terminal colours, one for each item; nothing is said by colour alone.
        rows: ``equipment`` for stations and people, ``people`` for them alone, ``products`` for a row each item.
        span: draw only from the first to the second, minutes since midnight of the first day.

    Returns:
        Lines of text, without a line end at the end.

    Raises:
        RenderError: when the width is too small, or the span is empty.
    """
    if width < LEAST_WIDTH:
        raise RenderError(f"a chart needs a width of at least {LEAST_WIDTH} columns; there are {width}")
    if span is not None and span[0] >= span[1]:
        raise RenderError(f"there is nothing to draw from {format_clock(span[0])} to {format_clock(span[1])}")
    marks = UNICODE if unicode else ASCII
    now = plan.now if isinstance(plan, Drawn) else None
    found = rows_of(plan, rows, unicode)
    gutter = _gutter(found, width)
    times = busy_times(found, span)
    if not times:
        return "nothing happens in this time"
    panels = _best(found, times, width - gutter, marks)
    position = {entry.item: number for number, entry in enumerate(plan.legend)}

    def ink(item: str) -> Ink:
        return Ink(colour(position[item])) if item in position else PLAIN

    text: list[str] = []
    if span is None and panels[0].band.start > plan.opens:
        text += [*_quiet(plan.opens, panels[0].band.start, width), ""]
    for number, panel in enumerate(panels):
        if number:
            text.append("")
            if panel.band.start > panels[number - 1].band.end:
                text += [*_quiet(panels[number - 1].band.end, panel.band.start, width), ""]
        text += _panel(panel, gutter, width, marks, color, ink, now)
        text += _rest(panel, rows, width)
    return "\n".join(text)


def _gutter(rows: tuple[Row, ...], width: int) -> int:
    longest = max((columns(row.name) for row in rows), default=0)
    return min(longest, 13 if width < 100 else 17 if width < 160 else 24) + 1


def busy_times(rows: tuple[Row, ...], span: tuple[int, int] | None) -> list[tuple[int, int]]:
    """The stretches of time, maybe only those of a span, in which something but waiting happens in these rows."""
    bars = [bar for row in rows for bar in row.bars() if bar.kind not in (Kind.STAY, Kind.SLIP)]
    active = [(bar.start, bar.end if bar.held is None else bar.held) for bar in bars]
    if span is not None:
        active = [(max(a, span[0]), min(b, span[1])) for a, b in active if a < span[1] and b >= span[0]]
    return stretches(active)


def _best(rows: tuple[Row, ...], times: list[tuple[int, int]], room: int, marks: Marks) -> list[Panel]:
    """The panels at the scale that is easiest to read."""
    best: list[Panel] = []
    least = 0
    for minutes in reversed(SCALES):
        bands = cut(times, minutes, room)
        if bands is None or (minutes > 1 and max(band.columns for band in bands) * _SHARE_TO_FILL < room):
            continue
        if best and len(bands) * _HEADER * _PRICE_OF_A_LINE > least:
            break  # finer scales have more bands still
        panels = [_lay_out(rows, band, marks) for band in bands]
        cost = sum(panel.cost for panel in panels)
        if not best or cost <= least:
            best, least = panels, cost
    return best


def _lay_out(rows: tuple[Row, ...], band: Band, marks: Marks) -> Panel:
    found: list[tuple[Row, Lines]] = []
    idle: list[str] = []
    away: list[str] = []
    out: list[str] = []
    for row in rows:
        lines = lay_out(row, band, marks)
        absent = [bar for bar in row.away if bar.start <= band.start and bar.end >= band.end]
        if lines.placed or lines.below:
            found.append((row, lines))
        elif absent:
            (out if row.kind == "station" else away).append(row.name)
        elif lines.away:
            found.append((row, lines))
        elif row.kind != "other":
            idle.append(row.name)
    return Panel(band, tuple(found), tuple(idle), tuple(away), tuple(out))


def _quiet(start: int, end: int, width: int) -> list[str]:
    return wrap(f"({format_clock(start)} to {format_clock(end)}: nothing to do, whatever waits goes on waiting)", width)


def _panel(
    panel: Panel,
    gutter: int,
    width: int,
    marks: Marks,
    color: bool,
    ink: Callable[[str], Ink],
    now: int | None,
) -> list[str]:
    canvas = Canvas(width)
    _clock(panel.band, canvas, gutter)
    _ruler(panel.band, canvas, gutter, marks, now)
    above = ""
    for row, lines in panel.rows:
        if row.kind == "person" and above not in ("", "person"):
            draw(Lines(placed=[[]]), panel.band, canvas, gutter, marks, ink, now)
        above = row.kind
        drawn = draw(lines, panel.band, canvas, gutter, marks, ink, now)
        canvas.put(drawn[0], 0, shorten(row.name, gutter - 1, marks is UNICODE))
        for line in drawn[1:] if row.below else ():
            if line >= drawn[-1] + 1 - len(lines.below):
                canvas.put(line, 2, marks.degree, FAINT)
    if sum(len(lines) for _, lines in panel.rows) >= _LONG_BAND:
        _ruler(panel.band, canvas, gutter, marks, now)
        _clock(panel.band, canvas, gutter)
    return canvas.lines(color)


def _rest(panel: Panel, rows: RowKind, width: int) -> list[str]:
    """The rows that were left out because nothing happens on them."""
    words = {"equipment": "idle or empty", "people": "idle", "products": "nothing to do on"}[rows]
    text = []
    for word, names in ((words, panel.idle), ("off", panel.away), ("out of use", panel.out)):
        if names:
            text += wrap(f"{word}: {', '.join(names)}", width, "  ")
    return text


def _tick(band: Band, least: int) -> int:
    """Minutes between ticks that stand at least so many columns apart."""
    fitting = (tick for tick in _TICKS if tick % band.minutes == 0 and tick // band.minutes >= least)
    return next(fitting, _TICKS[-1])


def _clock(band: Band, canvas: Canvas, gutter: int) -> None:
    line = canvas.add()
    day = band.start // _DAY
    if day:
        canvas.put(line, 0, f"day {day + 1}")
    tick = _tick(band, 6)
    for column in range(band.columns + 1):
        minute = band.start + column * band.minutes
        if minute % tick:
            continue
        clock = f"{minute // 60 % 24:02d}:{minute % 60:02d}"
        words = clock if minute % 60 == 0 or column == 0 else clock[2:]
        if gutter + column + len(words) <= canvas.width:
            canvas.put(line, gutter + column, words)


def _ruler(band: Band, canvas: Canvas, gutter: int, marks: Marks, now: int | None) -> None:
    line = canvas.add()
    tick, full = _tick(band, 3), max(_tick(band, 6), 60)
    first, hour, small, between = marks.ruler
    for column in range(band.columns):
        minute = band.start + column * band.minutes
        sign = hour if minute % full == 0 else small if minute % tick == 0 else between
        canvas.put(line, gutter + column, sign if column else first, FAINT)
    if now is not None and 0 <= band.column(now) < band.columns:
        canvas.put(line, gutter + band.column(now), marks.now)
