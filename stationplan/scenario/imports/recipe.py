"""Finds the recipes in a JSON-LD document, or in a web page that carries one.

The vocabulary is that of https://schema.org/Recipe, with https://schema.org/HowToStep and
https://schema.org/HowToSection for its instructions.
"""

from __future__ import annotations

import html
import json
import re
from dataclasses import dataclass, replace
from html.parser import HTMLParser
from typing import TYPE_CHECKING, Any

from stationplan.scenario.errors import UnitError
from stationplan.scenario.imports.writing import printable
from stationplan.scenario.reading import UnreadableFile
from stationplan.scenario.units import format_duration, parse_duration

if TYPE_CHECKING:
    from collections.abc import Iterator

_PREFIXES = ("", "schema:", "https://schema.org/", "http://schema.org/")
_TIMES = ("prepTime", "cookTime", "performTime", "totalTime")
_DEEPEST = 12
_MOST_REFERENCES = 1000
_LONGEST = 2000
_BREAK = re.compile(r"<(?:br|/p|/li|/div)\b[^>]*>", re.IGNORECASE)
_TAG = re.compile(r"</?[A-Za-z][^>]*>")
_NUMBER_ALONE = re.compile(r"\W*(?:step)?\W*\d*\W*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Instruction:
    """One step as the recipe tells it; ``takes`` is a duration in our words, '' where the recipe has none."""

    text: str
    name: str = ""
    section: str = ""
    takes: str = ""


@dataclass(frozen=True, slots=True)
class Recipe:
    """What a recipe of schema.org says that is of use here, as plain text."""

    name: str
    yields: tuple[str, ...]
    ingredients: tuple[str, ...]
    instructions: tuple[Instruction, ...]
    times: tuple[tuple[str, str], ...]
    tools: tuple[str, ...]


def read_recipes(text: str) -> tuple[Recipe, ...]:
    """Find every recipe in a document.

    Args:
        text: JSON, or HTML with JSON-LD in it.

    Returns:
        The recipes, at least one, in the order in which they stand there.

    Raises:
        UnreadableFile: when there is none, or the JSON is damaged.
    """
    documents = _in_a_page(text) if text.lstrip().startswith("<") else [_json(text)]
    known = {node["@id"]: node for node in _nodes(documents) if isinstance(node.get("@id"), str) and len(node) > 1}
    found = tuple(_Reader(known).recipe(node) for node in _nodes(documents) if "Recipe" in _types(node))
    if not found:
        raise UnreadableFile('there is no recipe of schema.org in it: nothing whose "@type" is "Recipe"')
    return found


def _json(text: str) -> Any:
    try:
        # Line breaks inside texts are not JSON, but common.
        return json.loads(text, strict=False)
    except json.JSONDecodeError as error:
        sentence = f"this is neither JSON-LD nor a web page: {error.msg[:1].lower()}{error.msg[1:]}"
        raise UnreadableFile(f"{sentence} (column {error.colno})", error.lineno) from error
    except (ValueError, RecursionError) as error:
        raise UnreadableFile("this is JSON that nests too deeply, or holds a number that is too long") from error


class _Scripts(HTMLParser):
    """Collects what stands in ``<script type="application/ld+json">``, with the line it begins at."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[int, str]] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Called at each opening tag."""
        kind = (dict(attrs).get("type") or "").partition(";")[0].strip().lower()
        self._inside = tag == "script" and kind == "application/ld+json"

    def handle_data(self, data: str) -> None:
        """Called with the text behind a tag."""
        if self._inside:
            self.found.append((self.getpos()[0], data))
            self._inside = False


def _in_a_page(text: str) -> list[Any]:
    scripts = _Scripts()
    try:
        scripts.feed(text)
        scripts.close()
    except AssertionError:
        # The parser gives up on some malformed declarations; what came before is kept.
        pass
    if not scripts.found:
        raise UnreadableFile('this page carries no recipe data: no <script type="application/ld+json">')
    documents, damage = [], None
    for line, script in scripts.found:
        try:
            documents.append(_json(script))
        except UnreadableFile as error:
            damage = damage or UnreadableFile(error.sentence, line + (error.line or 1) - 1)
    if damage is not None and not any("Recipe" in _types(node) for node in _nodes(documents)):
        raise damage
    return documents


def _nodes(document: Any) -> Iterator[dict[str, Any]]:
    """Every object in a document, in reading order; not those inside a recipe."""
    left = [document]
    while left:
        part = left.pop()
        if isinstance(part, dict):
            yield part
            if "Recipe" not in _types(part):
                left.extend(reversed(part.values()))
        elif isinstance(part, list):
            left.extend(reversed(part))


def _types(node: Any) -> list[str]:
    """The types of an object, without the address of the vocabulary."""
    written = node.get("@type") if isinstance(node, dict) else None
    words = written if isinstance(written, list) else [written]
    return [re.split(r"[/#:]", word)[-1] for word in words if isinstance(word, str)]


def _get(node: dict[str, Any], *names: str) -> Any:
    """The first of these properties that the object has."""
    keys = (prefix + name for name in names for prefix in _PREFIXES)
    return next((node[key] for key in keys if node.get(key) not in (None, "", [])), None)


def _plain(text: str) -> str:
    # So that no text is taken for a blank, such as the loader looks for.
    return re.sub(r"\?{2,}", "?", printable(html.unescape(_TAG.sub(" ", text))))[:_LONGEST]


def _lines(text: str) -> list[str]:
    return [line for line in map(_plain, _BREAK.sub("\n", text).splitlines()) if line]


def _duration(text: str) -> str:
    """A duration in our words, '' if it is none or takes no time."""
    try:
        minutes = parse_duration(text)
    except UnitError:
        return ""
    return format_duration(minutes) if minutes else ""


class _Reader:
    """Reads the properties of a recipe, whichever of the allowed shapes they have.

    Args:
        known: objects by their ``@id``, for those that are only referred to.
    """

    def __init__(self, known: dict[str, dict[str, Any]]) -> None:
        self._known = known
        self._references = _MOST_REFERENCES

    def recipe(self, node: dict[str, Any]) -> Recipe:
        """What an object of type Recipe says."""
        times = ((name, _duration(text) or text) for name in _TIMES for text in self._texts(_get(node, name))[:1])
        return Recipe(
            name=next(iter(self._texts(_get(node, "name", "headline"))), ""),
            yields=tuple(self._texts(_get(node, "recipeYield", "yield"))),
            ingredients=tuple(self._texts(_get(node, "recipeIngredient", "ingredients", "supply"))),
            instructions=tuple(self._instructions(_get(node, "recipeInstructions", "step"))),
            times=tuple(times),
            tools=tuple(self._texts(_get(node, "tool"))),
        )

    def _texts(self, value: Any, depth: int = 0) -> list[str]:
        """The texts that a value stands for: of a text, a number, a quantity, a named thing, or a list of such."""
        if depth > _DEEPEST or isinstance(value, bool):
            return []
        if isinstance(value, str):
            return _lines(value)
        if isinstance(value, int | float):
            return [f"{value:g}" if isinstance(value, float) else str(value)]
        if isinstance(value, list):
            return [text for part in value for text in self._texts(part, depth + 1)]
        if not isinstance(value, dict):
            return []
        node = self._whole(value)
        inner = _get(node, "@value", "@list", "@set", "itemListElement", "item")
        if inner is not None:
            return self._texts(inner, depth + 1)
        # A quantity (value, unitText), a supply (requiredQuantity, name), or a thing with a name.
        words = [
            text
            for names in (("requiredQuantity", "value"), ("unitText",), ("name", "text"))
            for text in self._texts(_get(node, *names), depth + 1)[:1]
        ]
        return [" ".join(words)] if words else []

    def _whole(self, node: dict[str, Any]) -> dict[str, Any]:
        """The object that a mere reference stands for."""
        if len(node) > 1 or not self._references:
            return node
        # Objects that refer to each other many times over would multiply.
        self._references -= 1
        return self._known.get(str(node.get("@id")), node)

    def _instructions(self, value: Any, section: str = "", depth: int = 0) -> list[Instruction]:
        if depth > _DEEPEST:
            return []
        if isinstance(value, list):
            return [one for part in value for one in self._instructions(part, section, depth + 1)]
        if not isinstance(value, dict):
            return [Instruction(text, section=section) for text in self._texts(value)]
        node = self._whole(value)
        types, inner = _types(node), _get(node, "itemListElement", "item", "@list", "@set", "steps")
        name = next(iter(self._texts(_get(node, "name"))), "")
        if "HowToSection" in types:
            return self._instructions(inner, name or section, depth + 1)
        said = self._texts(_get(node, "text", "@value", "description"))
        if "HowToStep" not in types and inner is not None:
            return self._instructions(inner, section, depth + 1)
        directions = self._instructions(inner, section, depth + 1)
        text = " ".join(said or [one.text for one in directions] or [name])
        taken = self._texts(_get(node, "performTime", "totalTime"))[:1] or [
            one.takes for one in directions if one.takes
        ]
        if not text:
            return []
        one = Instruction(text, "" if _NUMBER_ALONE.fullmatch(name) else name, section)
        return [replace(one, takes=_duration(taken[0])) if len(taken) == 1 else one]
