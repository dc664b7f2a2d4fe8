"""An exam: the right people at the right times, on the menu's recipes, and as alike as the plan says."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from pydantic import ValidationError

from stationplan.plan.check.examined import check_kitchen, steps_of, strip
from stationplan.plan.check.fault import MINUTES_PER_DAY, Fault, FaultKind, clock
from stationplan.plan.document import Batch, Examinee, ExamPart, Least, Plan
from stationplan.scenario.exam import Exam
from stationplan.scenario.models import Scenario

_Stage = tuple[str, str, int, int]
"""Item without the candidate, step, round, number."""


@dataclass(frozen=True)
class _Examination:
    """A plan beside the exam it is for."""

    plan: Plan
    part: ExamPart
    scenario: Scenario
    exam: Exam

    @property
    def allowed(self) -> int:
        """Whole minutes that a candidate may cook."""
        return math.floor(self.exam.time_allowed)

    def batches(self, examinee: Examinee) -> dict[_Stage, Batch]:
        """A candidate's batches by what they are."""
        return {
            (item, batch.step, batch.round, batch.number): batch
            for batch in self.plan.batches
            for item, owner in [strip(batch.item, self.part)]
            if owner == examinee.name
        }

    def is_turn(self, item: str, step: str) -> bool:
        """Whether a step may need something that all share: equipment or a helper."""
        own = {name.casefold() for name in self.exam.own}
        kitchen = self.scenario.kitchen
        shared = [entry for entry in kitchen.equipment if entry.name.casefold() not in own]
        words = {word.casefold() for entry in shared for word in (entry.name, entry.kind)}
        # A word that is the name of something means nothing else.
        words -= own
        helped = {skill for person in kitchen.people for skill in person.skills}
        return any(
            {*(need.use.casefold() for need in one.equipment), *(word.casefold() for word in one.also)} & words
            or any(need.skill in helped for need in one.people)
            for one in steps_of({**self.scenario.components, **self.scenario.products}[item])
            if one.name == step
        )


def check_exam(plan: Plan, kitchen: Scenario, against: Scenario | None = None) -> Iterator[Fault]:
    """Check what makes a plan one of an exam.

    Args:
        plan: any document that parses as a plan.
        kitchen: the exam as one kitchen, which the rest of the plan is checked against.
        against: the scenario with the exam; None for the one that the plan carries.
    """
    if plan.exam is None:
        return
    try:
        scenario = Scenario.model_validate(plan.exam.scenario)
    except ValidationError as error:
        yield Fault(FaultKind.EXAM_UNCLEAR, f"The exam in the plan cannot be read: {error.errors()[0]['msg']}.")
        return
    if against is not None:
        # Cards are printed from what the plan carries, down to the points that a late dish costs.
        yield from _check_same(scenario, against)
        scenario = against
    if scenario.exam is None:
        yield Fault(FaultKind.EXAM_UNCLEAR, "The scenario of the exam in the plan has no exam in it.")
        return
    case = _Examination(plan, plan.exam, scenario, scenario.exam)
    names = tuple(examinee.name for examinee in plan.exam.candidates)
    if names != scenario.exam.candidates:
        sentence = f"The candidates are {', '.join(scenario.exam.candidates)}, in the plan {', '.join(names)}."
        yield Fault(FaultKind.EXAM_CANDIDATES, sentence)
        return
    yield from check_kitchen(plan.exam, scenario, scenario.exam, kitchen)
    yield from _check_times(case)
    yield from _check_starts(case)
    yield from _check_waves(case)
    yield from _check_inside(case)
    yield from _check_alike(case)
    yield from _check_hand_ins(case)
    yield from _check_bounds(case)


def _check_same(carried: Scenario, given: Scenario) -> Iterator[Fault]:
    differing = [key for key, value in given if getattr(carried, key) != value]
    if given.exam is not None and carried.exam is not None:
        differing = [key for key in differing if key != "exam"]
        differing += [f"exam: {key}" for key, value in given.exam if getattr(carried.exam, key) != value]
    if differing:
        sentence = f"The plan is one of another exam than that of the scenario; what differs: {', '.join(differing)}."
        yield Fault(FaultKind.EXAM_UNCLEAR, sentence)


