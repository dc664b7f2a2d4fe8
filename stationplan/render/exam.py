"""A practical exam on paper: what is the same for all, the timetable, a card each, and the invigilators' list."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from stationplan.render.exam_headline import headline
from stationplan.render.exam_told import Told, late_by, opens_and_closes, told
from stationplan.render.lettering import clean, columns, shorten, wrap
from stationplan.render.overview import table
from stationplan.scenario.units import format_clock, format_duration, format_quantity
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.plan.document import Batch, Examinee, Hand, Plan, Seat

Sheet = Literal["timetable", "cards", "events"]

WIDEST_DISH = 11
"""As wide as the times below it."""
WIDEST_NAME = 24
DEEDS = {"load": "loads", "unload": "unloads", "hands-on": "works on it"}


def sheets(plan: Plan, wanted: tuple[Sheet, ...], *, width: int, unicode: bool = True) -> str:
    """The headline and the sheets that are wanted.

    Args:
        plan: a plan of an exam.
        wanted: which sheets.
        width: most columns of a line.
        unicode: whether names may hold more than ASCII.

    Returns:
        The text, with empty lines between its parts and a line end at the end.
    """
    exam = told(plan)
    parts = [headline(exam, width, unicode)]
    if "timetable" in wanted:
        parts.append(timetable(exam, width, unicode))
    if "cards" in wanted:
        parts += [card(exam, examinee, width, unicode) for examinee in exam.part.candidates]
    if "events" in wanted:
        parts.append(events(exam, width, unicode))
    return "\n\n".join(parts) + "\n"


def timetable(exam: Told, width: int, unicode: bool = True) -> str:
    """A row for each candidate, wave by wave: their times by the clock, and when each dish is handed in."""
    lines = ["timetable: for each dish the time in which it is handed in"]
    waves = dict.fromkeys(one.wave for one in exam.part.candidates)
    for wave in waves:
        members = [one for one in exam.part.candidates if one.wave == wave]
        day = members[0].begins // MINUTES_PER_DAY
        if len(waves) > 1 or day:
            lines.append(f"wave {wave}{_on(day)}")
        times: list[tuple[str, list[str]]] = [
            ("set-up", [_clock(one.begins, day) for one in members]),
            ("cooking", [_clock(one.cooks, day) for one in members]),
            ("stop", [_clock(one.stops, day) for one in members]),
            ("clean", [_clock(one.leaves, day) for one in members]),
        ]
        for number, dish in enumerate(exam.exam.menu):
            title = shorten(clean(dish.product, unicode), WIDEST_DISH, unicode)
            times.append((title, [_window(exam, one, number, day) for one in members]))
        lines += _tables([one.name for one in members], times, width, unicode)
    return "\n".join(lines)


def _tables(names: list[str], times: list[tuple[str, list[str]]], width: int, unicode: bool) -> list[str]:
    """Names and columns of times; columns for which there is no room go into a further table."""
    longest = min(max(columns(name) for name in ("candidate", *names)), WIDEST_NAME)
    lines: list[str] = []
    left = times
    while left:
        taken: list[tuple[str, list[str]]] = []
        room = width - longest
        for title, texts in left:
            needed = 2 + max(map(columns, (title, *texts)))
            if taken and needed > room:
                break
            taken.append((title, texts))
            room -= needed
        left = left[len(taken) :]
        header = ("candidate", *(title for title, _ in taken))
        rows = [(name, *(texts[row] for _, texts in taken)) for row, name in enumerate(names)]
        lines += table(header, rows, "l" + "r" * len(taken), width, unicode)
    return lines


def _clock(moment: int, day: int) -> str:
    """A time of day, without the day where that is known."""
    return format_clock(moment - day * MINUTES_PER_DAY if moment // MINUTES_PER_DAY == day else moment)


def _on(day: int) -> str:
    return f", day {day + 1}" if day else ""


def _span(start: int, end: int, day: int) -> str:
    return _clock(start, day) if start == end else f"{_clock(start, day)}-{_clock(end, day)}"


def _window(exam: Told, one: Examinee, number: int, day: int) -> str:
    begin, end = opens_and_closes(exam, one, number)
    return _span(begin, end, day) if exam.exam.menu[number].hand_in is not None else f"by {_clock(end, day)}"


def card(exam: Told, one: Examinee, width: int, unicode: bool = True) -> str:
    """What one candidate is told: start, turns at shared equipment, hand-ins, stop."""
    day = one.begins // MINUTES_PER_DAY
    entries = [(one.begins, one.begins, "the workplace is yours: set up"), (one.cooks, one.cooks, "begin to cook")]
    for batch, seat in _turns(exam, one.name):
        entries.append((seat.start, seat.end, _turn(exam, batch, seat)))
    for batch, hand in _other_help(exam, one.name):
        entries.append((hand.start, hand.end, f"{_deed(hand)}: {_of(exam, batch)}"))
    for number, dish in enumerate(exam.exam.menu):
        begin, end = opens_and_closes(exam, one, number)
        entries.append((begin, end, f"hand in {dish.quantity} {dish.product}"))
        ready, minutes = late_by(exam, one, number)
        if minutes:
            late = (
                f"{dish.product}, late by plan: hand in when it is ready, {format_duration(minutes)} after its window"
            )
            entries.append((ready, ready, late))
    entries += [(one.stops, one.stops, "stop cooking, clean down"), (one.leaves, one.leaves, "the workplace is clean")]
    wave = f", wave {one.wave}" if exam.part.waves.value > 1 else ""
    lines = wrap(clean(f"{one.name}{wave}{_on(day)}:", unicode), width, "  ")
    for start, end, text in sorted(entries, key=lambda entry: entry[0]):
        lines += _hung(_span(start, end, day), text, width, unicode)
    return "\n".join([*lines, *_rules(exam, width, unicode)])


def _hung(moment: str, text: str, width: int, unicode: bool) -> list[str]:
    """A time, and behind it a text that hangs below itself."""
    room = max(len("00:00-00:00"), len(moment))
    pieces = wrap(clean(text, unicode), width - room - 4)
    return [f"  {moment if position == 0 else '':<{room}}  {piece}" for position, piece in enumerate(pieces)]


def _turns(exam: Told, name: str) -> list[tuple[Batch, Seat]]:
    found = [
        (batch, seat)
        for batch in exam.plan.batches
        if exam.base(batch.item)[1] == name
        for seat in batch.seats
        if exam.shared(seat)
    ]
    return sorted(found, key=lambda pair: (pair[1].start, pair[0].label))


def _turn(exam: Told, batch: Batch, seat: Seat) -> str:
    helped: dict[str, list[str]] = {}
    for hand in exam.helping(batch):
        if _at(hand, seat):
            helped.setdefault(hand.person, []).append(DEEDS[hand.doing])
    deeds = [f"{person} {' and '.join(done)}" for person, done in helped.items()]
    return "; ".join([f"{seat.station}{_setting(seat)}: {_of(exam, batch)}", *deeds])


def _of(exam: Told, batch: Batch) -> str:
    size = format_quantity(batch.size, batch.unit)
    return f"{batch.step}, {size} of {exam.base(batch.item)[0]}"


def _at(hand: Hand, seat: Seat) -> bool:
    """Whether somebody loads or unloads what takes a seat."""
    return (hand.doing == "load" and hand.start == seat.start) or (hand.doing == "unload" and hand.end == seat.end)


def _deed(hand: Hand) -> str:
    return f"{hand.person} {DEEDS[hand.doing]}"


def _other_help(exam: Told, name: str) -> list[tuple[Batch, Hand]]:
    """What helpers do for a candidate besides loading and unloading shared equipment."""
    return [
        (batch, hand)
        for batch in exam.plan.batches
        if exam.base(batch.item)[1] == name
        for hand in exam.helping(batch)
        if not any(exam.shared(seat) and _at(hand, seat) for seat in batch.seats)
    ]


def _setting(seat: Seat) -> str:
    if seat.celsius is None:
        return ""
    return f" at {seat.celsius:g} C" + (f" {seat.setting}" if seat.setting else "")


def _rules(exam: Told, width: int, unicode: bool) -> Iterator[str]:
    if all(dish.hand_in is None for dish in exam.exam.menu):
        return
    for word, rule in (("early", exam.exam.early), ("late", exam.exam.late)):
        free = f" after {format_duration(rule.tolerance)}" if rule.tolerance else ""
        text = f"{word}: {rule.points} {'point' if rule.points == 1 else 'points'} off for each minute{free}"
        if rule.fails_after is not None:
            text += f"; more than {format_duration(rule.fails_after)} {word}: not accepted"
        yield from (f"  {line}" for line in wrap(clean(text, unicode), width - 2, "  "))


def events(exam: Told, width: int, unicode: bool = True) -> str:
    """Everything that invigilators see to, by the clock."""
    found: dict[tuple[int, int, str], list[str]] = {}
    for one in exam.part.candidates:
        for order, moment, text in (
            (0, one.begins, "may set up"),
            (1, one.cooks, "may begin to cook"),
            (7, one.stops, "must stop cooking"),
            (8, one.leaves, "workplace must be clean"),
        ):
            found.setdefault((moment, order, text), []).append(one.name)
        for number, dish in enumerate(exam.exam.menu):
            if dish.hand_in is not None:
                begin, end = opens_and_closes(exam, one, number)
                if begin < end:
                    found.setdefault((begin, 5, f"hand-in opens: {dish.product}"), []).append(one.name)
                found.setdefault((end, 6, f"hand-in closes: {dish.product}"), []).append(one.name)
                ready, minutes = late_by(exam, one, number)
                if minutes:
                    found.setdefault((ready, 6, f"handed in late by plan: {dish.product}"), []).append(one.name)
        for batch, seat in _turns(exam, one.name):
            into = f"{seat.station}{_setting(seat)}, in{_by(exam, batch, seat, 'load')}: {batch.step}"
            found.setdefault((seat.start, 4, into), []).append(one.name)
            out = f"{seat.station}, out{_by(exam, batch, seat, 'unload')}: {batch.step}"
            found.setdefault((seat.end, 2, out), []).append(one.name)
        for batch, hand in _other_help(exam, one.name):
            found.setdefault((hand.start, 4, f"{_deed(hand)}: {batch.step}"), []).append(one.name)
    for change in exam.plan.changes:
        if exam.base(_equipment(exam, change.station))[1] is None:
            text = "wash" if change.kind == "wash" else f"set to {change.after}"
            found.setdefault((change.start, 3, f"{change.station}: {text}"), [])
    lines = ["invigilators' list"]
    before, day = None, 0
    for moment, order, text in sorted(found):
        names = _names(found[moment, order, text])
        if moment // MINUTES_PER_DAY != day:
            day = moment // MINUTES_PER_DAY
            lines.append(f"day {day + 1}")
        shown = _clock(moment, day) if moment != before else ""
        before = moment
        lines += _hung(shown, f"{text}: {names}" if names else text, width, unicode)
    return "\n".join(lines)


def _by(exam: Told, batch: Batch, seat: Seat, doing: str) -> str:
    """Which helpers load or unload."""
    names = [hand.person for hand in exam.helping(batch) if hand.doing == doing and _at(hand, seat)]
    return f" by {' and '.join(names)}" if names else ""


def _equipment(exam: Told, name: str) -> str:
    return next(station.equipment for station in exam.plan.stations if station.name == name)


def _names(names: list[str]) -> str:
    """Names in a row; numbered ones without saying the word each time."""
    first, *rest = names or [""]
    word = first.rpartition(" ")[0]
    if rest and word and all(name.rpartition(" ")[0] == word for name in rest):
        return ", ".join([first, *(name.rpartition(" ")[2] for name in rest)])
    return ", ".join(names)
