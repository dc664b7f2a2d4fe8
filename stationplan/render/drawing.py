"""Drawing bars on lines: which line a bar goes to, and where its label stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import accumulate

from stationplan.render.bands import Band
from stationplan.render.canvas import FAINT, PLAIN, Canvas, Ink
from stationplan.render.lettering import columns
from stationplan.render.marks import NOT_THERE, Kind, Marks
from stationplan.render.rows import Bar, Row


@dataclass(frozen=True)
class Placed:
    """A bar in a band: its columns (maybe beyond the band), its label and where that stands.

    ``side`` is where the label stands: inside the bar, right or left of it, or nowhere. ``taken`` columns
    are those that nothing else may use.
    """

    bar: Bar
    first: int
    after: int
    text: str
    side: str
    taken: tuple[int, int]


@dataclass
class Lines:
    """The lines of one row in one band."""

    placed: list[list[Placed]] = field(default_factory=list)
    below: list[list[Placed]] = field(default_factory=list)
    away: list[Placed] = field(default_factory=list)

    def __len__(self) -> int:
        return max(len(self.placed), 1 if self.away else 0) + len(self.below)

    @property
    def beside(self) -> int:
        """How many labels had to be placed beside their bars."""
        return sum(one.side in ("left", "right") for line in self.placed for one in line)

    @property
    def stacked(self) -> int:
        """How many lines are there only because labels did not fit: bars alone would need so many fewer."""
        edges = [edge for line in self.placed for one in line for edge in ((one.first, 1), (one.after, -1))]
        depth = list(accumulate(step for _, step in sorted(edges)))
        return max(len(self.placed) - max(depth, default=0), 0)


def lay_out(row: Row, band: Band, marks: Marks) -> Lines:
    """Find the lines and label positions of a row in a band; bars outside the band are left out."""
    away = [placed for bar in row.away if (placed := _place(bar, band, marks)) is not None]
    lines = Lines(away=away)
    if away:
        lines.placed.append(list(away))
    through = [bar for group in row.groups for bar in group if _goes_through(bar, band)]
    for group in row.groups:
        _fit(lines.placed, _group(tuple(bar for bar in group if bar not in through), band, marks))
    lines.placed += [[one] for one in _together(through, band, marks)]
    if not any(one.bar.kind not in NOT_THERE for line in lines.placed for one in line):
        lines.placed.clear()
    else:
        lines.placed = [[one for one in line if one not in away] for line in lines.placed]
    lines.placed = [_say_more(line, band) for line in lines.placed]
    shown = [bar for bar in row.below if lines.placed or bar.held is None or bar.held > band.start]
    below = _one_after_another(shown, band, marks)
    if below:
        lines.below.append(below)
    return lines


def _one_after_another(bars: list[Bar], band: Band, marks: Marks) -> list[Placed]:
    """Bars that never overlap, on one line whatever the scale: a label without room up to the next bar is left out.

    On two lines the temperature of an oven could be read from the wrong one.
    """
    found: list[Placed] = []
    limit = band.room
    for bar in sorted(bars, key=lambda bar: bar.start, reverse=True):
        placed = _place(bar, band, marks)
        if placed is None or placed.first >= limit:
            continue
        after = placed.after if not found else min(placed.after, limit)
        if placed.side == "inside":
            fits = after == placed.after
        elif placed.side == "right":
            fits = after + columns(placed.text) <= limit
        else:
            fits = all(band.column(other.end) <= placed.taken[0] for other in bars if other.start < bar.start)
        if not fits:
            placed = replace(placed, text="", side="nowhere")
        found.append(replace(placed, after=after))
        limit = max(placed.first, 0)
    return found[::-1]


def _goes_through(bar: Bar, band: Band) -> bool:
    """Whether a stay has stood since before the band, and nothing of it leaves before the band's end."""
    leaves = min((*bar.taken, bar.end))
    return bar.kind is Kind.STAY and not bar.loose and band.column(bar.start) < 0 and band.column(leaves) > band.columns


def _together(stays: list[Bar], band: Band, marks: Marks) -> list[Placed]:
    """Stays that go through a band, as many to a line as their labels fit: nothing happens to them here."""
    lines: list[list[str]] = []
    for bar in stays:
        label = bar.texts[-1]
        if lines and columns(", ".join([*lines[-1], label])) <= band.columns - 2:
            lines[-1].append(label)
        else:
            lines.append([label])
    found = []
    for labels in lines:
        own = [bar for bar in stays if bar.texts[-1] in labels]
        wording = own[0].texts if len(own) == 1 else (", ".join(labels),)
        placed = _place(replace(own[0], texts=wording, critical=any(bar.critical for bar in own)), band, marks)
        found += [placed] if placed else []
    return found


