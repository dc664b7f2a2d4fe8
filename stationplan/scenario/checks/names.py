"""Checks of names: none twice, none that means something else."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

from stationplan.scenario.checks.entries import written
from stationplan.scenario.errors import UnitError
from stationplan.scenario.models import ANYTHING, EquipmentKind
from stationplan.scenario.units import parse_people

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from stationplan.scenario.draft import Draft
    from stationplan.scenario.nodes import Path
    from stationplan.scenario.sentences import Finding

KINDS: tuple[str, ...] = get_args(EquipmentKind)
_JOINING_WORDS = (" at ", " or ")


def people_twice(draft: Draft) -> Iterator[Finding]:
    """Two people of the same name."""
    named = ((("kitchen", "people", index, "name"), person.name) for index, person in draft.people.items())
    yield from _twice(named, "the name '{name}' stands twice among the people; add an initial or a number")


def skills_that_cannot_be_asked_for(draft: Draft) -> Iterator[Finding]:
    """A skill that a step could not name, because it reads as something else there."""
    for index, person in draft.people.items():
        for skill in person.skills:
            try:
                askable = [need.skill for need in parse_people(f"1 {skill}")] == [skill]
            except UnitError:
                askable = False
            if not askable:
                sentence = f"a step could not ask for the skill '{skill}'; use a plain word such as pastry"
                yield ("kitchen", "people", index, "skills"), sentence


def equipment_names(draft: Draft) -> Iterator[Finding]:
    """Two pieces of equipment of the same name, or a name that reads as something else."""
    named = [(("kitchen", "equipment", index, "name"), entry.name) for index, entry in draft.equipment.items()]
    yield from _twice(named, "the name '{name}' stands twice among the equipment; use count: 2 for two alike")
    for (path, name), entry in zip(named, draft.equipment.values(), strict=True):
        lower = name.lower()
        alone = entry.kind == lower and len([other for other in draft.equipment.values() if other.kind == lower]) == 1
        if lower in KINDS and not alone:
            yield path, f"'{name}' is the word for a kind of equipment; give this one a name of its own"
        for word in _JOINING_WORDS:
            if word in lower:
                yield path, f"leave the word '{word.strip()}' out of the name '{name}'; it has a meaning in recipes"


def items_twice(draft: Draft) -> Iterator[Finding]:
    """A name for a component and a product, or two that differ only in capitals; or one that is no name."""
    named: list[tuple[Path, str]] = [
        *((("components", name), name) for name in draft.component_names),
        *((("products", name), name) for name in draft.product_names),
    ]
    seen: dict[str, Path] = {}
    for path, name in sorted(named):
        earlier = seen.setdefault(name.lower(), path)
        if earlier[0] != path[0]:
            yield path, f"'{name}' is the name of a component and of a product; rename one of them"
        elif earlier != path:
            yield path, f"'{name}' and '{earlier[1]}' differ only in capitals; rename one of them"
        if name.lower() == ANYTHING:
            yield path, f"'{ANYTHING}' has a meaning in changeovers; choose another name"


def steps_twice(draft: Draft) -> Iterator[Finding]:
    """Two steps or waits of the same name in one item, or one named like a word with a meaning."""
    for path, _, item in draft.items():
        entries = [(entry.path, entry.name) for entry in written(item, path)]
        yield from _twice(entries, "the name '{name}' stands twice in these steps; every step and wait needs its own")
        for where, name in entries:
            if name.lower() == "none":
                yield where, "'none' means that nothing comes before; choose another name for this"


def _twice(named: Iterable[tuple[Path, str]], sentence: str) -> Iterator[Finding]:
    seen: set[str] = set()
    for path, name in named:
        if name.lower() in seen:
            yield path, sentence.format(name=name)
        seen.add(name.lower())
