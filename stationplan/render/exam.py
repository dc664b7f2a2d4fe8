"""A practical exam on paper: what is the same for all, the timetable, a card each, and the invigilators' list."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor
from typing import TYPE_CHECKING, Literal

from stationplan.render.lettering import clean, columns, shorten, wrap
from stationplan.render.overview import table
from stationplan.scenario.exam import Exam
from stationplan.scenario.units import format_clock, format_duration, format_quantity
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.plan.document import Batch, Examinee, ExamPart, Plan, Seat

Sheet = Literal["timetable", "cards", "events"]

WIDEST_DISH = 11
"""As wide as the times below it."""
WIDEST_NAME = 24


@dataclass(frozen=True)
class Told:
    """A plan of an exam with what its sheets look up: the exam, and who each dish, batch and machine belongs to."""

    plan: Plan
    part: ExamPart
    exam: Exam

    def base(self, name: str) -> tuple[str, str | None]:
        """A name without the candidate behind it, and the candidate, None for what is shared."""
        for examinee in self.part.candidates:
            if name.endswith(f" of {examinee.name}"):
                return name.removesuffix(f" of {examinee.name}"), examinee.name
        return name, None

    def shared(self, seat: Seat) -> bool:
        """Whether a seat is on equipment that all share."""
        equipment = next(station.equipment for station in self.plan.stations if station.name == seat.station)
        return self.base(equipment)[1] is None


def told(plan: Plan) -> Told:
    """Look up what the sheets need.

    Args:
        plan: a plan of an exam.
    """
    assert plan.exam is not None
    return Told(plan, plan.exam, Exam.model_validate(plan.exam.scenario["exam"]))


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


def headline(exam: Told, width: int, unicode: bool = True) -> str:
    """What the exam is, what is alike in it, and how far that is proved."""
    part, plan = exam.part, exam.plan
    dishes = " and ".join(f"{dish.quantity} {dish.product}" for dish in exam.exam.menu)
    count = len(part.candidates)
    begin, end = (format_clock(moment) for moment in _ends(part))
    lines = [
        f"{plan.name}: {count} {'candidate' if count == 1 else 'candidates'}, {dishes} each",
        f"from {begin} to {end}, when the last workplace is clean",
        _waves(part),
        _starts(exam),
        _fairness(exam),
        _timeline(exam),
        *_points(exam),
        *_stopped(part),
        *_advice(exam),
    ]
    return "\n".join(line for text in lines for line in wrap(clean(text, unicode), width, "  "))


def _ends(part: ExamPart) -> tuple[int, int]:
    return min(one.begins for one in part.candidates), max(one.leaves for one in part.candidates)


def _waves(part: ExamPart) -> str:
    sizes: dict[int, int] = {}
    begins: dict[int, int] = {}
    for one in part.candidates:
        sizes[one.wave] = sizes.get(one.wave, 0) + 1
        begins[one.wave] = min(one.begins, begins.get(one.wave, one.begins))
    if len(sizes) == 1:
        return "one wave: all candidates are in the room together"
    listed = ", ".join(f"{format_clock(begins[wave])} ({sizes[wave]})" for wave in sizes)
    if part.waves.value == part.waves.bound:
        return f"{len(sizes)} waves, {listed}: proved, no fewer waves of even size do"
    least = "1 wave is" if part.waves.bound == 1 else f"{part.waves.bound} waves are"
    return f"{len(sizes)} waves, {listed}; that fewer do not is not proved: {least} not ruled out"


def _starts(exam: Told) -> str:
    every, at_a_time = exam.part.every, exam.exam.at_a_time
    starts = {(one.wave, one.cooks) for one in exam.part.candidates}
    if len(starts) == len({wave for wave, _ in starts}):
        return "starts: everybody in a wave at the same moment"
    groups = "one" if at_a_time == 1 else str(at_a_time)
    begin = f"starts: {groups} at a time, every {every.value} min"
    if exam.exam.starts.every is not None:
        return f"{begin}, as the exam says"
    if every.value == every.bound:
        return f"{begin}: proved, nothing closer is possible"
    below = f"below {every.bound} min is impossible, what lies between" if every.bound else "whether closer is possible"
    return f"{begin}; {below} was not found out"


def _fairness(exam: Told) -> str:
    differ = exam.part.differ
    if differ.value == 0:
        return (
            "alike: the same timeline for all, each counted from the own start: every turn at shared equipment, and so"
            " every step, comes at the same minute for everybody; checked"
        )
    text = f"alike: no two candidates' waits for any turn at shared equipment differ by more than {differ.value} min"
    text += f" ({format_duration(exam.exam.may_differ)} allowed); checked"
    if differ.value == differ.bound:
        return f"{text}; proved, no smaller difference is possible with these starts"
    below = f"below {differ.bound} min is impossible, what lies between" if differ.bound else "whether less is possible"
    return f"{text}; {below} was not found out in the time"


def _timeline(exam: Told) -> str:
    length, allowed = exam.part.timeline, format_duration(exam.exam.time_allowed)
    text = f"time: the last dish is ready {format_duration(length.value)} after the start of cooking, {allowed} allowed"
    if length.value == length.bound:
        return f"{text}: proved, no timeline as fair is shorter"
    if length.bound <= 0:
        return f"{text}; whether it can be shorter was not found out"
    return f"{text}; below {format_duration(length.bound)} is impossible"


def _points(exam: Told) -> Iterator[str]:
    """Dishes that are late by plan, and what that costs; what is tolerated is told of as well."""
    late: dict[str, int] = {}
    for one in exam.part.candidates:
        for number, dish in enumerate(exam.exam.menu):
            late[dish.product] = max(late.get(dish.product, 0), _late(exam, one, number)[1])
    listed = ", ".join(f"{product} by {format_duration(minutes)}" for product, minutes in late.items() if minutes)
    named = f" ({listed})" if listed else ""
    points = exam.part.points
    if points.value:
        if points.value == points.bound:
            least = "proved, fewer are impossible"
        elif points.bound:
            least = f"at least {points.bound}"
        else:
            least = "whether fewer are possible is not known"
        what = "the menu cannot be done in time" if points.bound else "no plan in time was found"
        yield f"! late by plan{named}: {what}; {points.value} points in all ({least})"
    elif listed:
        yield f"! late by plan{named}: no plan in time was found; this much is tolerated and costs no points"


def _late(exam: Told, one: Examinee, number: int) -> tuple[int, int]:
    """When a candidate's dish is ready by plan, and how many minutes that is after the end of its window."""
    closing = _opens_and_closes(exam, one, number)[1]
    if exam.exam.menu[number].hand_in is None:
        return closing, 0
    name = f"{exam.exam.menu[number].product} of {one.name}"
    ready = max((order.ready for order in exam.plan.orders if order.product == name), default=closing)
    return ready, max(0, ready - closing)