def _say_more(line: list[Placed], band: Band) -> list[Placed]:
    """Word the marks of orders in full where the line has room beside them."""
    longer: list[Placed] = []
    for one in line:
        if one.bar.kind in (Kind.READY, Kind.DUE):
            before = max([0, *(o.taken[1] for o in [*longer, *line] if o.taken[1] <= one.taken[0])])
            after = min([band.room, *(o.taken[0] - 1 for o in line if o.taken[0] >= one.taken[1])])
            room = after - one.after if one.side == "right" else one.first - before
            text = next((text for text in one.bar.texts if columns(text) <= room), one.text)
            more = columns(text) - columns(one.text)
            left, right = one.taken
            taken = (left, right + more) if one.side == "right" else (left - more, right)
            one = replace(one, text=text, taken=taken)
        longer.append(one)
    return longer


def _group(group: tuple[Bar, ...], band: Band, marks: Marks) -> list[list[Placed]]:
    """A group on as few lines as its own bars need; loose bars go to the line of the bar they belong to."""
    block: list[list[Placed]] = []
    loose = []
    for bar in group:
        placed = _place(bar, band, marks)
        if placed is None:
            continue
        if bar.loose:
            loose.append(placed)
        else:
            _fit(block, [[placed]])
    for placed in loose:
        if not block:
            block.append([])
        own = (line for line in block if any(one.bar.label == placed.bar.label for one in line))
        next(own, block[0]).append(placed)
    return block


def _fit(lines: list[list[Placed]], block: list[list[Placed]]) -> None:
    """Put a block of lines on the first lines below each other on which it takes nothing that is taken."""
    if not block:
        return
    offset = 0
    while any(_clash(lines[offset + at], line) for at, line in enumerate(block) if offset + at < len(lines)):
        offset += 1
    for at, line in enumerate(block):
        if offset + at == len(lines):
            lines.append([])
        lines[offset + at] += line


def _clash(line: list[Placed], other: list[Placed]) -> bool:
    return any(a.taken[0] < b.taken[1] and b.taken[0] < a.taken[1] for a in line for b in other)


def _place(bar: Bar, band: Band, marks: Marks) -> Placed | None:
    columns_of = band.place(bar.start, bar.end)
    if columns_of is None:
        return None
    first, after = columns_of
    left, right = max(first, 0), min(after, band.columns)
    inside = _inside(bar, band, marks, first, right)
    if inside is not None:
        return Placed(bar, first, after, inside, "inside", (left, right))
    told_below = bar.held is not None and after > band.columns
    if not bar.texts or not bar.must_show or told_below:
        return Placed(bar, first, after, "", "nowhere", (left, right))
    text = bar.texts[-1]
    width = columns(text)
    room = band.room if after <= band.columns else band.columns
    if right + width <= room or left < width:
        return Placed(bar, first, after, text, "right", (left, right + width + 1))
    return Placed(bar, first, after, text, "left", (left - width - 1, right))


def _inside(bar: Bar, band: Band, marks: Marks, first: int, right: int) -> str | None:
    """The longest wording that fits inside a bar."""
    left = max(first, 0)
    if bar.held is not None:
        held = max(band.column(bar.held), left)
        fitting = (text for text in bar.texts if columns(text) <= right - held)
        shortest = bar.texts[-1] if bar.texts and columns(bar.texts[-1]) <= right - left else None
        return next(fitting, shortest)
    lead = 1 if marks.sign(bar.kind, bar.critical, bar.standing).start or first < 0 else 0
    for text in bar.texts:
        # Without a start sign of its own, a bar must show some of itself behind the label; a long wording always does,
        # and one that tells what has become of a batch.
        behind = 0 if lead and text == bar.texts[-1] and bar.standing is None else 1
        if lead + columns(text) + behind <= right - left:
            return text
    return None


