"""The kitchen of an exam is what the exam says: the menu's recipes for everybody, on their own or shared equipment."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from stationplan.plan.check.fault import MINUTES_PER_DAY, Fault, FaultKind
from stationplan.plan.document import Examinee, ExamPart
from stationplan.scenario.exam import Exam
from stationplan.scenario.models import Equipment, Item, Person, Repeat, Scenario, Step, Use, Wait
from stationplan.scenario.units import ClockSpan


def strip(name: str, part: ExamPart) -> tuple[str, str | None]:
    """A name without the candidate behind it, and the candidate; None for what belongs to nobody."""
    for one in part.candidates:
        end = f" of {one.name}"
        if name.casefold().endswith(end.casefold()):
            return name[: -len(end)], one.name
    return name, None


def steps_of(item: Item) -> Iterator[Step]:
    """The steps of an item, each once."""
    for entry in item.steps:
        for part in entry.steps if isinstance(entry, Repeat) else (entry,):
            if isinstance(part, Step):
                yield part


def check_kitchen(part: ExamPart, scenario: Scenario, exam: Exam, kitchen: Scenario) -> Iterator[Fault]:
    """Compare the one kitchen of all candidates with the exam.

    Args:
        part: what the plan says of the exam.
        scenario: the scenario with the exam.
        exam: the exam.
        kitchen: the one kitchen.
    """
    yield from _check_equipment(part, scenario, exam, kitchen)
    yield from _check_people(part, scenario, exam, kitchen)
    yield from _check_orders(part, exam, kitchen)
    given = {**scenario.components, **scenario.products}
    written = {**kitchen.components, **kitchen.products}
    for one in part.candidates:
        mine = {strip(name, part)[0]: item for name, item in written.items() if strip(name, part)[1] == one.name}
        for name, item in given.items():
            if name not in mine:
                yield Fault(FaultKind.EXAM_KITCHEN, f"{one.name} has no recipe for {name}.")
            elif _plain(mine[name], one, part, kitchen, scenario, name) != _plain(
                item, None, part, scenario, scenario, name
            ):
                yield Fault(FaultKind.EXAM_KITCHEN, f"The recipe for {name} of {one.name} is not that of the exam.")


def _check_equipment(part: ExamPart, scenario: Scenario, exam: Exam, kitchen: Scenario) -> Iterator[Fault]:
    own = {name.casefold() for name in exam.own}
    wanted: dict[tuple[str, str | None], Equipment] = {}
    for entry in scenario.kitchen.equipment:
        owners = [one.name for one in part.candidates] if entry.name.casefold() in own else [None]
        wanted.update({(entry.name, owner): entry for owner in owners})
    there = {strip(entry.name, part): entry for entry in kitchen.kitchen.equipment}
    for name, owner in sorted(wanted.keys() | there.keys(), key=str):
        what = name if owner is None else f"{name} of {owner}"
        if (name, owner) not in there:
            yield Fault(FaultKind.EXAM_KITCHEN, f"The {what} is missing.")
        elif (name, owner) not in wanted:
            yield Fault(FaultKind.EXAM_KITCHEN, f"The exam has no {what}.")
        elif there[name, owner].model_copy(update={"name": name}) != wanted[name, owner]:
            yield Fault(FaultKind.EXAM_KITCHEN, f"The {what} is not like the {name} of the exam.")


def _check_people(part: ExamPart, scenario: Scenario, exam: Exam, kitchen: Scenario) -> Iterator[Fault]:
    names = {one.name: one for one in part.candidates}
    helpers = [person for person in kitchen.kitchen.people if person.name not in names]
    given = list(scenario.kitchen.people)
    if [(one.name, one.skills) for one in helpers] != [(one.name, one.skills) for one in given]:
        yield Fault(FaultKind.EXAM_KITCHEN, "The helpers are not those of the exam.")
    else:
        yield from _check_helpers(scenario, exam, kitchen, helpers)
    for person in kitchen.kitchen.people:
        one = names.get(person.name)
        if one is None:
            continue
        if [(span.start, span.end) for span in person.hours] != [(one.cooks, one.stops)] or person.breaks:
            yield Fault(FaultKind.EXAM_KITCHEN, f"The hours of {one.name} are not the time of cooking.")
    everybody = [skill for person in kitchen.kitchen.people if person.name in names for skill in person.skills]
    if len(set(everybody)) < len(part.candidates) or len(everybody) > len(part.candidates):
        yield Fault(FaultKind.EXAM_KITCHEN, "Candidates cannot be told apart by what they may do.")


def _check_helpers(scenario: Scenario, exam: Exam, kitchen: Scenario, helpers: list[Person]) -> Iterator[Fault]:
    """Helpers keep their hours and breaks on every day of the exam; without hours those of the shift."""
    shift = scenario.shift
    days = [day for day in range(exam.days) if shift.opens + day * MINUTES_PER_DAY < kitchen.shift.closes]
    for helper, person in zip(helpers, scenario.kitchen.people, strict=True):
        all_day = (ClockSpan(shift.opens, shift.closes),)
        for found, given in ((helper.hours or all_day, person.hours or all_day), (helper.breaks, person.breaks)):
            moves = [day * MINUTES_PER_DAY for day in days]
            wanted = {(span.start + move, span.end + move) for move in moves for span in given}
            if {(span.start, span.end) for span in found} != wanted:
                yield Fault(FaultKind.EXAM_KITCHEN, f"The hours of {helper.name} are not those of the exam.")


def _check_orders(part: ExamPart, exam: Exam, kitchen: Scenario) -> Iterator[Fault]:
    """Everybody makes the whole menu, due at the end of each window and what is tolerated after it."""
    wanted = []
    for one in part.candidates:
        for dish in exam.menu:
            due = None
            if dish.hand_in is not None:
                due = one.cooks + math.floor(dish.hand_in.most) + math.floor(exam.late.tolerance)
            wanted.append((dish.product, one.name, int(dish.quantity), due, exam.late.points))
    found = [
        (*strip(order.product, part), int(order.quantity), None if order.due is None else int(order.due), order.weight)
        for order in kitchen.orders
    ]
    if sorted(found, key=str) != sorted(wanted, key=str):
        yield Fault(FaultKind.EXAM_KITCHEN, "What is ordered is not the menu for every candidate.")


def _plain(item: Item, one: Examinee | None, part: ExamPart, kitchen: Scenario, exam: Scenario, name: str) -> Any:
    """An item as plain values in the words of the exam, so that two of them can be compared."""
    steps: list[Any] = []
    for entry in item.steps:
        if isinstance(entry, Repeat):
            inner = [_entry(member, one, part, kitchen, exam, name) for member in entry.steps]
            steps.append((entry.repeat, inner))
        else:
            steps.append(_entry(entry, one, part, kitchen, exam, name))
    return (
        item.makes,
        item.pieces,
        item.loss,
        item.shelf_life,
        item.ingredients,
        _uses(item.uses, part, one, kitchen),
        steps,
    )


def _entry(
    entry: Step | Wait, one: Examinee | None, part: ExamPart, kitchen: Scenario, exam: Scenario, name: str
) -> Any:
    if isinstance(entry, Wait):
        place = None if entry.place is None else _meant(entry.place, part, one, kitchen)
        return (entry.wait, entry.at_least, entry.at_most, place, entry.fills, entry.after)
    ways = [
        (base, need.at, need.takes, need.fills)
        for need in entry.equipment
        for base in _meant(need.use, part, one, kitchen)
    ]
    also = [(_meant(word, part, one, kitchen), amount) for word, amount in entry.also.items()]
    bowls = {machine.name for machine in exam.kitchen.equipment if machine.kind == "mixer"}
    holding = entry.holding or (name if any(way[0] in bowls for way in ways) else None)
    times = (
        entry.takes,
        entry.hands(),
        entry.load,
        entry.unload,
        entry.fills,
        entry.batch,
        entry.after,
    )
    hands = _hands(entry, one, kitchen, exam)
    return (entry.name, times, hands, ways, also, holding, _uses(entry.uses, part, one, kitchen))


def _meant(word: str, part: ExamPart, one: Examinee | None, kitchen: Scenario) -> list[str]:
    """The equipment that a word stands for, by the exam's names; another candidate's is never meant."""
    entries = kitchen.kitchen.equipment
    exact = [entry for entry in entries if entry.name.casefold() == word.casefold()]
    found = exact or [entry for entry in entries if entry.kind == word.casefold()]
    bases = [strip(entry.name, part) if one else (entry.name, None) for entry in found]
    strangers = [owner for _, owner in bases if owner is not None and (one is None or owner != one.name)]
    return ["another candidate's"] if strangers else [base for base, _ in bases]


def _uses(uses: dict[str, Use], part: ExamPart, one: Examinee | None, kitchen: Scenario) -> Any:
    found = {}
    for component, use in uses.items():
        base, owner = strip(component, part) if one else (component, None)
        if one is not None and owner != one.name:
            base = f"{base} of somebody else"
        place = None if use.place is None else _meant(use.place, part, one, kitchen)
        found[base] = (use.amount, use.loss, use.at_least, use.at_most, place, use.fills)
    return found


def _hands(step: Step, one: Examinee | None, kitchen: Scenario, exam: Scenario) -> list[tuple[int, str]]:
    """Who does it: helpers by their skill, and everything else the candidate."""
    hands = step.hands()
    if not (hands.all or hands.first or hands.last or step.load or step.unload):
        return []
    helped = {skill for person in exam.kitchen.people for skill in person.skills}
    own = {skill for person in kitchen.kitchen.people if one and person.name == one.name for skill in person.skills}
    found = []
    for need in step.people:
        if need.skill in helped:
            found.append((need.count, need.skill or ""))
        elif one is None:
            found.append((1, "the candidate"))
        else:
            found.append((need.count, "the candidate" if need.skill in own else "somebody else"))
    return found or [(1, "the candidate" if one is None else "anybody")]
