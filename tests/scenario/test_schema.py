from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from stationplan.scenario import load
from stationplan.scenario.nodes import plain
from stationplan.scenario.reading import read_yaml
from stationplan.scenario.schema import scenario_schema
from stationplan.scenario.template import TEMPLATE

from .valid_text import VALID

SHIPPED = sorted(Path(__file__).parents[2].joinpath("scenarios").glob("*/scenario.yaml"))


def data(text: str) -> Any:
    return plain(read_yaml(text, "text", 0, []))


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft202012Validator:
    return jsonschema.Draft202012Validator(scenario_schema())


def test_the_schema_is_valid_under_its_dialect_and_is_plain_json() -> None:
    schema = json.loads(json.dumps(scenario_schema()))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("text", [VALID, TEMPLATE], ids=["every key", "template"])
def test_valid_text_fits_the_schema(validator: jsonschema.Draft202012Validator, text: str) -> None:
    assert [error.message for error in validator.iter_errors(data(text))] == []


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.parent.name)
def test_the_shipped_scenarios_fit_the_schema_as_written_and_merged(
    validator: jsonschema.Draft202012Validator, path: Path
) -> None:
    assert [error.message for error in validator.iter_errors(data(path.read_text(encoding="utf-8")))] == []
    assert [error.message for error in validator.iter_errors(load(path).raw)] == []


def test_files_may_be_named_instead(validator: jsonschema.Draft202012Validator) -> None:
    written = data(VALID)
    del written["components"], written["products"]
    written.update(kitchen="kitchen.yaml", recipes=["a.yaml", "b.yaml"], orders="orders.csv")
    assert validator.is_valid(written)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("shfit",), "x"),
        (("shift", "opens"), "5 am"),
        (("kitchen", "equipment", 0, "kind"), "ovn"),
        (("kitchen", "equipment", 0, "range"), "hot"),
        (("kitchen", "equipment", 0, "count"), 0),
        (("components", "vanilla mousse", "makes"), 2),
        (("components", "vanilla mousse", "steps"), []),
        (("components", "vanilla mousse", "steps", 0, "takes"), 5),
        (("components", "vanilla mousse", "steps", 0, "take"), "5 min"),
        (("components", "vanilla mousse", "steps", 0, "hands_on"), "some"),
        (("orders", 0, "quantity"), 0),
        (("orders",), []),
    ],
)
def test_mistakes_do_not_fit_the_schema(
    validator: jsonschema.Draft202012Validator, path: tuple[str | int, ...], value: object
) -> None:
    written = copy.deepcopy(data(VALID))
    around = written
    for part in path[:-1]:
        around = around[part]
    around[path[-1]] = value
    assert not validator.is_valid(written)


def test_every_key_of_the_format_has_a_description() -> None:
    schema = scenario_schema()
    for name, part in {"scenario": schema, **schema["$defs"]}.items():
        for key, value in part.get("properties", {}).items():
            described = schema["$defs"][value["$ref"].rpartition("/")[2]] if "$ref" in value else value
            assert described.get("description"), f"{name}.{key}"