def _stopped(part: ExamPart) -> Iterator[str]:
    if part.stopped is not None and part.stopped.by == "interruption":
        yield "! search interrupted: what was found until then is shown, and there is no more advice"
    elif part.stopped is not None:
        seconds = "its time" if part.stopped.seconds is None else f"{part.stopped.seconds:g} s"
        yield f"search ended after {seconds}, before all was looked into; --time-limit gives it more"


def _advice(exam: Told) -> Iterator[str]:
    part = exam.part
    end = _ends(part)[1]
    for one in part.advice:
        gains = []
        if one.ends < end:
            gains.append(f"over at {format_clock(one.ends)}, {format_duration(end - one.ends)} sooner")
        if one.waves != part.waves.value:
            gains.append(f"{one.waves} {'wave' if one.waves == 1 else 'waves'}")
        if exam.exam.starts.every is None and one.every != part.every.value:
            gains.append(f"starts every {one.every} min")
        if one.differ != part.differ.value:
            gains.append(f"waits differ by up to {one.differ} min")
        if one.timeline < part.timeline.value and one.ends >= end:
            gains.append(f"the last dish ready after {format_duration(one.timeline)}")
        yield f"with {one.change}: {', '.join(gains)} ({'proved' if one.proved else 'found, not proved'})"


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
    begin, end = _opens_and_closes(exam, one, number)
    return _span(begin, end, day) if exam.exam.menu[number].hand_in is not None else f"by {_clock(end, day)}"


def _opens_and_closes(exam: Told, one: Examinee, number: int) -> tuple[int, int]:
    window = exam.exam.menu[number].hand_in
    if window is None:
        return one.cooks, one.stops
    return one.cooks + ceil(window.least), one.cooks + floor(window.most)


def card(exam: Told, one: Examinee, width: int, unicode: bool = True) -> str:
    """What one candidate is told: start, turns at shared equipment, hand-ins, stop."""
    day = one.begins // MINUTES_PER_DAY
    entries = [(one.begins, one.begins, "the workplace is yours: set up"), (one.cooks, one.cooks, "begin to cook")]
    for batch, seat in _turns(exam, one.name):
        entries.append((seat.start, seat.end, _turn(exam, batch, seat)))
    for number, dish in enumerate(exam.exam.menu):
        begin, end = _opens_and_closes(exam, one, number)
        entries.append((begin, end, f"hand in {dish.quantity} {dish.product}"))
        ready, minutes = _late(exam, one, number)
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
    size = format_quantity(Fraction(batch.last) - Fraction(batch.first), batch.unit)
    return f"{seat.station}{_setting(seat)}: {batch.step}, {size} of {exam.base(batch.item)[0]}"


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
                begin, end = _opens_and_closes(exam, one, number)
                if begin < end:
                    found.setdefault((begin, 5, f"hand-in opens: {dish.product}"), []).append(one.name)
                found.setdefault((end, 6, f"hand-in closes: {dish.product}"), []).append(one.name)
                ready, minutes = _late(exam, one, number)
                if minutes:
                    found.setdefault((ready, 6, f"handed in late by plan: {dish.product}"), []).append(one.name)
        for batch, seat in _turns(exam, one.name):
            found.setdefault((seat.start, 4, f"{seat.station}{_setting(seat)}, in: {batch.step}"), []).append(one.name)
            found.setdefault((seat.end, 2, f"{seat.station}, out: {batch.step}"), []).append(one.name)
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


def _equipment(exam: Told, name: str) -> str:
    return next(station.equipment for station in exam.plan.stations if station.name == name)


def _names(names: list[str]) -> str:
    """Names in a row; numbered ones without saying the word each time."""
    first, *rest = names or [""]
    word = first.rpartition(" ")[0]
    if rest and word and all(name.rpartition(" ")[0] == word for name in rest):
        return ", ".join([first, *(name.rpartition(" ")[2] for name in rest)])
    return ", ".join(names)