def _check_times(case: _Examination) -> Iterator[Fault]:
    exam = case.exam
    late = exam.late.fails_after if case.part.points.value else None
    most = case.allowed + (0 if late is None else math.floor(late))
    for one in case.part.candidates:
        for what, found, least, longest in (
            ("set-up", one.cooks - one.begins, math.ceil(exam.set_up), math.ceil(exam.set_up)),
            ("time allowed", one.stops - one.cooks, case.allowed, most),
            ("clean-down", one.leaves - one.stops, math.ceil(exam.clean_down), math.ceil(exam.clean_down)),
        ):
            if not least <= found <= longest:
                yield Fault(FaultKind.EXAM_TIMES, f"The {what} of {one.name} is {found} min, not {least} min.")


def _members(part: ExamPart) -> dict[int, list[Examinee]]:
    waves: dict[int, list[Examinee]] = defaultdict(list)
    for one in part.candidates:
        waves[one.wave].append(one)
    return waves


def _check_starts(case: _Examination) -> Iterator[Fault]:
    """Groups of a wave start at equal distances."""
    asked, every = case.exam.starts.every, case.part.every.value
    for wave, members in _members(case.part).items():
        for position, one in enumerate(members):
            due = members[0].begins + position // case.exam.at_a_time * every
            if one.begins != due:
                sentence = f"{one.name} in wave {wave} begins at {clock(one.begins)}, and by the plan's own rule"
                yield Fault(FaultKind.EXAM_STARTS, f"{sentence} at {clock(due)}.")
    groups = max(-(-len(members) // case.exam.at_a_time) for members in _members(case.part).values())
    if asked is not None and groups > 1 and every != asked:
        yield Fault(FaultKind.EXAM_STARTS, f"Candidates start every {every} min, not every {asked} min.")


def _check_waves(case: _Examination) -> Iterator[Fault]:
    exam, shift = case.exam, case.scenario.shift
    waves = _members(case.part)
    if list(waves) != list(range(1, len(waves) + 1)) or case.part.waves.value != len(waves):
        yield Fault(FaultKind.EXAM_WAVES, f"The plan speaks of {case.part.waves.value} waves and has {len(waves)}.")
    sizes = {wave: len(members) for wave, members in waves.items()}
    if max(sizes.values()) - min(sizes.values()) > 1:
        yield Fault(FaultKind.EXAM_WAVES, "The candidates are not spread evenly over the waves.")
    if exam.workplaces is not None and max(sizes.values()) > exam.workplaces:
        sentence = f"A wave has {max(sizes.values())} candidates at {exam.workplaces} workplaces."
        yield Fault(FaultKind.EXAM_WAVES, sentence)
    clear: int | None = None
    for wave, members in waves.items():
        begins, leaves = min(one.begins for one in members), max(one.leaves for one in members)
        day = (begins - shift.opens) // MINUTES_PER_DAY
        if not 0 <= day < exam.days or leaves > shift.closes + day * MINUTES_PER_DAY:
            sentence = f"Wave {wave}, from {clock(begins)} to {clock(leaves)}, is outside the hours of the exam."
            yield Fault(FaultKind.EXAM_WAVES, sentence)
        if exam.waves and begins - day * MINUTES_PER_DAY not in exam.waves:
            yield Fault(FaultKind.EXAM_WAVES, f"No wave of the exam begins at {clock(begins)}.")
        if clear is not None and begins < clear + math.ceil(exam.pause):
            sentence = f"Wave {wave} begins at {clock(begins)}, too soon after the one before, which leaves at"
            yield Fault(FaultKind.EXAM_WAVES, f"{sentence} {clock(clear)}.")
        clear = leaves


def _check_inside(case: _Examination) -> Iterator[Fault]:
    """Nobody's food is made outside their time of cooking."""
    for one in case.part.candidates:
        for batch in case.batches(one).values():
            if not one.cooks <= batch.start <= batch.end <= one.stops:
                sentence = f"{batch.label} runs from {clock(batch.start)} to {clock(batch.end)}, and {one.name} cooks"
                sentence += f" from {clock(one.cooks)} to {clock(one.stops)}."
                yield Fault(FaultKind.EXAM_TIMES, sentence, (batch.label,))


def _check_alike(case: _Examination) -> Iterator[Fault]:
    """Recompute every candidate's timeline, each counted from the own start of cooking."""
    first = case.part.candidates[0]
    stages = case.batches(first)
    moments: dict[_Stage, list[tuple[int, int, int, str]]] = defaultdict(list)
    for one in case.part.candidates:
        mine = case.batches(one)
        if mine.keys() != stages.keys():
            yield Fault(FaultKind.EXAM_DIFFERS, f"{one.name} has other batches to do than {first.name}.")
            continue
        for stage, batch in mine.items():
            if (batch.first, batch.last, batch.unit) != (stages[stage].first, stages[stage].last, stages[stage].unit):
                yield Fault(FaultKind.EXAM_DIFFERS, f"{batch.label} is no batch like {stages[stage].label}.")
            moments[stage].append((batch.start - one.cooks, batch.end - one.cooks, one.cooks, batch.label))
    turns = {stage for stage in stages if case.is_turn(stage[0], stage[1])}
    most, alike = 0, True
    for stage, found in moments.items():
        early, late = min(found), max(found)
        if stage in turns:
            most = max(most, late[0] - early[0])
        same = len({(start, end) for start, end, _, _ in found}) == 1
        alike = alike and same
        if not case.part.differ.value and not same:
            sentence = f"The plan says that all have the same timeline, but {early[3]} starts {early[0]} min after the"
            sentence += f" start of cooking and {late[3]} {late[0]} min after it."
            yield Fault(FaultKind.EXAM_DIFFERS, sentence, (early[3], late[3]))
    claimed = case.part.differ.value
    if most != claimed and (most or alike or claimed > 1):
        sentence = f"Waits for one turn differ by up to {most} min, not by {claimed} min."
        yield Fault(FaultKind.EXAM_DIFFERS, sentence)
    if most > case.exam.may_differ:
        sentence = f"Waits for one turn differ by up to {most} min, and the exam allows {case.exam.may_differ} min."
        yield Fault(FaultKind.EXAM_DIFFERS, sentence)
    # Nothing is said to differ by 0 min but the same timeline, so what differs beside the turns alone counts as 1 min.
    if claimed and not most and not alike and case.exam.may_differ < 1:
        sentence = (
            "Every turn comes at the same minute for everybody, but not every step of their own, as the exam asks."
        )
        yield Fault(FaultKind.EXAM_DIFFERS, sentence)
    length = max((end for found in moments.values() for _, end, _, _ in found), default=0)
    length = max(length, _last_ready(case))
    if length != case.part.timeline.value:
        yield Fault(FaultKind.EXAM_CLAIM, f"The timeline takes {length} min, not {case.part.timeline.value} min.")


def _last_ready(case: _Examination) -> int:
    cooks = {one.name: one.cooks for one in case.part.candidates}
    owned = [(strip(order.product, case.part)[1], order.ready) for order in case.plan.orders]
    return max((ready - cooks[owner] for owner, ready in owned if owner in cooks), default=0)


def _check_hand_ins(case: _Examination) -> Iterator[Fault]:
    exam = case.exam
    dishes = {dish.product: dish for dish in exam.menu}
    cooks = {one.name: one.cooks for one in case.part.candidates}
    points = 0
    for order in case.plan.orders:
        product, owner = strip(order.product, case.part)
        dish = dishes.get(product)
        if dish is None or owner not in cooks:
            continue
        after = order.ready - cooks[owner]
        opening = 0 if dish.hand_in is None else math.ceil(dish.hand_in.least)
        closing = case.allowed if dish.hand_in is None else math.floor(dish.hand_in.most)
        what = f"{product} of {owner}, ready {after} min after the start of cooking,"
        if dish.stands is not None and after < opening - dish.stands:
            yield Fault(FaultKind.EXAM_HAND_IN, f"{what} would stand too long until {opening} min.", order.batches)
        late = after - closing
        if late > 0 and (exam.late.fails_after is None or late > exam.late.fails_after):
            yield Fault(FaultKind.EXAM_HAND_IN, f"{what} is too late for {closing} min.", order.batches)
        points += exam.late.points * max(0, late - math.floor(exam.late.tolerance))
    if points != case.part.points.value:
        yield Fault(FaultKind.EXAM_CLAIM, f"Late dishes cost {points} points, not {case.part.points.value}.")


def _check_bounds(case: _Examination) -> Iterator[Fault]:
    part = case.part
    if part.unproved == "helpers" and not any(one.hours or one.breaks for one in case.scenario.kitchen.people):
        yield Fault(FaultKind.EXAM_CLAIM, "The plan says that helpers come, go or pause, and none of them does.")
    claims: tuple[tuple[str, Least], ...] = (
        ("minutes between starts", part.every),
        ("difference", part.differ),
        ("timeline", part.timeline),
        ("points", part.points),
        ("number of waves", part.waves),
    )
    for name, claim in claims:
        if not 0 <= claim.bound <= claim.value:
            sentence = f"The {name}: {claim.value} with a bound of {claim.bound} cannot be."
            yield Fault(FaultKind.EXAM_CLAIM, sentence)
