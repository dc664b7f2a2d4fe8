"""The JSON Schema of scenario files, for editors that complete and check them while somebody writes."""

from __future__ import annotations

from typing import Any

from stationplan.scenario.models import Scenario

DIALECT = "https://json-schema.org/draft/2020-12/schema"
_FILE_NAME = {"type": "string", "minLength": 1, "description": "Name of a file beside this one."}


def scenario_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of what a user writes in ``scenario.yaml``.

    Kitchen and orders may be the name of a file here, and recipes stand in files of their own; what such a
    file holds is described by the same parts: ``#/$defs/Kitchen``, ``#/properties/components`` and so on.

    Returns:
        A plain dict that can be written as JSON.
    """
    schema = _tidied(Scenario.model_json_schema(by_alias=True))
    properties = schema["properties"]
    properties["kitchen"] = {
        "description": "People and equipment, or the name of a file that holds them.",
        "anyOf": [{"$ref": "#/$defs/Kitchen"}, _FILE_NAME],
    }
    properties["recipes"] = {
        "description": "Files that hold components and products.",
        "anyOf": [_FILE_NAME, {"type": "array", "items": _FILE_NAME}],
    }
    properties["orders"] = {
        "description": "What is ordered, or the name of a file that holds it: YAML, or CSV or .xlsx with the "
        "columns product, quantity, due and weight.",
        "anyOf": [{"type": "array", "items": {"$ref": "#/$defs/Order"}, "minItems": 1}, _FILE_NAME],
    }
    schema["required"] = [key for key in schema["required"] if key not in ("products", "orders")]
    # Products may come from a recipe file, and what an exam asks for is its menu, but one of the two must be there.
    schema["allOf"] = [
        {"anyOf": [{"required": [one]}, {"required": [other]}]}
        for one, other in (("products", "recipes"), ("orders", "exam"))
    ]
    return {"$schema": DIALECT, "$id": "urn:stationplan:scenario", **schema, "title": "stationplan scenario"}


def _tidied(part: Any) -> Any:
    """Without what pydantic adds that tells an editor nothing.

    These are the markup of docstrings, titles made from key names, and defaults other than numbers: they are
    written as values of the models, not as a user would write them.
    """
    if isinstance(part, list):
        return [_tidied(entry) for entry in part]
    if not isinstance(part, dict):
        return part
    tidied = {key: _tidied(value) for key, value in part.items() if not _is_noise(key, value)}
    if isinstance(tidied.get("description"), str):
        tidied["description"] = " ".join(tidied["description"].replace("``", "'").split())
    return tidied


def _is_noise(key: str, value: Any) -> bool:
    return (key == "title" and isinstance(value, str)) or (key == "default" and not isinstance(value, int))
