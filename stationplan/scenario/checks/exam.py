"""Checks of a practical exam: its candidates, their equipment, the menu, the times and the waves."""

from __future__ import annotations

from math import ceil, floor
from typing import TYPE_CHECKING

from stationplan.scenario.checks.amounts import uses
from stationplan.scenario.checks.entries import all_steps, all_waits
from stationplan.scenario.checks.measures import in_words
from stationplan.scenario.exam import candidates_at_most
from stationplan.scenario.fields import LONGEST_NAME, Ordered
from stationplan.scenario.units import format_duration
from stationplan.scenario.units.durations import MINUTES_PER_DAY
from stationplan.scenario.units.numbers import suggestion

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.sentences import Finding


def candidates(draft: Draft) -> Iterator[Finding]:
    """Candidates who cannot be told apart, or whose names cannot stand behind those of their equipment and dishes."""
    if draft.exam is None:
        return
    path = ("exam", "candidates")
    seen = {person.name.lower() for person in draft.people.values()}
    longest = max((len(name) for name in _named_after_candidates(draft)), default=0)
    for name in draft.exam.candidates:
        if name.lower() in seen:
            yield path, f"the name '{name}' stands twice among candidates and people; add an initial or a number"
        seen.add(name.lower())
        for word in (" at ", " or ", " of "):
            if word in name.lower():
                yield path, f"leave the word '{word.strip()}' out of the name '{name}'; it has a meaning in plans"
        if longest + len(" of ") + len(name) > LONGEST_NAME:
            yield path, f"the name '{name}' is too long to stand behind those of dishes and equipment; shorten it"


def _named_after_candidates(draft: Draft) -> Iterable[str]:
    return (*draft.component_names, *draft.product_names, *(entry.name for entry in draft.equipment.values()))


def own_equipment(draft: Draft) -> Iterator[Finding]:
    """Equipment of a candidate's own that is no entry of the kitchen, or is named twice."""
    if draft.exam is None:
        return
    known = [entry.name for entry in draft.equipment.values()]
    seen: set[str] = set()
    for position, name in enumerate(draft.exam.own):
        path = ("exam", "own", position)
        if name.lower() in seen:
            yield path, f"'{name}' stands twice here; for two each, write count: 2 where the kitchen lists it"
        seen.add(name.lower())
        if draft.equipment_complete and name.lower() not in {entry.lower() for entry in known}:
            hint = suggestion(name, known) or (f"; there are {', '.join(known)}" if len(known) <= 8 else "")
            yield path, f"the kitchen has no equipment called '{name}'{hint}"


def menu(draft: Draft) -> Iterator[Finding]:
    """A dish that is no product, stands twice, or is counted in another unit."""
    if draft.exam is None:
        return
    seen: set[str] = set()
    for position, dish in enumerate(draft.exam.menu):
        path = ("exam", "menu", position)
        if dish.product in seen:
            yield (*path, "product"), f"'{dish.product}' stands twice on the menu; put the quantities together"
        seen.add(dish.product)
        product = draft.products.get(dish.product)
        if dish.product in draft.component_names:
            yield (*path, "product"), f"'{dish.product}' is a component; only products can be on the menu"
        elif dish.product not in draft.product_names and draft.names_complete:
            known = draft.product_names
            there = f"; there are {', '.join(sorted(known))}" if 0 < len(known) <= 8 else ""
            hint = suggestion(dish.product, known) or there
            yield (*path, "product"), f"there is no product '{dish.product}'{hint}"
        unit = dish.quantity.unit if isinstance(dish.quantity, Ordered) else ""
        if product is not None and unit and unit != product.makes.unit:
            counted = in_words(product.makes.unit)
            sentence = f"'{dish.product}' is counted in {counted}, as it says in 'makes', not in {in_words(unit)}"
            yield (*path, "quantity"), sentence


def hand_ins(draft: Draft) -> Iterator[Finding]:
    """A hand-in after the time allowed, at no whole minute, or after a dish has failed."""
    if draft.exam is None:
        return
    allowed = draft.exam.time_allowed
    for position, dish in enumerate(draft.exam.menu):
        path, window = ("exam", "menu", position, "hand_in"), dish.hand_in
        if window is None:
            if dish.stands is not None:
                yield (*path[:-1], "stands"), "'stands' is the time until the hand-in; write 'hand_in' too, or neither"
            continue
        if window.most > allowed:
            sentence = f"'{dish.product}' would be handed in until {format_duration(window.most)}"
            yield path, f"{sentence}, but the time allowed is {format_duration(allowed)}; let the window end sooner"
        if ceil(window.least) > floor(window.most):
            yield path, f"no whole minute lies in {window}; write minutes such as 100..110 min"
    for key, rule in (("early", draft.exam.early), ("late", draft.exam.late)):
        if rule.fails_after is not None and rule.fails_after < rule.tolerance:
            sentence = f"a dish would fail after {format_duration(rule.fails_after)}"
            sentence += f", while {format_duration(rule.tolerance)} are tolerated; write the longer time behind it"
            yield ("exam", key, "fails_after"), sentence


