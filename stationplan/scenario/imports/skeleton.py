"""Writes a recipe down as components in our format, with blanks for what nobody has said yet."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import count
from typing import TYPE_CHECKING

from stationplan.scenario.blanks import BLANK
from stationplan.scenario.errors import UnitError
from stationplan.scenario.fields import LONGEST_NAME
from stationplan.scenario.imports.ingredients import Ingredient, read_ingredient
from stationplan.scenario.imports.writing import printable, quoted, remark
from stationplan.scenario.units import Quantity, parse_quantity

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from stationplan.scenario.imports.recipe import Instruction, Recipe

_HEAD = (
    f"{BLANK} marks what such a recipe does not say. Every command names the lines with blanks until each is filled in "
    "or, where it is not needed, removed. What was read is a proposal: look at the amounts, split what is done by "
    "several people or on several machines, and make a component of its own of what is made apart."
)
_MAKES = re.compile(r"(?:(?:makes|yields?|serves|for|about|approx\.?)[:\s]+)+", re.IGNORECASE)
_SERVES = re.compile(r"(?:serves|for)[:\s]+(?:about\s+)?(\d+)(?:\s+people)?", re.IGNORECASE)
_WORDS_OF_A_NAME = 6
_LONGEST_STEP = 48
_CLAUSE = re.compile(r"[.,;:()!?]|\s[-\u2013\u2014]\s|\buntil\b|\bfor (?:about )?\d")
_REST = re.compile(
    r"\b(cool|chill|refrigerat|freez|(?<!the )rest(?! of)|prove|proof|rise|(?<=to )set|soak|infus|marinat)(?:e|ing)?\b",
    re.IGNORECASE,
)
_ONLY_REST = re.compile(rf"(?:(?:then\s+)?(?:leave|let|allow)\b[^.]{{0,40}}?\b)?{_REST.pattern}", re.IGNORECASE)
_MORE_THAN_ONE_THING = re.compile(r"\b(?:then|and)\b|[.;!]\s+\w", re.IGNORECASE)
_NAMES_OF_RESTS = {"refrigerat": "chill", "freez": "freeze", "infus": "infuse", "marinat": "marinate"}
_DURATION = re.compile(
    r"\d+(?:[./,]\d+)?(?:\s*(?:-|\u2013|to)\s*\d+)?\s*(?:s|sec|seconds?|min|mins|minutes?|h|hrs?|hours?|days?)\b",
    re.IGNORECASE,
)
_TEMPERATURE = re.compile(r"-?\d{1,3}\s*(?:°|º|degrees?\s*)\s*[CF]?\b|-?\d{2,3}\s*[CF]\b")


def skeleton(recipes: Iterable[Recipe], source: str) -> str:
    """Write recipes down as components.

    Args:
        recipes: the recipes.
        source: where they come from, for a remark.

    Returns:
        A recipe file: YAML that says everything the recipes say, with :data:`~stationplan.scenario.blanks.BLANK`
        wherever they say too little.
    """
    lines = [*remark(f"From {printable(source)}. {_HEAD}", ""), "components:"]
    names = _Names()
    for recipe in recipes:
        lines += _component(recipe, names.free(recipe.name or "unnamed"))
    return "\n".join(lines) + "\n"


class _Names:
    """Hands out names that are not taken yet."""

    def __init__(self) -> None:
        self._taken = {"none", "anything"}  # words with a meaning of their own

    def free(self, wanted: str) -> str:
        """The name, shortened if need be, with a number behind it if it is taken."""
        wanted = wanted[: LONGEST_NAME - 5].strip()
        candidates = (wanted if number == 1 else f"{wanted} {number}" for number in count(1))
        name = next(name for name in candidates if name.lower() not in self._taken)
        self._taken.add(name.lower())
        return name


def _component(recipe: Recipe, name: str) -> Iterator[str]:
    yield f"  {quoted(name)}:"
    yield f"    makes: {_makes(recipe.yields)}"
    ingredients = _together(read_ingredient(text) for text in recipe.ingredients)
    if ingredients:
        yield "    ingredients:"
        for ingredient in ingredients:
            amount = BLANK if ingredient.amount is None else str(ingredient.amount)
            yield f"      {quoted(ingredient.name)}: {amount}  # {ingredient.text}"
    if recipe.times:
        told = ", ".join(f"{key} {duration}" for key, duration in recipe.times)
        yield from remark(f"Times of the whole recipe, whoever and whatever does it: {told}", "    ")
    if recipe.tools:
        yield from remark(f"Tools: {', '.join(recipe.tools)}", "    ")
    yield "    steps:"
    yield from _steps(recipe.instructions)


def _makes(yields: tuple[str, ...]) -> str:
    told = f"  # {', '.join(yields)}" if yields else "  # such as 2 trays, 1.5 kg or 24 pieces"
    for text in yields:
        serves = _SERVES.fullmatch(text)
        try:
            quantity = parse_quantity(f"{serves[1]} servings" if serves else _MAKES.sub("", text, count=1))
        except UnitError:
            continue
        if quantity.amount:
            return f"{quantity}{told}"
    return f"{BLANK}{told}"


def _together(ingredients: Iterable[Ingredient]) -> list[Ingredient]:
    """An ingredient that stands twice is added up where the amounts can be, else it gets a name of its own."""
    found: dict[str, Ingredient] = {}
    for one in ingredients:
        same = found.get(one.name.lower())
        if same is None:
            found[one.name.lower()] = one
        elif same.amount is not None and one.amount is not None and same.amount.unit == one.amount.unit:
            total = Quantity(same.amount.amount + one.amount.amount, same.amount.unit, same.amount.written_unit)
            found[one.name.lower()] = Ingredient(same.name, total, f"{same.text}; {one.text}")
        else:
            number = next(n for n in count(2) if f"{one.name} {n}".lower() not in found)
            found[f"{one.name} {number}".lower()] = replace(one, name=f"{one.name} {number}")
    return list(found.values())


def _steps(instructions: tuple[Instruction, ...]) -> Iterator[str]:
    if not instructions:
        yield f"      - name: {BLANK}  # the recipe has no instructions"
        yield f"        takes: {BLANK}"
        return
    names, section, stepped = _Names(), "", False
    for number, one in enumerate(instructions, 1):
        if one.section != section:
            section = one.section
            yield from remark(f"Section: {section}" if section else "End of that section", "      ")
        yield from remark(f"{number}. {one.text}", "      ")
        durations = _told("the recipe says", _DURATION.findall(one.text))
        # A wait has to stand behind a step.
        alone = stepped and not _MORE_THAN_ONE_THING.search(one.text)
        only_rest = _ONLY_REST.match(one.text) if alone else None
        if only_rest is None:
            yield f"      - name: {quoted(names.free(_name_of(one)))}"
            yield f"        takes: {one.takes or BLANK}{'' if one.takes else durations}"
            yield f"        hands_on: {BLANK}  # all, none, or a part such as first 2 min"
            places = ["such as mixer, or oven at 180 C; remove the line where hands do it"]
            yield f"        equipment: {BLANK}{_told('the recipe says', _TEMPERATURE.findall(one.text), places)}"
            stepped = True
        rest = only_rest or _REST.search(one.text)
        if rest is not None:
            stem = rest[1].lower()
            yield f"      - wait: {names.free(_NAMES_OF_RESTS.get(stem, stem))}"
            yield f"        at_least: {BLANK}{durations}"
            yield f"        in: {BLANK}  # such as fridge, and below it fills: 1 tray per batch; or remove the line"


def _told(who: str, found: list[str], others: Iterable[str] = ()) -> str:
    """A remark with what the recipe says; nothing when there is nothing to say."""
    parts = [f"{who}: {', '.join(found)}"] if found else []
    parts += others
    return f"  # {'; '.join(parts)}" if parts else ""


def _name_of(one: Instruction) -> str:
    """The name of the step, or the beginning of its text as one."""
    if one.name and len(one.name) <= _LONGEST_STEP:
        return one.name
    words = _CLAUSE.split(one.text, maxsplit=1)[0].split() or one.text.split()
    name = ""
    for word in words[:_WORDS_OF_A_NAME]:
        if len(name) + len(word) >= _LONGEST_STEP:
            break
        name = f"{name} {word}".strip()
    name = name or one.text[:_LONGEST_STEP]
    return name[:1].lower() + name[1:]
