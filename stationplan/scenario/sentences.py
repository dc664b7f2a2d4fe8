"""Turns what pydantic found into sentences for a cook, with the path to the value in the plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_args

from stationplan.scenario import models
from stationplan.scenario.base import Model
from stationplan.scenario.units.numbers import nearest, suggestion

if TYPE_CHECKING:
    from collections.abc import Iterator

    from pydantic import ValidationError

    from stationplan.scenario.nodes import Path

Finding = tuple["Path", str]

# Keys that may stand at the top of a file without being part of the merged data.
_FILE_KEYS = ("recipes",)
_EXAMPLES = {
    "name": "name: a name",
    "shift": 'shift: {opens: "05:00", closes: "17:30"}',
    "opens": 'opens: "05:00"',
    "closes": 'closes: "17:30"',
    "kitchen": "kitchen: with people and equipment below it, or a file name",
    "people": "people: with a list of them",
    "equipment": "equipment: with a list of it",
    "kind": "kind: oven",
    "products": "products: with names and recipes below it",
    "orders": "orders: with a list of them, or a file name",
    "product": "product: its name",
    "quantity": "quantity: 240",
    "makes": "makes: 2 trays",
    "steps": "steps: with a list of them",
    "takes": "takes: 8 min",
    "amount": "amount: 45 g",
    "use": "use: oven at 180 C",
    "step": "step: the name of one",
    "after": "after: the name of a step",
    "at_least": "at_least: 2 h",
    "at_most": "at_most: 30 min",
    "batch": "batch: 2 trays",
    "between": 'between: "09:40-11:00"',
    "breaks": 'breaks: "09:00-09:30"',
    "due": 'due: "15:00"',
    "fills": "fills: 1 tray per tray",
    "from": 'from: "10:30"',
    "hands_on": "hands_on: first 2 min",
    "holds": "holds: 4 trays",
    "hours": 'hours: "06:00-14:00"',
    "in": "in: freezer",
    "ingredient": "ingredient: its name",
    "item": "item: its name",
    "load": "load: 1 min",
    "loss": "loss: 5 %",
    "out_of_use": 'out_of_use: "09:40-11:00"',
    "pieces": "pieces: 24 discs per tray",
    "shelf_life": "shelf_life: 2 days",
    "skills": "skills: pastry",
    "slower": "slower: 20 %",
    "unload": "unload: 1 min",
    "use_by": 'use_by: "14:00"',
    "wash": "wash: 5 min",
    "candidates": "candidates: 16",
    "menu": "menu: with a list of dishes",
    "time_allowed": "time_allowed: 2 h 30 min",
}


def findings(error: ValidationError, raw: object) -> Iterator[Finding]:
    """What pydantic found in a scenario, as (path, sentence).

    Args:
        error: what pydantic raised.
        raw: the plain data it was raised for.
    """
    details = error.errors(include_url=False)
    misspelled = {
        (location[:-1], nearest(str(location[-1]), _keys(model_at(location[:-1]))))
        for location in (detail["loc"] for detail in details if detail["type"] == "extra_forbidden")
    }
    for detail in details:
        location, kind = detail["loc"], detail["type"]
        path = tuple(part for part in location if not _is_tag(part))
        if path and path[-1] == "[key]":
            path = path[:-1]
        way, value = as_written(raw, path)
        if kind == "too_short" and value:
            # Every entry of the list is wrong, which is told of each of them.
            continue
        if kind == "extra_forbidden":
            say = _stray_words if value is None else _unknown_key
            yield path, say(str(path[-1]), model_at(location[:-1]))
        elif kind != "missing" and value is None and way and isinstance(way[-1], str):
            yield path, _nothing_behind(way[-1])
        elif kind != "missing":
            yield path, _sentence(kind, detail, path)
        elif (location[:-1], location[-1]) not in misspelled:
            yield _missing(path, raw)


def empty_keys(raw: object) -> Iterator[Finding]:
    """Every key with nothing behind it, as (path, sentence)."""
    left: list[tuple[Path, object]] = [((), raw)]
    while left:
        path, value = left.pop()
        if isinstance(value, dict):
            left.extend(((*path, key), part) for key, part in value.items())
        elif isinstance(value, list):
            left.extend(((*path, position), part) for position, part in enumerate(value))
        elif value is None and path and isinstance(path[-1], str):
            yield path, _nothing_behind(path[-1])


def as_written(raw: object, path: Path) -> tuple[Path, object]:
    """The way along a path as far as it was written, and what stands there.

    Where a single entry stands for a list of one, its position is left out.
    """
    way: list[str | int] = []
    value: Any = raw
    for part in path:
        if isinstance(value, dict) and isinstance(part, int):
            continue
        if not (part in value if isinstance(value, dict) else isinstance(value, list) and isinstance(part, int)):
            break
        way.append(part)
        value = value[part]
    return tuple(way), value


def model_at(location: tuple[str | int, ...]) -> type[Model]:
    """The model that describes the value at a location as pydantic gives it.

    Args:
        location: keys, positions and the tags that tell steps, waits and repeats apart.
    """
    model: type[Model] = models.Scenario
    choices: dict[str, type[Model]] = {}
    for part in location:
        if _is_tag(part):
            model, choices = choices[str(part).strip("<>")], {}
        elif not choices and isinstance(part, str):
            choices = {choice.__name__.lower(): choice for choice in _models_in(_annotation(model, part))}
            if len(choices) == 1 and not _holds_many(model, part):
                model, choices = next(iter(choices.values())), {}
        elif len(choices) == 1:
            model, choices = next(iter(choices.values())), {}
    return model


def _is_tag(part: object) -> bool:
    return isinstance(part, str) and part in ("<step>", "<wait>", "<repeat>")


def _annotation(model: type[Model], key: str) -> Any:
    for name, field in model.model_fields.items():
        if key == (field.alias or name):
            return field.annotation
    return None


def _holds_many(model: type[Model], key: str) -> bool:
    return any(word in str(_annotation(model, key)) for word in ("dict[", "tuple["))


def _models_in(annotation: Any) -> Iterator[type[Model]]:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        yield annotation
    for argument in get_args(annotation):
        yield from _models_in(argument)


def _missing(path: Path, raw: object) -> Finding:
    *parent, key = path
    around = as_written(raw, tuple(parent))[1]
    example = _EXAMPLES.get(str(key))
    hint = f"; write {example}" if example else ""
    if isinstance(around, dict) and key in around:
        return path, f"there is nothing behind '{key}'{hint}"
    return tuple(parent), f"{_title(around, tuple(parent))} has no '{key}'{hint}"


def _title(value: object, path: Path) -> str:
    """What the user would call the mapping at a path."""
    if isinstance(value, dict):
        for key in ("name", "wait", "use"):
            if path and isinstance(value.get(key), str):
                return f"'{value[key]}'"
    if not path:
        return "the scenario"
    if isinstance(path[-1], str):
        return f"'{path[-1]}'"
    return {"orders": "this order", "steps": "this step", "people": "this person"}.get(str(path[-2]), "this entry")


def _nothing_behind(key: str) -> str:
    """A sentence for a key with nothing behind it."""
    word, _, value = key.partition(":")
    if value.strip():
        return f"'{key}' has no space behind its colon; write {word}: {value.strip()}"
    example = _EXAMPLES.get(word)
    right = f"write {example}" if example else "write a colon, a space and a value"
    return f"there is nothing behind '{word}'; {right}, or leave it out"


def _stray_words(key: str, model: type[Model]) -> str:
    """For a key that is unknown and has nothing behind it: its colon or space is missing, or it has no key at all."""
    known = _keys(model)
    if key.partition(":")[0] in known:
        return _nothing_behind(key)
    word, _, value = key.partition(" ")
    if word in known:
        return f"'{key}' has no colon; write {word}: {value}"
    if key.isalpha():
        return _unknown_key(key, model)
    return f"'{key}' stands here without a key; write one of {', '.join(known)} before it, with a colon and a space"


def _unknown_key(key: str, model: type[Model]) -> str:
    known = _keys(model)
    return f"'{key}' is not known here" + (suggestion(key, known) or f"; known are {', '.join(known)}")


def _keys(model: type[Model]) -> list[str]:
    """What a user may write: the keys of the model and, at the top, those that name files."""
    return [*model.written_keys(), *(_FILE_KEYS if model is models.Scenario else ())]


def _sentence(kind: str, detail: Any, path: Path) -> str:
    if kind == "value_error":
        return str(detail["ctx"]["error"])
    if kind == "literal_error":
        word, kinds = str(detail["input"]), get_args(models.EquipmentKind)
        meant = models.WORDS_FOR_KINDS.get(word.lower())
        hint = f"; the word for it is {meant}" if meant else suggestion(word, kinds)
        return f"'{word}' is no kind of equipment{hint}; kinds are {', '.join(kinds)}"
    if kind == "too_short":
        return f"{'nothing is ordered' if path == ('orders',) else 'there are no steps'}; write at least one"
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        text = detail["input"]
        found = f", and '{text}' has no colon with a space behind it" if isinstance(text, str) and text else ""
        return f"lines of 'key: value' belong here{found}"
    if kind == "tuple_type":
        return "a list belongs here, each entry beginning with a dash"
    return str(detail["msg"])
