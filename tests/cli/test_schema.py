"""``stationplan schema``."""

from __future__ import annotations

import json

import jsonschema

from .conftest import Run


def test_it_prints_a_json_schema(run: Run) -> None:
    result = run("schema")
    assert (result.exit_code, result.stderr) == (0, "")
    schema = json.loads(result.stdout)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
