"""The headline of a practical exam: what it is, what is alike in it, and how far that is proved."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stationplan.render.exam_told import late_by
from stationplan.render.lettering import clean, wrap
from stationplan.scenario.units import format_clock, format_duration
from stationplan.scenario.units.durations import MINUTES_PER_DAY

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.plan.document import ExamPart
    from stationplan.render.exam_told import Told

UNPROVED = {
    "helpers": "helpers come, go or pause during the hours, and waves at other times were not all looked into",
    "late": "dishes are late by plan, and candidates might share out the delay in other ways",
    "stands": "of dishes that must not stand long, only plans were looked for in which the last batch is ready last",
    "waves": "the waves leave ovens at different temperatures, and not all moments to begin them were looked into",
}


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
        *_left_out(exam),
        _starts(exam),
        _fairness(exam),
        _timeline(exam),
        *_unproved(part),
        *_points(exam),
        *_idle(exam),
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


def _left_out(exam: Told) -> Iterator[str]:
    """Waves that the exam gives and nobody is in, and why, as far as that is known."""
    waves: dict[int, tuple[int, int]] = {}
    for one in exam.part.candidates:
        begins, leaves = waves.get(one.wave, (one.begins, one.leaves))
        waves[one.wave] = (min(begins, one.begins), max(leaves, one.leaves))
    held = sorted(waves.values())
    length = min(leaves - begins for begins, leaves in held)
    for moment in (int(clock) + day * MINUTES_PER_DAY for day in range(exam.exam.days) for clock in exam.exam.waves):
        if any(begins == moment for begins, _ in held):
            continue
        before = max((leaves for begins, leaves in held if begins < moment), default=None)
        after = min((begins for begins, _ in held if begins > moment), default=None)
        if before is not None and moment < before + exam.exam.pause:
            pause = f" and the break is {format_duration(exam.exam.pause)}" if exam.exam.pause else ""
            why = f"too soon after the wave before, which is over at {format_clock(before)}{pause}"
        elif after is not None and moment + length + exam.exam.pause > after:
            why = f"too soon before the wave at {format_clock(after)}"
        else:
            why = "the other waves have room for everybody"
        yield f"{format_clock(moment)} left out: {why}"


def _idle(exam: Told) -> Iterator[str]:
    """Helpers whom nothing in the plan needs."""
    busy = {hand.person for batch in exam.plan.batches for hand in batch.hands}
    candidates = {one.name for one in exam.part.candidates}
    for name in exam.plan.people:
        if name not in busy and name not in candidates:
            yield f"helper {name} has nothing to do in this plan"


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


def _unproved(part: ExamPart) -> Iterator[str]:
    if part.unproved is not None:
        yield f"why that is not proved: {UNPROVED[part.unproved]}"


def _points(exam: Told) -> Iterator[str]:
    """Dishes that are late by plan, and what that costs; what is tolerated is told of as well."""
    late: dict[str, int] = {}
    for one in exam.part.candidates:
        for number, dish in enumerate(exam.exam.menu):
            late[dish.product] = max(late.get(dish.product, 0), late_by(exam, one, number)[1])
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
