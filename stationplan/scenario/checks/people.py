"""Checks of the people a step needs: somebody has the skill, and there are enough."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from stationplan.scenario.checks.entries import all_steps
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.models import Step
    from stationplan.scenario.sentences import Finding


def skills(draft: Draft) -> Iterator[Finding]:
    """A skill that nobody has; in an exam that is for the candidate, unless it looks like one that a helper has."""
    if not draft.people_complete:
        return
    known = {skill for person in draft.people.values() for skill in person.skills}
    people = {person.name.lower(): person.name for person in draft.people.values()}
    there = f"; skills are {', '.join(sorted(known))}" if known else ""
    for _, _, step, path in all_steps(draft):
        for need in step.people:
            if need.skill is None or need.skill in known:
                continue
            if need.skill in people:
                name = people[need.skill]
                sentence = (
                    f"{name} is a person, and 'people' takes a number and a skill, such as 1 pastry{there}; "
                    f"for what only {name} may do, give {name} a skill that nobody else has"
                )
            elif draft.has_exam:
                hint = suggestion(need.skill, known)
                if not hint:
                    continue
                sentence = f"nobody has the skill '{need.skill}'{hint}; leave 'people' out of what the candidate does"
            else:
                sentence = f"nobody has the skill '{need.skill}'{suggestion(need.skill, known) or there}"
            yield (*path, "people"), sentence


def enough_people(draft: Draft) -> Iterator[Finding]:
    """More people at a time than there are with the skills; an exam has a check of its own."""
    if not draft.people_complete or draft.has_exam:
        return
    skilled = [frozenset(person.skills) for person in draft.people.values()]
    for _, _, step, path in all_steps(draft):
        if needs_nobody(step):
            if step.people:
                sentence = f"'{step.name}' leaves nothing for people to do; change 'hands_on' or leave 'people' out"
                yield (*path, "people"), sentence
        elif not skilled:
            yield path, f"'{step.name}' needs a person, and the kitchen has none"
        else:
            yield from (((*path, "people"), sentence) for sentence in _too_few(step, skilled))


def needs_nobody(step: Step) -> bool:
    """Whether nobody has to be there at any moment of a step."""
    hands = step.hands()
    return not (hands.all or hands.first or hands.last or step.load or step.unload)


def _too_few(step: Step, skilled: list[frozenset[str]]) -> Iterator[str]:
    """By Hall's theorem there are enough people when there are for every set of the needs taken together."""
    wanted: dict[str | None, int] = {}
    for need in step.people:
        wanted[need.skill] = wanted.get(need.skill, 0) + need.count
    everybody = sum(wanted.values())
    if everybody > len(skilled):
        yield f"'{step.name}' needs {everybody} people at a time, and the kitchen has {len(skilled)}"
        return
    known = [skill for skill in wanted if skill is not None and any(skill in skills for skills in skilled)]
    # More than a handful of different skills in one step is no kitchen; checking all sets of them would take for ever.
    for size in range(1, min(len(known), 6) + 1):
        for chosen in combinations(known, size):
            count = sum(wanted[skill] for skill in chosen)
            there = sum(1 for skills in skilled if not skills.isdisjoint(chosen))
            if count > there:
                words = " or ".join(f"'{skill}'" for skill in chosen)
                yield f"'{step.name}' needs {count} people with the skill {words}, and the kitchen has {there}"
                return
