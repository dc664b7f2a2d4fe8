"""Hands: enough skilled people for the right minutes, in their hours, off their breaks, each in one place."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from stationplan.plan.check.case import Case, Run
from stationplan.plan.check.fault import Fault, FaultKind, clock
from stationplan.plan.document import Hand
from stationplan.scenario.models import Person, Step
from stationplan.scenario.units import HandsOn, PeopleNeed

Doing = Literal["hands-on", "load", "unload"]


@dataclass(frozen=True)
class _Part:
    """Minutes of a batch that need hands."""

    start: int
    end: int
    doing: Doing


def check_people(case: Case) -> Iterator[Fault]:
    """Check who does what and when."""
    for run in case.all_runs():
        if run.began is None:
            yield from _check_run(case, run)
    yield from _check_times(case)
    yield from _check_overlaps(case)


def _parts(step: Step, start: int, end: int) -> list[_Part]:
    """The parts of a batch that need hands, those without length left out."""
    begin, finish = start + math.ceil(step.load), end - math.ceil(step.unload)
    parts = [_Part(start, begin, "load"), _Part(finish, end, "unload")]
    hands_on = _hands_on(step)
    first, last = math.ceil(hands_on.first), math.ceil(hands_on.last)
    if hands_on.all or first + last >= finish - begin:
        # Without any hands-on minutes this is the whole of a step that takes no time.
        parts.append(_Part(begin, finish, "hands-on"))
    else:
        parts += [_Part(begin, begin + first, "hands-on"), _Part(finish - last, finish, "hands-on")]
    return [part for part in parts if part.start < part.end]


def _hands_on(step: Step) -> HandsOn:
    if step.hands_on is not None:
        return step.hands_on
    alone = bool(step.equipment) or step.load > 0 or step.unload > 0
    return HandsOn(all=bool(step.people) or not alone)


def _check_run(case: Case, run: Run) -> Iterator[Fault]:
    step, batch = run.stage.step, run.batch
    needs = step.people or (PeopleNeed(1),)
    number = sum(need.count for need in needs)
    hands: dict[_Part, list[Hand]] = defaultdict(list)
    for hand in batch.hands:
        hands[_Part(hand.start, hand.end, hand.doing)].append(hand)
    for part in _parts(step, batch.start, batch.end):
        there = hands.pop(part, [])
        times = f"{run.title}, {part.doing} from {clock(part.start)} to {clock(part.end)},"
        if len(there) < number:
            sentence = f"{times} needs {_wanted(needs)}, but has {len(there) or 'nobody'}."
            yield Fault(FaultKind.HANDS_MISSING, sentence, (batch.label,))
        elif len(there) > number:
            sentence = f"{times} needs only {_wanted(needs)}, but has {len(there)}."
            yield Fault(FaultKind.HANDS_EXTRA, sentence, (batch.label,))
        known = [case.people[hand.person] for hand in there if hand.person in case.people]
        if len(known) == number and not _skilled(needs, known):
            names = ", ".join(person.name for person in known)
            sentence = f"{times} needs {_wanted(needs)}; {names} cannot do that."
            yield Fault(FaultKind.UNSKILLED, sentence, (batch.label,))
    for part, there in hands.items():
        names = ", ".join(hand.person for hand in there)
        sentence = f"{run.title} needs no {part.doing} by {names} from {clock(part.start)} to {clock(part.end)}."
        yield Fault(FaultKind.HANDS_EXTRA, sentence, (batch.label,))


def _wanted(needs: tuple[PeopleNeed, ...]) -> str:
    return " and ".join(f"{need.count} {need.skill or 'of any skill'}" for need in needs)


def _skilled(needs: tuple[PeopleNeed, ...], people: list[Person]) -> bool:
    """Whether everybody can be given one of the places."""
    places = [need.skill for need in needs for _ in range(need.count)]
    if len(places) == 1:
        return any(places[0] is None or places[0] in person.skills for person in people)
    import networkx

    graph: networkx.Graph[tuple[str, int]] = networkx.Graph()
    asked = [("place", number) for number in range(len(places))]
    graph.add_nodes_from(asked)
    for number, skill in enumerate(places):
        for position, person in enumerate(people):
            if skill is None or skill in person.skills:
                graph.add_edge(("place", number), ("person", position))
    return len(networkx.bipartite.hopcroft_karp_matching(graph, asked)) == 2 * len(places)


def _check_times(case: Case) -> Iterator[Fault]:
    for batch in case.plan.batches:
        for hand in batch.hands:
            person = case.people.get(hand.person)
            busy = f"{hand.person} works on {batch.label} from {clock(hand.start)} to {clock(hand.end)}"
            if person is None:
                sentence = f"{busy}, but is nobody in this kitchen."
                yield Fault(FaultKind.PERSON_UNKNOWN, sentence, (batch.label,))
                continue
            if batch.label in case.began:
                continue
            hours = _hours(case, person)
            if not any(start <= hand.start and hand.end <= end for start, end in hours):
                there = ", ".join(f"{clock(start)} to {clock(end)}" for start, end in hours)
                sentence = f"{busy}, but is there only from {there}."
                yield Fault(FaultKind.OUTSIDE_HOURS, sentence, (batch.label,))
            for pause in person.breaks:
                if hand.start < pause.end and pause.start < hand.end:
                    sentence = f"{busy}, over the break from {clock(pause.start)} to {clock(pause.end)}."
                    yield Fault(FaultKind.OVER_BREAK, sentence, (batch.label,))


def _hours(case: Case, person: Person) -> list[tuple[int, int]]:
    """When somebody is there, hours that touch joined into one."""
    hours: list[tuple[int, int]] = []
    for start, end in sorted((int(span.start), int(span.end)) for span in person.hours):
        if hours and start <= hours[-1][1]:
            hours[-1] = (hours[-1][0], max(end, hours[-1][1]))
        else:
            hours.append((start, end))
    return hours or [(int(case.opens), case.closes)]


def _check_overlaps(case: Case) -> Iterator[Fault]:
    busy: dict[str, list[tuple[int, int, str]]] = defaultdict(list)
    for batch in case.plan.batches:
        for hand in batch.hands:
            if hand.start < hand.end:
                busy[hand.person].append((hand.start, hand.end, batch.label))
    for person, times in busy.items():
        times.sort()
        until, at = times[0][1], times[0][2]
        for start, end, label in times[1:]:
            # What two batches that had begun ask of somebody at once is not of the plan's making.
            if start < until and not (at in case.began and label in case.began):
                sentence = f"{person} would work on {at} and {label} at once at {clock(start)}."
                yield Fault(FaultKind.PERSON_TWICE, sentence, (at, label))
            if end > until:
                until, at = end, label