def times(draft: Draft) -> Iterator[Finding]:
    """More time for one candidate than the shift has."""
    if draft.exam is None:
        return
    if draft.exam.time_allowed < 1:
        yield ("exam", "time_allowed"), "no time is allowed; write how long candidates may cook, such as 2 h 30 min"
    if draft.shift is None:
        return
    shift = draft.shift.closes - draft.shift.opens
    needed = ceil(draft.exam.set_up) + floor(draft.exam.time_allowed) + ceil(draft.exam.clean_down)
    if needed > shift:
        sentence = f"set-up, cooking and clean-down take {format_duration(needed)}, and the shift lasts"
        yield ("exam", "time_allowed"), f"{sentence} {format_duration(shift)}; let the shift be longer"
    if draft.exam.days > 1 and shift > MINUTES_PER_DAY:
        yield ("shift", "closes"), "an exam on several days needs a shift of at most 24 h, which is that of every day"


def waves(draft: Draft) -> Iterator[Finding]:
    """Waves out of order or outside the shift, or too few of them for the candidates."""
    exam = draft.exam
    if exam is None:
        return
    for position, clock in enumerate(exam.waves):
        path = ("exam", "waves", position)
        if position and clock <= exam.waves[position - 1]:
            yield path, f"{clock} is no later than the wave before it; write the waves in order"
        if draft.shift is not None and not draft.shift.opens <= clock < draft.shift.closes:
            yield path, f"{clock} is outside the shift from {draft.shift.opens} to {draft.shift.closes}"
    if exam.workplaces is not None and exam.at_a_time > exam.workplaces:
        sentence = f"{exam.at_a_time} candidates would start at the same moment at {exam.workplaces} workplaces"
        yield ("exam", "at_a_time"), f"{sentence}; write at most {exam.workplaces}"
    most = candidates_at_most(exam)
    if most is not None and most < len(exam.candidates):
        number = len(exam.waves) * exam.days
        waves_of = f"{number} {'wave' if number == 1 else 'waves'} of {exam.workplaces}"
        sentence = f"{waves_of} are room for {most} candidates, and there are {len(exam.candidates)}"
        yield ("exam", "waves"), f"{sentence}; add waves, days or workplaces"


def alone(draft: Draft) -> Iterator[Finding]:
    """A step that needs more people than the one candidate and the helpers who have the skill."""
    if draft.exam is None or not draft.people_complete:
        return
    helpers = [frozenset(person.skills) for person in draft.people.values()]
    for _, _, step, path in all_steps(draft):
        own = 0
        for need in step.people:
            able = sum(need.skill in skills for skills in helpers)
            if not able:
                own += need.count
            elif need.count > able:
                sentence = (
                    f"'{step.name}' needs {need.count} helpers with the skill '{need.skill}', and there are {able}"
                )
                yield (*path, "people"), sentence
        if own > 1:
            sentence = f"'{step.name}' needs {own} people, but a candidate works alone"
            yield (*path, "people"), f"{sentence}; write 1, or name a skill that a helper of the kitchen has"


def helpers(draft: Draft) -> Iterator[Finding]:
    """A helper whose skills no step names, though one looks like a skill that steps name and another helper has."""
    if draft.exam is None or not draft.people_complete or not draft.items_complete:
        return
    known = {skill for person in draft.people.values() for skill in person.skills}
    asked = {need.skill for _, _, step, _ in all_steps(draft) for need in step.people if need.skill in known}
    for position, person in draft.people.items():
        if asked.isdisjoint(person.skills):
            hints = [hint for skill in person.skills if (hint := suggestion(skill, sorted(asked)))]
            if hints:
                sentence = f"helper {person.name} has nothing to do: no step needs a skill that {person.name} has"
                yield ("kitchen", "people", position, "skills"), f"{sentence}{hints[0]}"


def places(draft: Draft) -> Iterator[Finding]:
    """A place that could be a candidate's own or another one."""
    if draft.exam is None:
        return
    own = {name.lower() for name in draft.exam.own}
    named = [
        *(((*path, "also"), word) for _, _, step, path in all_steps(draft) for word in step.also),
        *(((*path, "in"), wait.place) for _, _, wait, path in all_waits(draft) if wait.place is not None),
        *(((*path, "in"), use.place) for _, _, _, use, path in uses(draft) if use.place is not None),
    ]
    for path, word in named:
        meant = draft.find(word)
        if len(meant) > 1 and any(entry.name.lower() in own for entry in meant):
            names = " or ".join(f"'{entry.name}'" for entry in meant)
            yield path, f"'{word}' may be {names}, and not all of them are shared; name the one that is meant"