def draw(
    lines: Lines,
    band: Band,
    canvas: Canvas,
    at: int,
    marks: Marks,
    ink: Callable[[str], Ink],
    now: int | None = None,
) -> list[int]:
    """Draw the lines of a row.

    Args:
        lines: from :func:`lay_out`.
        band: the band they were laid out for.
        canvas: where to draw.
        at: the column of the canvas where the band begins.
        marks: the signs to use.
        ink: the ink of an item.
        now: a moment to mark where nothing is drawn.

    Returns:
        The canvas lines, from the top.
    """
    drawn = []
    above = max(len(lines.placed), 1 if lines.away else 0)
    for position in range(above + len(lines.below)):
        line = canvas.add()
        drawn.append(line)
        _guides(band, canvas, line, at, marks, now)
        if position == 0:
            for placed in lines.away:
                _draw_bar(placed, band, canvas, line, at, marks, FAINT)
        own = lines.below[position - above] if position >= above else lines.placed[position] if lines.placed else []
        busy = [p.taken for p in own if not p.bar.loose]
        for placed in own:
            if placed.bar.loose:
                _draw_loose(placed, band, canvas, line, at, marks, ink(placed.bar.item), busy)
        for placed in own:
            if not placed.bar.loose:
                colour = ink(placed.bar.item) if placed.bar.item else PLAIN
                bold = Ink(colour.colour, bold=True) if placed.bar.critical else colour
                _draw_bar(placed, band, canvas, line, at, marks, bold)
    return drawn


def _guides(band: Band, canvas: Canvas, line: int, at: int, marks: Marks, now: int | None) -> None:
    step = 60 if band.minutes <= 10 else 1440
    for column in range(band.columns):
        if (band.start + column * band.minutes) % step == 0 and column:
            canvas.put(line, at + column, marks.hour, FAINT)
    if now is not None and 0 <= band.column(now) < band.columns:
        canvas.put(line, at + band.column(now), marks.now)


def _draw_bar(placed: Placed, band: Band, canvas: Canvas, line: int, at: int, marks: Marks, ink: Ink) -> None:
    bar, sign = placed.bar, marks.sign(placed.bar.kind, placed.bar.critical, placed.bar.standing)
    left, right = max(placed.first, 0), min(placed.after, band.columns)
    held = placed.after if bar.held is None else max(band.column(bar.held), placed.first)
    for column in range(left, right):
        fill = _climb(sign.fill, column - placed.first, held - placed.first) if column < held else marks.held
        canvas.put(line, at + column, fill, ink)
    for minute in bar.taken:
        column = max(band.column(minute) - 1, placed.first)
        if left < column < right:
            canvas.put(line, at + column, marks.taken, ink)
    begin = left
    if placed.first < 0:
        canvas.put(line, at, marks.before, ink)
        begin += 1
    elif placed.side == "inside" and sign.start:
        canvas.put(line, at + left, sign.start, ink)
        begin += 1
    if placed.side == "inside":
        begin = begin if bar.held is None else max(left, min(held, right - columns(placed.text)))
    elif placed.side == "right":
        begin = right
    elif placed.side == "left":
        begin = left - columns(placed.text)
    canvas.put(line, at + begin, placed.text, ink)
    if placed.after > band.columns and placed.side != "right" and begin + columns(placed.text) < band.columns:
        canvas.put(line, at + band.columns - 1, marks.after, ink)


def _climb(fill: str, position: int, length: int) -> str:
    """The sign of one column of a bar whose signs climb from its first column to its last."""
    return fill[min(position * len(fill) // max(length, 1), len(fill) - 1)]


def _draw_loose(
    placed: Placed,
    band: Band,
    canvas: Canvas,
    line: int,
    at: int,
    marks: Marks,
    ink: Ink,
    busy: list[tuple[int, int]],
) -> None:
    """A wait on the line of its batch: a thin line in the columns that are free, named where there is room."""
    sign = marks.sign(placed.bar.kind, placed.bar.critical)
    left, right = max(placed.first, 0), min(placed.after, band.columns)
    free = [c for c in range(left, right) if not any(a <= c < b for a, b in busy)]
    for column in free:
        canvas.put(line, at + column, sign.fill, ink)
    whole = bool(free) and free[-1] - free[0] == len(free) - 1
    wordings = placed.bar.texts if placed.first < 0 else placed.bar.texts[-1:]  # who waits is told again in a new band
    text = next((text for text in wordings if whole and len(free) >= columns(text) + 2), "")
    if text:
        canvas.put(line, at + free[0] + 1, text, ink)
