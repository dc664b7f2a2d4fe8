"""However a scenario is damaged, it is read or refused in words; nothing else comes out."""

from __future__ import annotations

import copy
import re
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from stationplan.scenario import InvalidScenario, Problem, from_plain, load
from stationplan.scenario.nodes import plain
from stationplan.scenario.reading import read_yaml

from .valid_text import VALID

RAW: dict[str, Any] = plain(read_yaml(VALID, "valid", 0, []))
JARGON = re.compile(r"pydantic|validat|Input should|dict\b|tuple|NoneType|Traceback|<step>|<wait>|<repeat>|Fraction\(")
ODD_VALUES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 10**12),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from(
        ["", "none", "all", "1", "0 g", "-1 min", "1..2", "24:00", "1/0 kg", "a or b at c", "\x00", "oven", "100 %"]
    ),
    st.text(max_size=12),
    st.just([]),
    st.just({}),
    st.just(["bake"]),
    st.just({"name": "x"}),
    st.just({"repeat": 2, "steps": [{"wait": "x"}]}),
)


def paths(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """The path of every value inside a value."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [inner for key, part in pairs for inner in [(*path, key), *paths(part, (*path, key))]]


def parent(value: Any, path: tuple[str | int, ...]) -> Any:
    for part in path[:-1]:
        value = value[part]
    return value


@st.composite
def damaged_data(draw: st.DrawFn) -> dict[str, Any]:
    raw = copy.deepcopy(RAW)
    for _ in range(draw(st.integers(1, 3))):
        path = draw(st.sampled_from(paths(raw)))
        around, key = parent(raw, path), path[-1]
        action = draw(st.sampled_from(["delete", "replace", "duplicate", "move"]))
        if action == "delete":
            del around[key]
        elif action == "replace":
            around[key] = copy.deepcopy(draw(ODD_VALUES))
        elif action == "duplicate" and isinstance(around, list):
            around.append(copy.deepcopy(around[key]))
        elif action == "duplicate":
            around[f"{key} too"] = copy.deepcopy(around[key])
        else:
            other = draw(st.sampled_from(paths(raw)))
            around[key] = copy.deepcopy(parent(raw, other)[other[-1]])
    return raw


@st.composite
def damaged_text(draw: st.DrawFn) -> str:
    text = VALID
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 12)))
        new = draw(
            st.one_of(
                st.text(max_size=4),
                st.sampled_from(
                    [":", "- ", "\n", "\t", "'", '"', "[", "}", "&a ", "*a", "!!x ", "|", "? ", "---\n", "%", "#"]
                ),
            )
        )
        text = text[:start] + new + text[end:]
    return text


def assert_in_words(error: InvalidScenario) -> None:
    assert error.problems
    for problem in error.problems:
        assert problem.sentence
        assert "\n" not in str(problem)
        assert not JARGON.search(problem.sentence), problem.sentence


@settings(max_examples=300, deadline=None)
@given(damaged_data())
def test_damaged_data_is_read_or_refused_in_words(raw: dict[str, Any]) -> None:
    try:
        scenario = from_plain(raw)
    except InvalidScenario as error:
        assert_in_words(error)
    else:
        assert from_plain(scenario.model_dump(mode="json", by_alias=True, exclude_unset=True)) == scenario


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(damaged_text())
@example("\x07")
@example("name: '\n")
@example("a: |x\n")
@example("? [a]\n: {b: c}\n")
@example("%YAML 1.1\n---\nname: x\n")
@example('kitchen: "\\0"\n')
@example("kitchen: " + "x" * 5000 + "\n")
@example('"a\\nb\\e[31m": 1\n')
def test_damaged_text_is_read_or_refused_with_a_line(text: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "scenario.yaml"
        path.write_text(text, encoding="utf-8")
        problems: tuple[Problem, ...] = ()
        try:
            load(path)
        except InvalidScenario as error:
            assert_in_words(error)
            problems = error.problems
        assert all(problem.where.startswith(str(path)) for problem in problems)
