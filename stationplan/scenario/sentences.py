"""Turns what pydantic found into sentences for a cook, with the path to the value in the plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, get_args

from pydantic import BaseModel

from stationplan.scenario import models
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
        if kind == "too_short" and _value_at(raw, list(path)):
            # Every entry of the list is wrong, which is told of each of them.
            continue
        if kind == "extra_forbidden":
            yield path, _unknown_key(str(path[-1]), model_at(location[:-1]))
        elif kind != "missing":
            yield path, _sentence(kind, detail, path)
        elif (location[:-1], location[-1]) not in misspelled:
            yield _missing(path, raw)


def model_at(location: tuple[str | int, ...]) -> type[BaseModel]:
    """The model that describes the value at a location as pydantic gives it.

    Args:
        location: keys, positions and the tags that tell steps, waits and repeats apart.
    """
    model: type[BaseModel] = models.Scenario
    choices: dict[str, type[BaseModel]] = {}
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


def _annotation(model: type[BaseModel], key: str) -> Any:
    for name, field in model.model_fields.items():
        if key == (field.alias or name):
            return field.annotation
    return None


def _holds_many(model: type[BaseModel], key: str) -> bool:
    return any(word in str(_annotation(model, key)) for word in ("dict[", "tuple["))


def _models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in get_args(annotation):
        yield from _models_in(argument)


def _missing(path: Path, raw: object) -> Finding:
    *parent, key = path
    around = _value_at(raw, parent)
    example = _EXAMPLES.get(str(key))
    hint = f"; write {example}" if example else ""
    if isinstance(around, dict) and key in around:
        return path, f"there is nothing behind '{key}'{hint}"
    return tuple(parent), f"{_title(around, tuple(parent))} has no '{key}'{hint}"


def _value_at(raw: object, path: list[str | int]) -> object:
    """What was written at a path; where a single entry stands for a list of one, its position is passed over."""
    value: Any = raw
    for part in path:
        if not (isinstance(value, dict) and isinstance(part, int)):
            value = value[part]
    return value


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


def _unknown_key(key: str, model: type[BaseModel]) -> str:
    known = _keys(model)
    return f"'{key}' is not known here" + (suggestion(key, known) or f"; known are {', '.join(known)}")


def _keys(model: type[BaseModel]) -> list[str]:
    """What a user may write: the keys of the model and, at the top, those that name files."""
    keys = [field.alias or name for name, field in model.model_fields.items()]
    return [*keys, *_FILE_KEYS] if model is models.Scenario else keys


def _sentence(kind: str, detail: Any, path: Path) -> str:
    if kind == "value_error":
        return str(detail["ctx"]["error"])
    if kind == "literal_error":
        kinds = get_args(models.EquipmentKind)
        return f"'{detail['input']}' is no kind of equipment{suggestion(str(detail['input']), kinds)}; " + (
            f"kinds are {', '.join(kinds)}"
        )
    if kind == "too_short":
        return f"{'nothing is ordered' if path == ('orders',) else 'there are no steps'}; write at least one"
    if kind in ("model_type", "dict_type", "model_attributes_type"):
        return "lines of 'key: value' belong here"
    if kind == "tuple_type":
        return "a list belongs here, each entry beginning with a dash"
    return str(detail["msg"])
